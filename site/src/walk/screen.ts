/**
 * What a walk shows: one step of the page's own HTML, with the parts that the walk makes for it. `element.ts` says what
 * tests and style sheets may rely on.
 *
 * A tap has 50 ms on a slow phone. So the next step is made and laid out while the finger is still on the answer, and
 * else at least its parts are made while the answer is being written. Showing it touches what changes and nothing else,
 * in one go, and asks for no size before all of it stands.
 */

import { words } from "#words/walk";
import { button, el, textOf } from "../measure/dom.ts";
import { saveRecord } from "../record/file.ts";
import { recordOf } from "../record/record.ts";
import { type NotesHere, notesHere } from "../visit/notes.ts";
import { callHere } from "../visit/on-the-way.ts";
import { reportHere } from "../visit/report-here.ts";
import { soFarHere } from "../visit/so-far.ts";
import { handOver, possibleHere, type Standing, standings, tells } from "./causes.ts";
import { controlsFor } from "./controls.ts";
import { DONE, type Entry, type Place } from "./engine.ts";
import { leaving, returning, stateSign } from "./leaving.ts";
import { anchorOf, type Plan } from "./plan.ts";
import type { Measured, Visit } from "./store.ts";

/** Where the walk stands when nothing decides. */
const HAND_OVER = "=hand-over";

const LINGER_MS = 120;

export type Mode = "start" | "walk" | "all" | "leave" | "return";

export interface View {
  readonly mode: Mode;
  readonly visit: Visit | undefined;
  readonly place: Place | undefined;
}

/** What the reader asks for by what is on the screen. */
export interface Acts {
  /** A finger is on an answer. */
  touched(entry: Entry): void;
  answer(entry: Entry & Measured, asked: string, said: string, kind: string): void;
  back(): void;
  restart(): void;
  stop(): void;
  stay(): void;
  leave(): void;
  /** Back from reading all steps. */
  goOn(): void;
  /** Writes a note, and returns when it is on disk. */
  note(visit: Visit): Promise<void>;
  /** The visit as it stands, which may have gone on since something of it was shown. */
  now(): Visit | undefined;
  isKept(): boolean;
}

/** Made for one view, and taken away with it. */
interface Part {
  readonly made: Element;
  put(): void;
}

export class Screen {
  readonly status = el("p", { class: "status", role: "status", "data-status": "" });
  readonly #walk: HTMLElement;
  readonly #plan: Plan;
  readonly #acts: Acts;
  readonly #trueNow = el("div", { class: "true-now", "data-true-now": "", "aria-live": "polite" });
  readonly #bar = el("div", { class: "bar", "data-bar": "" });
  readonly #soFar: ReturnType<typeof soFarHere>;
  readonly #possible = possibleHere();
  readonly #notes: NotesHere;
  readonly #call = callHere();
  /** Below the step: what stays from step to step, and changes only what it says. */
  readonly #below: HTMLElement;
  /** By the step's key. */
  readonly #sections = new Map<string, HTMLElement>();
  /** What stands before the first step. */
  readonly #before: HTMLElement | null;
  #view: View = { mode: "start", visit: undefined, place: undefined };
  #current: HTMLElement | undefined;
  /** Whether every section is hidden that isn't the current one; nothing is before the first view. */
  #isFolded = false;
  #parts: readonly Part[] = [];
  /** A step that is laid out already, and not in sight. */
  #ahead: { readonly parts: readonly Part[]; readonly section: HTMLElement; readonly shown: HTMLElement } | undefined;
  #report: HTMLElement | undefined;
  /** In place of a step. */
  #panel: HTMLElement | undefined;
  #shownStates: string | undefined;
  #shownBar: string | undefined;

