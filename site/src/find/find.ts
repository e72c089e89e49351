/**
 * Finding a symptom by what the customer says, or a calculator by what is to be known: the list on the page is the data,
 * and stays the page without script.
 *
 * For tests: input[data-find], whose value is what a find is called, [data-found-count] (announced), [data-results] with
 * copies of the [data-listed] items, best first; [data-areas] is hidden while something is typed.
 */
import MiniSearch, { type Query } from "minisearch";

interface Line {
  readonly id: string;
  readonly title: string;
  /** The customers' phrases, or what a formula is for. */
  readonly says: string;
  /** The procedures that begin there. */
  readonly trees: string;
}

/** Words that stand in every complaint and find nothing. */
const EMPTY = new Set(
  "a all am an and are at be been but by can do does doesn don for from get gets had has have i in is isn it its just me my of on or our out s so t that the their there they this to us was we when with".split(
    " ",
  ),
);
const SHOWN = 40;

const box = document.querySelector<HTMLInputElement>("[data-find]");
const areas = document.querySelector<HTMLElement>("[data-areas]");
const results = document.querySelector<HTMLElement>("[data-results]");
const list = document.querySelector<HTMLElement>("[data-results] ol");
const count = document.querySelector<HTMLElement>("[data-found-count]");

function simplify(term: string): string | null {
  const plain = term
    .normalize("NFD")
    .replace(/[\u0300-\u036f]/g, "")
    .toLowerCase();
  return EMPTY.has(plain) ? null : plain;
}

function indexOf(items: Map<string, HTMLElement>): MiniSearch<Line> {
  const index = new MiniSearch<Line>({
    fields: ["title", "says", "trees"],
    processTerm: simplify,
    searchOptions: {
      boost: { title: 2, says: 3 },
      prefix: (term) => term.length > 1,
      // One slip in a word of four letters, two in one of eight.
      fuzzy: (term) => (term.length > 7 ? 2 : term.length > 3 ? 1 : 0),
      weights: { fuzzy: 0.4, prefix: 0.7 },
    },
  });
  const text = (item: HTMLElement, selector: string) => item.querySelector(selector)?.textContent ?? "";
  index.addAll(
    [...items].map(([id, item]) => ({
      id,
      title: text(item, ":is(h2, h3)"),
      says: `${text(item, ".says")} ${item.dataset.more ?? ""}`,
      trees: text(item, ".trees"),
    })),
  );
  return index;
}

/** A typed word as it is, or with two neighbouring letters changed over: the slip that counts as two elsewhere. */
function slipsOf(term: string): Query {
  const slips = term.length < 4 ? [] : [...term].slice(1).map((_, at) => swapped(term, at));
  return { combineWith: "OR", queries: [term, { queries: slips, fuzzy: false, prefix: false, boostTerm: () => 0.5 }] };
}

function swapped(term: string, at: number): string {
  return term.slice(0, at) + term.charAt(at + 1) + term.charAt(at) + term.slice(at + 2);
}

if (box !== null && areas !== null && results !== null && list !== null && count !== null) {
  const items = new Map<string, HTMLElement>();
  for (const item of areas.querySelectorAll<HTMLElement>("[data-listed]")) items.set(item.dataset.listed ?? "", item);
  const what = box.dataset.find ?? "";
  let index: MiniSearch<Line> | undefined;

  const find = () => {
    const typed = box.value.trim();
    // One letter finds everything and tells nothing.
    const isTyped = typed.length > 1;
    index ??= indexOf(items);
    const terms = typed.split(/[^\p{L}\p{N}]+/u).flatMap((word) => (word === "" ? [] : (simplify(word) ?? [])));
    const queries = isTyped ? terms.map(slipsOf) : [];
    // All words if some symptom has them all; else whatever has any, best first.
    let found = index.search({ combineWith: "AND", queries });
    if (found.length === 0) found = index.search({ combineWith: "OR", queries });
    list.replaceChildren(...found.slice(0, SHOWN).flatMap((one) => items.get(one.id as string)?.cloneNode(true) ?? []));
    results.hidden = found.length === 0;
    areas.hidden = isTyped;
    const more = found.length > SHOWN ? `, the first ${SHOWN} shown` : "";
    const said = found.length === 1 ? `1 ${what} found` : `${found.length} ${what}s found${more}`;
    count.textContent = !isTyped ? "" : found.length === 0 ? "Nothing found. Try another word for it." : said;
  };
  box.addEventListener("input", find);
  // Indexing a thousand symptoms takes a moment: rather while the reader reaches for the keyboard.
  box.addEventListener("focus", () => {
    index ??= indexOf(items);
  });
  box.form?.addEventListener("submit", (event) => {
    event.preventDefault();
    find();
    results.querySelector<HTMLElement>("a")?.focus();
  });
  // A reload may bring the typed words back.
  if (box.value !== "") find();
}
