/**
 * <guided-walk>: one step at a time over the page's own HTML. Without script the page stays a procedure to read.
 *
 * What tests and style sheets may rely on:
 *
 * on <guided-walk>    data-mode="start" (choosing the equipment), "walk" (a step, an end), "all" (everything to read),
 *                     "leave" (what to put back before leaving early), "return" (what to make true again after it)
 *                     data-at="<step key>" in mode walk ("=done" after the proof); data-ended when it is an end;
 *                     data-asks="<licence>" while the step asks for a licence before it shows anything else
 * sections            .step with the step's key as its id (`<step>`, `<routine>__<step>`; `done`), with or without
 *                     script; with it also [data-step="<key>"][data-kind], and `hidden` unless it is the current one;
 *                     #routine-<id>[data-routine="<id>"] around a routine's steps
 * start               [data-family="<id>"] [data-act="begin"]; [data-act="choose"] leads there; [data-visits] with details[data-visit][data-state],
 *                     in them [data-act="resume"], [data-act="remove"]
 * at a step           [data-controls] holds all of them: [data-answer="<id>"] (look), [data-act="go-on"] (all others);
 *                     measure: input[data-input="<reading>"], [data-refusal="<reading>"], select[data-unit-of="<reading>"],
 *                     [data-act="sign"], [data-timer] with [data-act="timer"] and [data-elapsed], [data-doubt="<reading>"]
 *                     with [data-act="sure"], [data-system="us|metric"], [data-result][data-range][data-exact] (in the
 *                     author's unit), [data-gauge] with [data-band][data-here], [data-unfold] with [data-computed];
 *                     [data-repeat="<answer>"] when a bounded repeat was taken before; licence: [data-answer="=licensed"],
 *                     [data-answer="=unlicensed"]; [data-act="stop"] (to mode leave) unless it is an end
 *                     at a check also [data-answer="=unsure"]; [data-instead-of="<step key>"] where it is asked in place
 *                     of one that the reader was not sure of; [data-tells] what it tells apart
 * nothing decides     data-at="=hand-over", [data-hand-over] with [data-act="look-again"], [data-act="put-back"]
 * not at an end       [data-possible] with [data-cause][data-share], the contradicted ones in details[data-against]
 * leave, return       [data-leaving] with [data-back="<states>"], in it details[data-steps="<routine>"] or links, and
 *                     [data-act="leave"], [data-act="stay"]; [data-again="<state>"], [data-act="go-on"]
 * not kept            [data-act="save"] (a file); [data-elsewhere="<visit>"] with [data-act="take"]: another tab has it
 * always              [data-act="back"], [data-act="restart"], [data-act="all"] (to mode all), [data-act="walk"] (back)
 *                     [data-so-far] the way so far, [data-true-now] with [data-true="<state>"], [data-status] what is
 *                     announced
 *                     at a step also details[data-note] with textarea, input[type=file][data-act="photo"], [data-photo]
 *                     with [data-act="photo-remove"], [data-note-status]; details[data-call-here]; [data-minutes]
 * start               also [data-about] with input[name="address"], input[name="who"], textarea[name="said"]
 * at an end           <visit-record data-summary> (see `record/element.ts`), [data-act="another"]
 *
 * An answer is on disk before the next step is shown; `data-busy` is on the element meanwhile. While a finger is on an
 * answer, [data-pressed] is on it, and [data-coming] on the step, or the routine, that is laid out for it and not in sight.
 */

import { words } from "#words/walk";
import { button, el, textOf } from "../measure/dom.ts";
import { holdVisit, releaseVisit } from "../offline/held.ts";
import { type AsServed, dropUnneeded, holdVersion, keepVersion, openKept } from "../offline/kept.ts";
import { isKeptPage, newerWorker, USE_NEWER, useNewer } from "../offline/newer.ts";
import { askToPersist, whyRefused } from "../offline/persist.ts";
import { aboutForm } from "../visit/about.ts";
import { endingOf, plannedOf } from "../visit/ending.ts";
import { undone } from "../visit/on-the-way.ts";
import { advance, type Entry, EQUIPMENT, isMisfit, type Place, replay, UNSURE, waysBack } from "./engine.ts";
import type { Plan } from "./plan.ts";
import { countOf, visitList } from "./record.ts";
import { type Mode, Screen } from "./screen.ts";
import { deleteVisit, type Measured, type Noted, saveVisit, takeVisit, type Visit, visitsTo } from "./store.ts";

/** This page, for as long as it is open. */
const TAB = Math.random().toString(36).slice(2);

