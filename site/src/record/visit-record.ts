/** The report of one visit, with what can be done with it. */

import { words } from "#words/record";
import { button, el, textOf } from "../measure/dom.ts";
import { type Photo, photosOf, type Visit } from "../walk/store.ts";
import { fileName, saveRecord } from "./file.ts";
import type { JobRecord } from "./format.ts";
import { printed, recordOf } from "./record.ts";
import { reportOf } from "./report.ts";

export class VisitRecord extends HTMLElement {
  /** Set by whoever makes the element, before this script is there or after. */
  declare visit?: Visit;
  #status = el("p", { class: "status", role: "status", "data-record-status": "" });
  #addresses: string[] = [];

  async connectedCallback(): Promise<void> {
    const { visit } = this;
    if (visit === undefined || this.#addresses.length > 0 || this.contains(this.#status)) return;
    // The visit itself is at hand: where nothing can be kept, its record can still be saved as a file.
    const photos = await photosOf(visit.id).catch((): Photo[] => []);
    const record = recordOf(visit, await printed(photos));
    this.#addresses = photos.map(({ jpeg }) => URL.createObjectURL(jpeg));
    const act = (name: string, label: string, press: () => void) => {
      const made = button({ "data-act": name, ...(name === "print" && { class: "primary" }) }, label);
      made.addEventListener("click", press);
      return made;
    };
    const report = el("div", { class: "report" }, ...reportOf(record, this.#addresses));
    const canShare = "share" in navigator;
    this.setAttribute("aria-labelledby", "record_h");
    this.replaceChildren(
      report,
      el(
        "div",
        { class: "buttons" },
        act("print", words.print, () => this.#print()),
        ...(canShare ? [act("share", words.share, () => void this.#share(record, textLines(report)))] : []),
        act("save", words.save, () => this.#save(record)),
      ),
      this.#status,
    );
  }

  disconnectedCallback(): void {
    for (const address of this.#addresses) URL.revokeObjectURL(address);
    this.#addresses = [];
  }

  #print(): void {
    const root = document.documentElement;
    root.dataset.print = "summary";
    this.dataset.printing = "";
    window.addEventListener(
      "afterprint",
      () => {
        delete root.dataset.print;
        delete this.dataset.printing;
      },
      { once: true },
    );
    window.print();
  }

  /** To the device's own share sheet: the report as text, and the record as a file where the sheet takes one. */
  async #share(record: JobRecord, text: string): Promise<void> {
    const title = titleOf(record);
    const json = JSON.stringify(record, undefined, 2);
    // Some share sheets refuse JSON and take plain text; either can be read in again.
    const files = [
      new File([json], `${fileName(record)}.json`, { type: "application/json" }),
      new File([json], `${fileName(record)}.txt`, { type: "text/plain" }),
    ].find((file) => navigator.canShare?.({ files: [file] }));
    try {
      await navigator.share({ title, text, ...(files && { files: [files] }) });
      this.#status.textContent = words.shared;
    } catch (error) {
      // Thought better of: nothing is wrong. Anything else: the file is the way that is left.
      if ((error as DOMException).name !== "AbortError") this.#save(record);
    }
  }

  #save(record: JobRecord): void {
    this.#status.textContent = words.saved(saveRecord(record));
  }
}

/** The report as plain text: a line for each of its lines, an empty one before each heading. */
function textLines(report: HTMLElement): string {
  const blocks = report.querySelectorAll("h2, h3, dl > div, p, blockquote, li, tbody tr");
  return [...blocks]
    .map((block) => `${block.matches("h2, h3") ? "\n" : ""}${[...block.childNodes].map(blockText).join(" ")}`.trimEnd())
    .join("\n")
    .trim();
}

/** What is a line of its own is left out of the line around it. */
function blockText(node: Node): string {
  return node instanceof Element ? (node.matches("p, img") ? "" : textOf(node)) : (node.textContent ?? "").trim();
}

function titleOf({ procedure, equipment, address }: JobRecord): string {
  return [procedure.title, equipment.title, address].filter((text) => text !== undefined).join(", ");
}
