/**
 * <kept-visits>: the visits on this device, on the home page: to go on with, to look at, to delete; and a record read in
 * from a file.
 *
 * For tests: <kept-visits data-base> has details[data-visit][data-state] with a[data-act="go-on"], [data-act="show"]
 * (a <visit-record>, see `element.ts`), [data-act="remove"] and then [data-act="remove-yes"], [data-act="remove-no"];
 * [data-visits-status]; [data-read-in], elsewhere on the page, gets input[data-act="read-in"].
 */
import { button, type Child, el } from "../measure/dom.ts";
import { EQUIPMENT } from "../walk/engine.ts";
import { deleteVisit, photosOf, saveWhole, type Visit, visitsTo } from "../walk/store.ts";
import { printed, recordOf, unprinted, visitOf } from "./record.ts";
import { moment } from "./report.ts";
import { validate } from "./valid.ts";
import "./element.ts";
import { words } from "#words/record";
import { VisitRecord } from "./visit-record.ts";

class KeptVisits extends HTMLElement {
  #status = el("p", { class: "status", role: "status", "data-visits-status": "" });
  #list = el("div", {});

  connectedCallback(): void {
    if (this.contains(this.#status)) return;
    this.append(this.#list, this.#status);
    document.querySelector("[data-read-in]")?.append(this.#reader());
    void this.#fill();
  }

  async #fill(): Promise<void> {
    const visits = await this.#visits();
    if (visits.length === 0) {
      this.#list.replaceChildren();
      return;
    }
    const isOpen = ({ state }: Visit) => state === "open";
    const sorted = [...visits.filter(isOpen), ...visits.filter((visit) => !isOpen(visit))];
    this.#list.replaceChildren(
      el(
        "section",
        { class: "visits", "aria-labelledby": "visits_h" },
        el("h2", { id: "visits_h", tabindex: "-1" }, words.visits),
        el("p", {}, words.visitsNote),
        ...sorted.map((visit) => this.#row(visit)),
      ),
    );
  }

  async #visits(): Promise<Visit[]> {
    return visitsTo(this.dataset.base ?? "").catch(() => []);
  }

  #row(visit: Visit): HTMLElement {
    const state = words.states[visit.left !== undefined && visit.state === "open" ? "left" : visit.state];
    const steps = words.stepsDone(visit.history.filter(({ step }) => step !== EQUIPMENT).length);
    const act = (name: string, label: string, press: () => void) => {
      const made = button({ "data-act": name }, label);
      made.addEventListener("click", press);
      return made;
    };
    const room = el("div", {});
    const buttons = el("div", { class: "buttons" });
    const usual: Child[] = [
      this.#goOn(visit),
      act("show", words.show, () => {
        const shown = new VisitRecord();
        shown.visit = visit;
        shown.className = "visit-summary";
        shown.dataset.summary = "";
        room.replaceChildren(shown);
      }),
      act("remove", words.remove, () => {
        const no = act("remove-no", words.removeNo, () => {
          buttons.replaceChildren(...usual.filter((child) => child !== undefined));
          buttons.querySelector<HTMLElement>('[data-act="remove"]')?.focus();
        });
        buttons.replaceChildren(
          el("p", {}, words.removeSure),
          act("remove-yes", words.removeYes, () => void this.#remove(visit)),
          no,
        );
        no.focus();
      }),
    ];
    buttons.append(...usual.filter((child) => child !== undefined));
    const lines = [visit.history[0]?.said, visit.address].filter((text) => text !== undefined && text !== "");
    return el(
      "details",
      { "data-visit": visit.id, "data-state": visit.state, ...(visit.state === "open" && { open: "" }) },
      el("summary", {}, el("span", {}, el("b", {}, lines.join(", ")), ` ${visit.title}`)),
      el("p", {}, `${moment(visit.changed)}: ${steps}, ${state}`),
      buttons,
      room,
    );
  }

  /** Nothing for a visit that is finished, or to a tree that this site doesn't have. */
  #goOn({ id, tree, state }: Visit): HTMLElement | undefined {
    const page = `trees/${tree}.html`;
    if (state === "ended" || document.querySelector(`a[href="${page}"]`) === null) return undefined;
    return el("a", { class: "button primary", "data-act": "go-on", href: `${page}?visit=${id}` }, words.goOn);
  }

  async #remove(visit: Visit): Promise<void> {
    await deleteVisit(visit.id);
    await this.#fill();
    this.#status.textContent = words.removed;
    (this.querySelector<HTMLElement>("#visits_h") ?? this.querySelector<HTMLElement>("summary"))?.focus();
  }

  #reader(): HTMLElement {
    const input = el("input", { id: "read-in", type: "file", accept: ".json,.txt", "data-act": "read-in" });
    input.addEventListener("change", () => {
      const [file] = input.files ?? [];
      if (file === undefined) return;
      void this.#readIn(file).then((message) => {
        this.#status.textContent = message;
        this.scrollIntoView({ block: "center" });
        // The same file can be chosen again.
        input.value = "";
      });
    });
    return el("p", { class: "read-in" }, el("label", { for: "read-in" }, words.readIn), input);
  }

  /** @returns what came of it. What is on the device already stays as it is. */
  async #readIn(file: File): Promise<string> {
    let record: unknown;
    try {
      record = JSON.parse(await file.text());
    } catch {
      return words.noJson(file.name);
    }
    const { format } = (record ?? {}) as { readonly format?: unknown };
    if (typeof format === "number" && format > 1) return words.newer(file.name);
    if (!validate(record)) {
      const [error] = validate.errors ?? [];
      return words.noRecord(file.name, error?.instancePath.slice(1) || words.top, error?.message ?? "");
    }
    if (record.base !== this.dataset.base) return words.otherBase(file.name, record.base);
    try {
      const visit = visitOf(record);
      const here = (await visitsTo(visit.base)).find(({ id }) => id === visit.id);
      if (here !== undefined) {
        const same = recordOf(here, await printed(await photosOf(here.id)));
        if (JSON.stringify(same) === JSON.stringify(recordOf(visit, record.photos))) return words.readInSame;
      }
      const id = here === undefined ? visit.id : `${visit.id}-${Date.now()}`.slice(-80);
      await saveWhole({ ...visit, id }, unprinted(record, id));
      await this.#fill();
      return here === undefined ? words.readInDone(visit.title) : words.readInBeside;
    } catch {
      return words.notKept;
    }
  }
}

customElements.define("kept-visits", KeptVisits);