  constructor(walk: HTMLElement, plan: Plan, acts: Acts) {
    this.#walk = walk;
    this.#plan = plan;
    this.#acts = acts;
    this.#soFar = soFarHere(acts.now, acts.note);
    this.#notes = notesHere(acts.now, acts.note, () => this.#showReport());
    this.#below = el("div", { "data-below": "" }, this.#notes.made, this.#call, this.#possible.made);
    // Nothing moves what the page shows already before there is something to say.
    this.#soFar.made.hidden = true;
    this.#trueNow.hidden = true;
    walk.prepend(this.status, this.#soFar.made, this.#trueNow);
    walk.append(this.#below, this.#bar);
    // What the plan knows of a section is written on it here: in the page it would be said twice.
    for (const key of [...Object.keys(plan.steps), DONE]) {
      const section = document.getElementById(anchorOf(key));
      if (section === null) continue;
      section.dataset.step = key;
      section.dataset.kind = plan.steps[key]?.kind ?? "done";
      this.#sections.set(key, section);
    }
    this.#before = walk.querySelector("[data-prepare]");
    showPressed(walk);
    // What the keyboard comes to must not lie under this line.
    new ResizeObserver(() => {
      document.documentElement.style.setProperty("--held", `${this.#trueNow.offsetHeight}px`);
    }).observe(this.#trueNow);
  }

  titleOf(key: string): string {
    return textOf(this.#sections.get(key)?.querySelector("h3"));
  }

  /**
   * Makes what the view needs, and changes nothing in sight.
   *
   * @param isAhead Lays it out, too, where it is another step: it is to be shown soon, or not at all.
   * @returns what shows it.
   */
  prepare(view: View, isAhead = false): () => void {
    const { mode, visit, place } = view;
    const isHandedOver = mode === "walk" && place?.handsOver === true;
    const at = mode !== "walk" ? undefined : isHandedOver ? HAND_OVER : place?.at;
    const section = isHandedOver || at === undefined ? undefined : this.#sections.get(at);
    const standing = place === undefined || place.ended || place.asks !== undefined ? [] : standings(this.#plan, place);
    const parts: Part[] = [];
    let panel: HTMLElement | undefined;
    if (visit !== undefined && place !== undefined) {
      const { back, stop, leave, stay, isKept } = this.#acts;
      if (section !== undefined) parts.push(...this.#partsOf(visit, place, section, standing));
      else if (isHandedOver) panel = handOver(visit.history, { again: back, leave: stop });
      else if (mode === "leave") panel = leaving(this.#plan, place, visit.history, isKept(), { leave, stay });
      else if (mode === "return") panel = returning(this.#plan, place, visit.history, stay);
    }
    if (isAhead && section !== undefined && section !== this.#current) this.#layOut(section, place, parts);
    return () => {
      // A caret left in a step that is hidden makes the browser look through all hidden steps for another place for it.
      getSelection()?.removeAllRanges();
      for (const part of this.#parts) part.made.remove();
      this.#panel?.remove();
      this.#report?.remove();
      this.#report = undefined;
      this.#view = view;
      this.#parts = parts;
      this.#panel = panel;
      const marks = { mode, at, asks: mode === "walk" ? place?.asks : undefined };
      for (const [name, value] of Object.entries(marks)) {
        if (value === undefined) delete this.#walk.dataset[name];
        else if (this.#walk.dataset[name] !== value) this.#walk.dataset[name] = value;
      }
      this.#walk.toggleAttribute("data-ended", mode === "walk" && place?.ended === true);
      if (document.documentElement.dataset.walk !== mode) document.documentElement.dataset.walk = mode;
      const isLaidOut = this.#ahead?.parts === parts;
      if (isLaidOut) this.#bringIn();
      else this.dropAhead();
      this.#fold(mode, section, place);
      this.#showBar();
      this.#showTrueNow();
      hide(this.#soFar.made, mode !== "walk" || visit === undefined);
      // A word of it may have been typed since.
      if (mode === "walk" && visit !== undefined) this.#soFar.show(this.#acts.now() ?? visit);
      if (panel !== undefined) this.#trueNow.after(panel);
      if (!isLaidOut) for (const part of parts) part.put();
      this.#showBelow(section, standing);
    };
  }

  /** Lays a step out where it will stand, out of sight and out of the way of everything else. */
  #layOut(section: HTMLElement, place: Place | undefined, parts: readonly Part[]): void {
    this.dropAhead();
    const procedure = section.closest<HTMLElement>("[data-procedure]");
    const shown = procedure?.hidden === true ? procedure : section;
    this.#ahead = { parts, section, shown };
    shown.dataset.coming = "";
    // Not inert: that would be handed down to everything in it, and taken back again when it is shown.
    shown.ariaHidden = "true";
    for (const part of parts) part.put();
    hide(section, false);
    hide(procedure, false);
    markStates(section, place);
    // Asked for its size, it is laid out now.
    section.querySelector(".body")?.getBoundingClientRect();
  }

  #bringIn(): void {
    if (this.#ahead === undefined) return;
    const { shown } = this.#ahead;
    this.#ahead = undefined;
    delete shown.dataset.coming;
    shown.ariaHidden = null;
  }

  /** What was laid out ahead won't be shown: the reader has taken the finger away, or something else comes. */
  dropAhead(): void {
    if (this.#ahead === undefined) return;
    const { parts, section, shown } = this.#ahead;
    for (const part of parts) part.made.remove();
    hide(section, true);
    hide(shown, true);
    this.#bringIn();
  }

  /** Hides all that the view doesn't show. From step to step only those two change. */
  #fold(mode: Mode, current: HTMLElement | undefined, place: Place | undefined): void {
    const isAll = mode === "all";
    if (isAll || !this.#isFolded) {
      for (const section of this.#sections.values()) hide(section, !isAll);
      each(this.#walk, "[data-procedure], [data-intro], [data-outcomes], [data-after]", () => !isAll);
      each(this.#walk, ".procedure > .onward", () => !isAll);
      if (isAll) each(this.#walk, "[data-left], .leaves", () => false);
      this.#isFolded = !isAll;
    } else if (this.#current !== current) {
      hide(this.#current, true);
      hide(this.#current?.closest<HTMLElement>("[data-procedure]"), true);
    }
    hide(this.#before, mode !== "start" && !isAll);
    each(this.#before, "[data-act=begin], [data-visits]", () => isAll);
    this.#current = current;
    if (current === undefined) return;
    hide(current, false);
    hide(current.closest<HTMLElement>("[data-procedure]"), false);
    markStates(current, place);
  }

  /** In a step: what can be answered, what it tells apart, which of its needs hold. */
  #partsOf(visit: Visit, place: Place, section: HTMLElement, standing: readonly Standing[]): Part[] {
    const step = this.#plan.steps[place.at];
    const body = section.querySelector(".body");
    const parts: Part[] = [];
    const needs = [...section.querySelectorAll<HTMLElement>(".needs [data-state]")];
    for (const need of needs) {
      const holds = place.states.includes(need.dataset.state ?? "");
      need.toggleAttribute("data-holds", holds);
      need.title = holds ? words.holds : "";
    }
    if (place.ended || step === undefined) return parts;
    const licence = place.asks === undefined ? undefined : textOf(section.querySelector("[data-licence] .name"));
    const asked = licence === undefined ? this.titleOf(place.at) : words.askedFor(licence);
    const kind = licence === undefined ? step.kind : "licence";
    const controls = controlsFor(this.#plan, visit.id, place, step, section, {
      touched: (answer) => this.#acts.touched({ step: place.at, ...answer }),
      answered: (answer, said) => this.#acts.answer({ step: place.at, ...answer }, asked, said, kind),
    });
    if (controls !== undefined) {
      const { doubt } = place;
      if (doubt !== undefined && licence === undefined) controls.prepend(this.#insteadOf(doubt.of));
      const replaced = body?.querySelector(":scope > .ways, :scope > .onward, :scope > .measure");
      const put = () => (replaced == null ? body?.append(controls) : replaced.before(controls));
      parts.push({ made: controls, put });
    }
    const why = standing.length === 0 ? undefined : tells(this.#plan, place, standing);
    if (why) parts.push({ made: why, put: () => body?.append(why) });
    return parts;
  }

  #insteadOf(check: string): HTMLElement {
    return el("p", { class: "repeat", "data-instead-of": check }, words.insteadOf(this.titleOf(check)));
  }

  /** Below a step or an end: notes, whom to call, what is still possible, the report. */
  #showBelow(section: HTMLElement | undefined, standing: readonly Standing[]): void {
    const { mode, place } = this.#view;
    const visit = this.#acts.now();
    hide(this.#below, mode !== "walk" || visit === undefined || place === undefined);
    if (mode !== "walk" || visit === undefined || place === undefined) return;
    hide(this.#notes.made, section === undefined);
    if (section !== undefined) this.#notes.show(visit, place.at, this.titleOf(place.at));
    if (this.#call !== undefined) hide(this.#call, place.ended || section === undefined);
    hide(this.#possible.made, standing.length === 0);
    if (standing.length > 0) this.#possible.show(standing, place);
    if (section !== undefined) this.#showReport();
  }

  /** At an end, below the notes, which it holds too. */
  #showReport(): void {
    const { place } = this.#view;
    const visit = this.#acts.now();
    if (place?.ended !== true || visit === undefined) return;
    const report = reportHere(visit, this.#acts.restart);
    this.#report?.remove();
    this.#below.append(report);
    this.#report = report;
  }

  /** What is true of the house and the unit stays in sight as long as a visit is under way. */
  #showTrueNow(): void {
    const { mode, visit, place } = this.#view;
    const states = place?.states ?? [];
    this.#trueNow.hidden = visit === undefined || (mode !== "walk" && mode !== "all");
    if (this.#shownStates === states.join(" ")) return;
    this.#shownStates = states.join(" ");
    const signed = states.map((id) => el("li", { "data-true": id }, stateSign(id), this.#plan.states[id] ?? id));
    const list = signed.length === 0 ? words.trueNothing : el("ul", {}, ...signed);
    this.#trueNow.replaceChildren(el("b", {}, words.trueNow), " ", list);
  }

  /** What can be done from everywhere in this view. */
  #showBar(): void {
    const { mode, visit, place } = this.#view;
    const { back, restart, stop, goOn, now, isKept } = this.#acts;
    const buttons: Readonly<Record<string, readonly [label: string, press: () => void]>> = {
      save: [words.save, () => saveRecord(recordOf(now() as Visit))],
      back: [words.back, back],
      restart: [words.restart, restart],
      all: [words.all, () => this.#showAll()],
      stop: [words.stop, stop],
      choose: [words.toBegin, () => this.focusOn("[data-serves] h2")],
      walk: [words.walk, goOn],
    };
    const ofMode = {
      walk: ["back", "restart", "all", ...(place?.ended === true ? [] : ["stop"])],
      start: ["choose", "all"],
      return: ["restart", "all"],
      leave: ["all"],
      all: ["walk"],
    }[mode];
    const names = [...(isKept() || visit === undefined ? [] : ["save"]), ...ofMode];
    if (this.#shownBar === names.join()) return;
    this.#shownBar = names.join();
    this.#bar.replaceChildren(
      ...names.map((name) => {
        const [label, press] = buttons[name] ?? ["", () => undefined];
        const made = button({ "data-act": name, ...(name === "choose" && { class: "primary" }) }, label);
        made.addEventListener("click", press);
        return made;
      }),
    );
  }

  #showAll(): void {
    this.prepare({ ...this.#view, visit: this.#acts.now(), mode: "all" })();
    this.#walk.scrollIntoView();
  }

  focusOn(selector: string): void {
    const heading = this.#walk.querySelector<HTMLElement>(selector);
    heading?.setAttribute("tabindex", "-1");
    heading?.focus();
    heading?.scrollIntoView();
  }

  /** The step's heading takes the focus, so that a screen reader begins there; the top of the walk comes into view. */
  focusStep(): void {
    const heading = this.#panel?.querySelector("h2") ?? this.#current?.querySelector<HTMLElement>("h3");
    if (heading == null) return;
    heading.tabIndex = -1;
    heading.focus({ preventScroll: true });
    this.#walk.scrollIntoView();
  }
}

/** A browser first waits whether the finger goes on to scroll, and would show a touch when it is over. */
function showPressed(walk: HTMLElement): void {
  let pressed: HTMLElement | null = null;
  walk.addEventListener("pointerdown", ({ target }) => {
    delete pressed?.dataset.pressed;
    pressed = (target as Element).closest("button");
    if (pressed !== null) pressed.dataset.pressed = "";
  });
  const release = () => {
    const released = pressed;
    // Long enough to be seen; and what a touch does comes first.
    setTimeout(() => delete released?.dataset.pressed, LINGER_MS);
  };
  addEventListener("pointerup", release);
  addEventListener("pointercancel", release);
}

/** Of the states that an end may leave behind, those that hold are named. */
function markStates(section: HTMLElement, place: Place | undefined): void {
  const isGone = (state: HTMLElement) => place?.states.includes(state.dataset.left ?? "") !== true;
  each(section, "[data-left]", isGone);
  each(section, ".leaves", (one) => [...one.querySelectorAll<HTMLElement>("[data-left]")].every(isGone));
}

function each(within: HTMLElement | null, selector: string, isHidden: (element: HTMLElement) => boolean): void {
  for (const element of within?.querySelectorAll<HTMLElement>(selector) ?? []) hide(element, isHidden(element));
}

function hide(element: HTMLElement | null | undefined, isHidden: boolean): void {
  if (element != null && element.hidden !== isHidden) element.hidden = isHidden;
}
