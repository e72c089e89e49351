/**
 * Shows a part of the coverage board, and saves what is shown. Without it the page is whole.
 *
 * A large base has tens of thousands of cells: they are gone through in short stretches, between which the browser can do
 * what the reader asks for; columns are hidden by one rule for all tables.
 *
 * For tests: noscript[data-later] is what is not in its place yet; form[data-sift] with select[data-sift-by] (`area`, `family`, `symptom`); [data-sift-count] is announced when
 * all is done, and [data-sifting] is on the form until then. button[data-save].
 */
import { words } from "#words/board";
import { BOARD_HEAD, CAUSES_HEAD, csvOf, SIGNS, type Standing } from "./csv.ts";

/** So long at most without giving the browser a turn. */
const STRETCH_MS = 12;

interface Wanted {
  readonly area: number;
  readonly family: number;
  readonly symptom: number;
}

const form = document.querySelector<HTMLFormElement>("form[data-sift]");
const count = document.querySelector<HTMLElement>("[data-sift-count]");
const column = new CSSStyleSheet();
document.adoptedStyleSheets = [...document.adoptedStyleSheets, column];
const standings = new Map<string, Standing>(Object.entries(SIGNS).map(([word, sign]) => [sign, word as Standing]));

function choice(name: string): HTMLSelectElement | null {
  return document.querySelector<HTMLSelectElement>(`select[data-sift-by="${name}"]`);
}
/** Place in the list, -1 for all. */
function wanted(): Wanted {
  const place = (name: string) => (choice(name)?.selectedIndex ?? 0) - 1;
  return { area: place("area"), family: place("family"), symptom: place("symptom") };
}

function matches({ dataset }: HTMLElement, { area, family, symptom }: Wanted): boolean {
  if (area >= 0 && dataset.a !== String(area)) return false;
  if (symptom >= 0 && dataset.s !== String(symptom)) return false;
  if (family < 0) return true;
  if (dataset.v !== undefined) return dataset.v.charAt(family) !== SIGNS["not-applicable"];
  return dataset.f === undefined || dataset.f.split(" ").includes(String(family));
}

function pause(): Promise<void> {
  return new Promise((go) => setTimeout(go));
}

/** Puts in its place what stands in `noscript`; see `render/coverage.ts`. */
function fill(isOver: () => boolean): void {
  for (let later = nextLater(); later !== null; later = nextLater()) {
    later.outerHTML = later.textContent ?? "";
    if (isOver()) return;
  }
}
function nextLater(): Element | null {
  return document.querySelector("noscript[data-later]");
}
async function filled(): Promise<void> {
  while (nextLater() !== null) {
    await pause();
    const since = performance.now();
    fill(() => performance.now() - since > STRETCH_MS);
  }
}
const whole = filled();

const rowsOf = (box: ParentNode) => box.querySelectorAll<HTMLElement>("tbody > tr, li[data-row]");

let run = 0;
async function sift(): Promise<void> {
  const mine = ++run;
  form?.setAttribute("data-sifting", "");
  await whole;
  if (mine !== run) return;
  const want = wanted();
  column.replaceSync(want.family < 0 ? "" : `.matrix [data-c]:not([data-c="${want.family}"]){display:none}`);
  const tally = new Map<Standing, number>();
  let since = performance.now();
  for (const box of document.querySelectorAll<HTMLElement>("[data-box]")) {
    if (performance.now() - since > STRETCH_MS) {
      await pause();
      if (mine !== run) return;
      since = performance.now();
    }
    let isEmpty = true;
    for (const row of rowsOf(box)) {
      const isShown = matches(row, want);
      if (row.hidden === isShown) row.hidden = !isShown;
      if (!isShown) continue;
      isEmpty = false;
      for (const head of box.querySelectorAll<HTMLElement>("thead [data-c]")) {
        const place = Number(head.dataset.c);
        if (want.family >= 0 && want.family !== place) continue;
        const stands = standings.get(row.dataset.v?.charAt(place) ?? "");
        if (stands) tally.set(stands, (tally.get(stands) ?? 0) + 1);
      }
    }
    // A table of other equipment has nothing to say of this one.
    const isOther =
      want.family >= 0 &&
      box.querySelector(".matrix") !== null &&
      !box.querySelector(`thead [data-c="${want.family}"]`);
    if (box.hidden !== (isEmpty || isOther)) box.hidden = isEmpty || isOther;
  }
  form?.removeAttribute("data-sifting");
  if (count === null) return;
  const [covered, partly, not] = (["covered", "partly", "not"] as const).map((word) => tally.get(word) ?? 0) as [
    number,
    number,
    number,
  ];
  const isAll = want.area < 0 && want.family < 0 && want.symptom < 0;
  // Said in words too: on paper the choices are not there.
  const chosen = (["area", "family", "symptom"] as const).flatMap((name) =>
    want[name] < 0 ? [] : [titleAt(name, String(want[name]))],
  );
  count.textContent = isAll ? "" : words.shown(chosen.join("; "), covered, covered + partly + not, partly, not);
}

function titleAt(name: string, place: string | undefined): string {
  return choice(name)?.options[Number(place) + 1]?.text ?? "";
}
function idAt(name: string, place: number): string {
  return choice(name)?.options[place + 1]?.value ?? "";
}

/** What is shown, with the columns and words of the file that was built beside the page. */
async function shownOf(part: string): Promise<string> {
  await whole;
  const want = wanted();
  const rows = [...document.querySelectorAll<HTMLElement>(`[data-part="${part}"] tbody > tr`)].filter(
    (row) => !row.hidden && row.closest("[hidden]") === null,
  );
  if (part === "matrix") {
    const seen = new Set<string>();
    const lines = rows.flatMap(({ dataset: { a, s, v = "" } }) => {
      // A symptom stands in several tables where the equipment is too much for one.
      if (seen.has(s ?? "")) return [];
      seen.add(s ?? "");
      return [...v].flatMap((sign, place) =>
        want.family >= 0 && want.family !== place
          ? []
          : [
              [
                titleAt("area", a),
                titleAt("symptom", s),
                titleAt("family", String(place)),
                words.standings[standings.get(sign) ?? "not-applicable"],
                idAt("symptom", Number(s)),
                idAt("family", place),
              ],
            ],
      );
    });
    return csvOf([BOARD_HEAD, ...lines]);
  }
  const lines = rows.flatMap((row) => {
    const cells = [...row.children].map((cell) => cell.textContent ?? "");
    if (cells.length < 6) return [];
    const tree = row.parentElement?.querySelector(".tree-head a")?.textContent ?? "";
    return [[titleAt("area", row.dataset.a), titleAt("symptom", row.dataset.s), tree, ...cells]];
  });
  return csvOf([CAUSES_HEAD, ...lines]);
}

if (form !== null) {
  form.addEventListener("change", sift);
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    void sift();
  });
  // Behind the reset itself, which empties the choices.
  form.addEventListener("reset", () => setTimeout(sift));
  window.addEventListener("beforeprint", () => fill(() => false));
  document.addEventListener("click", async ({ target }) => {
    const button = target instanceof Element ? target.closest<HTMLElement>("button[data-save]") : null;
    if (button === null) return;
    const link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([await shownOf(button.dataset.save ?? "")], { type: "text/csv" }));
    link.download = button.dataset.file ?? "coverage.csv";
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
  });
  // A reload may bring a choice back.
  if (Object.values(wanted()).some((place) => place >= 0)) void sift();
}
