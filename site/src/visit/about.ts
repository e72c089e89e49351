/** What is asked before the first step for the record: where, who, and what the customer says. Nothing has to be given. */

import { words } from "#words/visit";
import { el } from "../measure/dom.ts";
import type { Visit } from "../walk/store.ts";

/** The name stays for the next visit; an address doesn't, since it is another one. */
const WHO = "headwater-who";

type About = Pick<Visit, "address" | "who" | "said">;

export function aboutForm(): { readonly form: HTMLElement; given(): About } {
  const address = el("input", { id: "about_address", name: "address", autocomplete: "off", maxlength: "200" });
  const who = el("input", { id: "about_who", name: "who", autocomplete: "name", maxlength: "100" });
  const said = el("textarea", { id: "about_said", name: "said", rows: "2", maxlength: "2000" });
  who.value = keptName();
  const line = (label: string, input: HTMLElement) => el("p", {}, el("label", { for: input.id }, label), input);
  const form = el(
    "section",
    { class: "about", "data-about": "", "aria-labelledby": "about_h" },
    el("h2", { id: "about_h" }, words.about),
    el("p", {}, words.aboutNote),
    line(words.address, address),
    line(words.who, who),
    line(words.said, said),
  );
  return {
    form,
    given() {
      keepName(who.value.trim());
      const about: Record<string, string> = {};
      for (const field of [address, who, said]) if (field.value.trim() !== "") about[field.name] = field.value.trim();
      address.value = said.value = "";
      return about;
    },
  };
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
