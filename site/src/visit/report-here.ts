/** The report at the end of a walk. Its script is asked for only now: a walk is whole without it. */

import { words } from "#words/visit";
import { button, el } from "../measure/dom.ts";
import { entryList } from "../walk/record.ts";
import type { Visit } from "../walk/store.ts";

/** Scripts lie beside each other, on a server and on a disk; a kept version of one asks for the kept one of the other. */
const here = (document.currentScript as HTMLScriptElement | null)?.src ?? "walk.js";
let asked: HTMLScriptElement | undefined;

export function reportHere(visit: Visit, again: () => void): HTMLElement {
  const record = el("div", {}, el("p", {}, words.waiting));
  const report = Object.assign(document.createElement("visit-record"), { visit });
  for (const [name, value] of [
    ["class", "visit-summary"],
    ["data-summary", ""],
  ] as const)
    report.setAttribute(name, value);
  report.append(record);
  const failed = () => record.replaceChildren(el("p", {}, words.noReport), entryList(visit.history));
  if (asked === undefined) {
    asked = el("script", { src: here.replace("walk.js", "record.js") });
    asked.addEventListener("error", () => {
      // Once there is a network again, the next end asks again.
      asked?.remove();
      asked = undefined;
    });
    document.head.append(asked);
  }
  asked.addEventListener("error", failed);
  const another = button({ "data-act": "another" }, words.anotherVisit);
  another.addEventListener("click", again);
  return el("div", {}, report, el("div", { class: "buttons" }, another));
}