/** By then a click has come, if one comes. */
const CLICK_MS = 300;

/** What is to be said on the page that comes next. */
const SAID = "headwater-said";

class GuidedWalk extends HTMLElement {
  #plan!: Plan;
  #screen!: Screen;
  #visit: Visit | undefined;
  #place: Place | undefined;
  /** What was made ready for an answer that may be given. */
  #ahead: { readonly from: Place; readonly name: string; readonly next: Place; readonly show: () => void } | undefined;
  #isKept = true;
  #isFull = false;
  /** Whether the visit under way was stored before. */
  #isStored = false;
  #served: AsServed | undefined;
  #elsewhere: HTMLElement | undefined;
  #visits: HTMLElement | undefined;
  #about = aboutForm();

  connectedCallback(): void {
    const data = this.querySelector("[data-plan]")?.textContent;
    if (data == null || this.dataset.mode !== undefined) return;
    const { version = "", script = "" } = this.dataset;
    this.#served = { version, script, html: `<!doctype html>${document.documentElement.outerHTML}` };
    holdVersion(version);
    document.addEventListener(USE_NEWER, (event) => {
      if (this.#visit === undefined) return;
      event.preventDefault();
      void this.#useNewer(this.#visit);
    });
    this.#plan = JSON.parse(data) as Plan;
    this.#screen = new Screen(this, this.#plan, {
      touched: (entry) => this.#touched(entry),
      answer: (...given) => void this.#answer(...given),
      back: () => void this.#back(),
      restart: () => void this.#restart(),
      stop: () => void this.#stop(),
      stay: () => void this.#stay(),
      leave: () => void this.#leave(),
      goOn: () => (this.#visit === undefined ? this.#show("start") : this.#goOn()),
      note: (visit) => this.#note(visit),
      now: () => this.#visit,
      isKept: () => this.#isKept,
    });
    this.querySelector("[data-serves]")?.before(this.#about.form);
    this.#addFamilyButtons();
    // A click follows, unless the finger has left the button, or scrolls.
    const untouched = () => {
      const ahead = this.#ahead;
      if (ahead !== undefined) setTimeout(() => this.#ahead === ahead && this.#dropAhead(), CLICK_MS);
    };
    window.addEventListener("pointerup", untouched);
    window.addEventListener("pointercancel", untouched);
    // No key leads to what isn't in sight.
    window.addEventListener("keydown", () => this.#dropAhead());
    // A link to a step, a state or a routine is a wish to read: the walk steps aside.
    this.addEventListener("click", (event) => {
      const link = (event.target as Element).closest('a[href^="#"]');
      if (link !== null && this.dataset.mode !== "all") this.#show("all");
    });
    window.addEventListener("hashchange", () => {
      // A new entry in the browser's history begins without a note of the visit.
      if (this.#visit !== undefined) rememberVisit(this.#visit.id);
      if (this.dataset.mode !== "all") this.#readAt(location.hash);
    });
    void this.#open();
  }

  /** Goes on where this tab was; else shows the start with the visits on this device. */
  async #open(): Promise<void> {
    const asked = new URLSearchParams(location.search).get("visit");
    const wanted = (history.state as { visit?: string } | null)?.visit ?? asked;
    const visits = await this.#storedVisits();
    const visit = visits.find((one) => one.id === wanted);
    if (visit === undefined || !(await this.#resume(visit))) {
      if (visit === undefined) await this.#listVisits(visits);
      if (!this.#readAt(location.hash)) this.#show("start");
      const said = sessionStorage.getItem(SAID) ?? "";
      sessionStorage.removeItem(SAID);
      if (said !== "") this.#say(said);
    }
    void dropUnneeded().catch(() => undefined);
  }

  /** @returns whether the address names a place inside the walk's pages; then everything is shown, and that place. */
  #readAt(hash: string): boolean {
    const target = document.getElementById(hash.slice(1));
    if (target === null || !this.contains(target)) return false;
    this.#show("all");
    target.scrollIntoView();
    return true;
  }

  #addFamilyButtons(): void {
    const items = [...this.querySelectorAll<HTMLElement>("[data-family]")];
    const heading = this.querySelector("[data-serves] h2");
    if (items.length > 1 && heading !== null) heading.textContent = words.whichEquipment;
    for (const item of items) {
      const title = textOf(item.querySelector("h3"));
      const label = items.length === 1 ? words.beginOnly : words.begin(title);
      const press = button({ class: "primary", "data-act": "begin" }, label);
      press.addEventListener("click", () => void this.#begin(item.dataset.family ?? "", title));
      item.append(press);
    }
  }

  async #begin(family: string, title: string): Promise<void> {
    if (this.hasAttribute("data-busy") || this.#served === undefined) return;
    this.setAttribute("data-busy", "");
    const now = new Date();
    const visit: Visit = {
      id: `${now.getTime()}-${Math.random().toString(36).slice(2, 10)}`,
      base: this.#plan.base,
      tree: this.#plan.tree,
      title: textOf(document.querySelector("h1")),
      began: now.toISOString(),
      changed: now.toISOString(),
      state: "open",
      symptom: this.#plan.symptom,
      ...this.#about.given(),
      history: [],
      version: this.#served.version,
      tab: TAB,
    };
    void this.#keepSteps(this.#served, visit.id);
    await holdVisit(visit.id, false, () => this.#lose());
    this.removeAttribute("data-busy");
    this.#isStored = false;
    this.#place = replay(this.#plan, []) as Place;
    this.#visit = visit;
    await this.#answer({ step: EQUIPMENT, answer: family }, words.equipment, title, "equipment");
    if (this.#isKept) askToPersist();
  }

  /** The first step doesn't wait for this. */
  async #keepSteps(served: AsServed, visit: string): Promise<void> {
    try {
      await keepVersion(served);
    } catch {
      if (this.#visit?.id === visit && this.#isKept) this.#say(words.versionNotKept);
    }
  }

  /** A finger stays for a tenth of a second. That is long enough to make the next step ready on a slow phone. */
  #touched(entry: Entry): void {
    const from = this.#place;
    if (this.#visit === undefined || from === undefined || this.hasAttribute("data-busy")) return;
    if (this.#readyFor(entry) !== undefined) return;
    const next = advance(this.#plan, from, entry);
    // What is in sight must not change yet, and what is said of a walk that is handed over needs the answer.
    if (typeof next === "string" || next.at === from.at || next.handsOver) return;
    const show = this.#screen.prepare({ mode: "walk", visit: this.#visit, place: next }, true);
    this.#ahead = { from, name: nameOf(entry), next, show };
  }

  #readyFor(entry: Entry) {
    const ahead = this.#ahead;
    return ahead?.from === this.#place && ahead?.name === nameOf(entry) ? ahead : undefined;
  }

  #dropAhead(): void {
    if (this.#ahead === undefined) return;
    this.#ahead = undefined;
    this.#screen.dropAhead();
  }

  async #answer(entry: Entry & Measured, asked: string, said: string, kind: string): Promise<void> {
    const visit = this.#visit;
    // A second tap on the same button must not answer the next step.
    if (visit === undefined || this.#place === undefined || this.hasAttribute("data-busy")) return;
    const ahead = this.#readyFor(entry);
    this.#ahead = undefined;
    const next = ahead?.next ?? advance(this.#plan, this.#place, entry);
    if (typeof next === "string") {
      this.#say(words.broken(next));
      return;
    }
    const planned =
      kind === "licence" || entry.answer === UNSURE ? {} : plannedOf(this.#plan, entry.step, entry.answer);
    const noted: Noted = { ...entry, ...planned, asked, said, kind, when: new Date().toISOString() };
    const history = [...visit.history, noted];
    const end = next.ended ? { end: endingOf(this.#plan, history, next) } : {};
    let show = ahead?.show;
    await this.#keep({ ...visit, ...end, state: next.ended ? "ended" : "open", history }, () => {
      show ??= this.#screen.prepare({ mode: "walk", visit: this.#visit, place: next });
    });
    this.#place = next;
    this.#say(
      next.withheld.length === 0
        ? ""
        : words.withheld(next.withheld.map((key) => this.#screen.titleOf(key)).join("; ")),
    );
    this.#show("walk", show);
    this.#screen.focusStep();
  }

  /** To the door by which a reader leaves early: it stays open over a reload, until the reader stays or leaves. */
  async #stop(): Promise<void> {
    if (this.#visit === undefined || this.hasAttribute("data-busy")) return;
    await this.#keep({ ...this.#visit, left: "leaving" });
    this.#say("");
    this.#goOn();
  }

  async #stay(): Promise<void> {
    if (this.#visit === undefined || this.hasAttribute("data-busy")) return;
    const { left: _, ...visit } = this.#visit;
    await this.#keep(visit);
    this.#goOn();
  }

  async #leave(): Promise<void> {
    if (this.#visit === undefined || this.hasAttribute("data-busy")) return;
    await this.#keep({ ...this.#visit, left: "gone" });
    await this.#leaveVisit(this.#isKept ? words.leave.left : "", "[data-visits] h2");
    this.scrollIntoView();
  }

  /** Shows what the visit under way is at: a step, leaving, or coming back. */
  #goOn(): void {
    const left = this.#visit?.left;
    const isChanged = this.#place !== undefined && this.#place.states.length > 0;
    this.#show(left === "leaving" ? "leave" : left === "gone" && isChanged ? "return" : "walk");
    this.#screen.focusStep();
  }

  async #back(): Promise<void> {
    const { end: _, ...visit } = this.#visit ?? { history: [] };
    const last = visit.history.at(-1);
    if (!("id" in visit) || last === undefined || this.hasAttribute("data-busy")) return;
    const left = visit.history.slice(0, -1);
    const taken = words.taken(last.said === "" ? last.asked : `${last.asked}: ${last.said}`);
    const before = this.#place;
    if (left.length === 0) {
      await this.#store(() => deleteVisit(visit.id));
      await this.#leaveVisit(taken);
      return;
    }
    const place = replay(this.#plan, left);
    if (isMisfit(place)) return;
    await this.#keep({ ...visit, state: "open", history: left });
    this.#place = place;
    this.#say([taken, ...undone(this.#plan, before, place)].join(" "));
    this.#show("walk");
    this.#screen.focusStep();
  }

  async #restart(): Promise<void> {
    const visit = this.#visit;
    if (visit === undefined || this.hasAttribute("data-busy")) return;
    // Begun again is left early: what must be put back comes first.
    if (visit.left === undefined && this.#place && !this.#place.ended && waysBack(this.#plan, this.#place).length > 0)
      return this.#stop();
    if (countOf(visit.history) === 0) await this.#store(() => deleteVisit(visit.id));
    else if (visit.state === "open") await this.#keep({ ...visit, state: "set-aside" });
    await this.#leaveVisit(words.restarted);
  }

  /** To the start screen, with no visit under way. */
  async #leaveVisit(message: string, focused = "[data-serves] h2"): Promise<void> {
    const wasWalking = this.#visit?.id;
    this.#visit = undefined;
    this.#place = undefined;
    this.#elsewhere?.remove();
    releaseVisit();
    rememberVisit(undefined);
    // The walk is over: what comes next is walked in the newest version.
    const isWaiting = (await newerWorker()) !== undefined;
    if (this.#isKept && ((isWaiting && (await useNewer(wasWalking))) || isKeptPage())) {
      sessionStorage.setItem(SAID, message);
      location.replace(location.pathname);
      return;
    }
    await this.#listVisits(await this.#storedVisits());
    this.#say(message);
    this.#show("start");
    const heading = this.querySelector<HTMLElement>(focused);
    heading?.setAttribute("tabindex", "-1");
    heading?.focus();
  }

  /** @returns whether the visit still fits the procedure; if not, it is set aside and the start screen says so. */
  async #resume(stored: Visit, isTaken = false): Promise<boolean> {
    const isOther = stored.version !== undefined && stored.version !== this.#served?.version;
    // Nothing else can be begun until it is known whose the visit is.
    this.setAttribute("data-busy", "");
    if (isOther && (await openKept(stored.version, stored.id).catch(() => false))) return true;
    const isMine = await holdVisit(stored.id, isTaken, () => this.#lose());
    const visit = (isMine ? await takeVisit(stored.id, TAB).catch(() => undefined) : undefined) ?? stored;
    this.removeAttribute("data-busy");
    if (!isMine) {
      await this.#offerToTake(stored);
      return false;
    }
    this.#elsewhere?.remove();
    this.#isStored = true;
    const place = replay(this.#plan, visit.history);
    if (isMisfit(place)) {
      if (visit.state !== "ended") await this.#keep({ ...visit, state: "set-aside" });
      await this.#leaveVisit(words.changed(visit.history[place.misfit]?.asked ?? ""));
      return false;
    }
    this.#place = place;
    const version = this.#served?.version ?? "";
    if (visit.state === "set-aside") await this.#keep({ ...visit, state: "open", version });
    else if (visit.version !== version && visit.state === "open") await this.#keep({ ...visit, version });
    else {
      this.#visit = visit;
      rememberVisit(visit.id);
    }
    this.#say(isOther ? words.otherVersion : "");
    this.#goOn();
    return true;
  }

  /** In place of a visit that is open in another tab. */
  async #offerToTake(visit: Visit): Promise<void> {
    await this.#listVisits(await this.#storedVisits());
    const take = button({ class: "primary", "data-act": "take" }, words.take);
    take.addEventListener("click", () => void this.#resume(visit, true));
    this.#elsewhere?.remove();
    const buttons = el("div", { class: "buttons" }, take);
    this.#elsewhere = el("section", { "data-elsewhere": visit.id }, el("p", {}, words.elsewhere), buttons);
    this.#screen.status.after(this.#elsewhere);
  }

  /** Another tab has taken the visit over, or deleted it: nothing of it can be changed here any more. */
  #lose(): void {
    this.#isKept = true;
    this.#visit = undefined;
    this.removeAttribute("data-busy");
    void this.#leaveVisit(words.lost);
  }

  /** The reader wants to go on with the newest steps. */
  async #useNewer(visit: Visit): Promise<void> {
    if (!(await useNewer(visit.id))) {
      this.#say(words.walkedElsewhere);
      return;
    }
    const { version: _, ...rest } = visit;
    await this.#keep(rest);
    location.replace(`${location.pathname}?visit=${visit.id}`);
  }

  #changed(visit: Visit): Visit {
    this.#visit = { ...visit, changed: new Date().toISOString(), tab: TAB };
    return this.#visit;
  }

  /** @param meanwhile Called while it is being written; not at all where it can't be. */
  async #keep(visit: Visit, meanwhile?: () => void): Promise<void> {
    const changed = this.#changed(visit);
    rememberVisit(visit.id);
    let isMine = true;
    await this.#store(async () => {
      isMine = await saveVisit(changed, !this.#isStored, meanwhile);
      this.#isStored = true;
    });
    if (isMine) return;
    this.#lose();
    // Nothing that waits for this is for this tab any more.
    await new Promise(() => undefined);
  }

  /** A note is no answer and keeps nobody waiting: the answer that follows is written behind it, and holds it too. */
  async #note(visit: Visit): Promise<void> {
    const changed = this.#changed(visit);
    try {
      const isMine = await saveVisit(changed, !this.#isStored);
      this.#isKept = true;
      this.#isStored = true;
      if (!isMine) this.#lose();
    } catch (error) {
      this.#isKept = false;
      this.#isFull = whyRefused(error) === "full";
      this.#say("");
    }
  }

  /** Storage that is full or refused doesn't stop the walk; it is said as long as it lasts. */
  async #store(work: () => Promise<void>): Promise<void> {
    this.setAttribute("data-busy", "");
    try {
      await work();
      this.#isKept = true;
    } catch (error) {
      this.#isKept = false;
      this.#isFull = whyRefused(error) === "full";
    } finally {
      this.removeAttribute("data-busy");
    }
  }

  async #storedVisits(): Promise<Visit[]> {
    try {
      return await visitsTo(this.#plan.base, this.#plan.tree);
    } catch {
      this.#isKept = false;
      return [];
    }
  }

  async #listVisits(visits: readonly Visit[]): Promise<void> {
    this.#visits?.remove();
    this.#visits = undefined;
    if (visits.length === 0) return;
    this.#visits = visitList(visits, {
      resume: (visit) => void this.#resume(visit),
      remove: (visit) => {
        void this.#store(() => deleteVisit(visit.id)).then(async () => {
          await this.#listVisits(await this.#storedVisits());
          this.#say(words.removed);
        });
      },
    });
    this.querySelector("[data-prepare]")?.prepend(this.#visits);
  }

  #say(message: string): void {
    const notKept = this.#isKept ? "" : this.#isFull ? words.full : words.notKept;
    this.#screen.status.textContent = [message, notKept].filter((part) => part !== "").join(" ");
  }

  /** @param show Made before, where there was time. */
  #show(mode: Mode, show = this.#screen.prepare({ mode, visit: this.#visit, place: this.#place })): void {
    show();
    if (this.#screen.status.textContent === "") this.#say("");
    if (mode !== "start") this.#elsewhere?.remove();
  }
}

/** The same for entries that lead to the same place. */
function nameOf({ step, answer, readings }: Entry): string {
  return JSON.stringify([step, answer, readings]);
}

/** Kept with this entry of the browser's history: a reload comes back to this visit, another tab begins its own. */
function rememberVisit(visit: string | undefined): void {
  if (visit !== undefined && (history.state as { visit?: string } | null)?.visit === visit) return;
  try {
    // Without a visit, the address names none either.
    const address = visit === undefined && !isKeptPage() ? location.pathname + location.hash : location.href;
    history.replaceState(visit === undefined ? null : { visit }, "", address);
  } catch {
    // Some browsers refuse this for pages read from a disk: then the list of visits is the way back.
  }
}

customElements.define("guided-walk", GuidedWalk);
