/** What the record says of the visit: where, who, and what the customer says. Nothing has to be given. */

import { words } from "#words/visit";
import { el } from "../measure/dom.ts";
import type { Visit } from "../walk/store.ts";

/** The name stays for the next visit; an address doesn't, since it is another one. */
const WHO = "headwater-who";

type About = Pick<Visit, "address" | "who" | "said">;

/** Before the first step. */
export function aboutForm(): { readonly form: HTMLElement; given(): About } {
  const { lines, fields } = linesOf("about", { who: keptName() });
  const form = el(
    "section",
    { class: "about", "data-about": "", "aria-labelledby": "about_h" },
    el("h2", { id: "about_h" }, words.about),
    el("p", {}, words.aboutNote),
    ...lines,
  );
  return {
    form,
    given() {
      const about = aboutIn(fields);
      keepName(about.who ?? "");
      for (const field of fields) if (field.name !== "who") field.value = "";
      return about;
    },
  };
}

/**
 * While a visit is under way: each letter is kept.
 *
 * @param now The visit as it stands.
 */
export function aboutHere(
  now: () => Visit | undefined,
  keep: (visit: Visit) => Promise<void>,
): { readonly made: HTMLElement; show(visit: Visit): void } {
  const { lines, fields } = linesOf("here", {});
  let here = "";
  for (const field of fields)
    field.addEventListener("input", () => {
      const current = now();
      if (current?.id !== here) return;
      const { address: _, who: __, said: ___, ...others } = current;
      const about = aboutIn(fields);
      keepName(about.who ?? "");
      void keep({ ...others, ...about });
    });
  return {
    made: el("div", { class: "about", "data-about-here": "" }, el("h2", {}, words.about), ...lines),
    show(visit) {
      here = visit.id;
      for (const field of fields) {
        const value = visit[field.name as keyof About] ?? "";
        if (field.value.trim() !== value) field.value = value;
      }
    },
  };
}

type Field = HTMLInputElement | HTMLTextAreaElement;

/** @param place Begins the ids: the form before the first step stays in the page. */
function linesOf(place: string, about: About): { readonly lines: HTMLElement[]; readonly fields: readonly Field[] } {
  const id = (name: string) => `${place}_${name}`;
  const address = el("input", { id: id("address"), name: "address", autocomplete: "off", maxlength: "200" });
  const who = el("input", { id: id("who"), name: "who", autocomplete: "name", maxlength: "100" });
  const said = el("textarea", { id: id("said"), name: "said", rows: "2", maxlength: "2000" });
  address.value = about.address ?? "";
  who.value = about.who ?? "";
  said.value = about.said ?? "";
  const line = (label: string, input: HTMLElement) => el("p", {}, el("label", { for: input.id }, label), input);
  return {
    lines: [line(words.address, address), line(words.who, who), line(words.said, said)],
    fields: [address, who, said],
  };
}

function aboutIn(fields: readonly Field[]): About {
  const given = fields.flatMap(({ name, value }) => (value.trim() === "" ? [] : [[name, value.trim()] as const]));
  return Object.fromEntries(given);
}

function keptName(): string {
  try {
    return localStorage.getItem(WHO) ?? "";
  } catch {
    return "";
  }
}

function keepName(name: string): void {
  try {
    if (name === "") localStorage.removeItem(WHO);
    else localStorage.setItem(WHO, name);
  } catch {
    // Then it is typed again next time.
  }
}
