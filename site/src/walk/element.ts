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
 * An answer is on disk before the next step is shown; `data-busy` is on the element meanwhile.
 */

import { words } from "#words/walk";
import { button, el, textOf } from "../measure/dom.ts";
import { holdVisit, releaseVisit } from "../offline/held.ts";
import { type AsServed, dropUnneeded, holdVersion, keepVersion, openKept } from "../offline/kept.ts";
import { isKeptPage, newerWorker, USE_NEWER, useNewer } from "../offline/newer.ts";
import { askToPersist, whyRefused } from "../offline/persist.ts";
import { saveRecord } from "../record/file.ts";
import { recordOf } from "../record/record.ts";
import { aboutForm, aboutHere } from "../visit/about.ts";
import { endingOf, plannedOf } from "../visit/ending.ts";
import { notesAt } from "../visit/notes.ts";
import { callHere, undone, workTime } from "../visit/on-the-way.ts";
import { reportHere } from "../visit/report-here.ts";
import { handOver, possible, tells } from "./causes.ts";
import { controlsFor } from "./controls.ts";
import { advance, DONE, type Entry, EQUIPMENT, isMisfit, type Place, replay, UNSURE, waysBack } from "./engine.ts";
import { leaving, returning, stateSign } from "./leaving.ts";
import { anchorOf, type Plan } from "./plan.ts";
import { countOf, entryList, equipmentOf, visitList } from "./record.ts";
import { deleteVisit, type Measured, type Noted, saveVisit, takeVisit, type Visit, visitsTo } from "./store.ts";

/** Where the walk stands when nothing decides. */
const HAND_OVER = "=hand-over";

/** This page, for as long as it is open. */
const TAB = Math.random().toString(36).slice(2);

/** What is to be said on the page that comes next. */
const SAID = "headwater-said";

type Mode = "start" | "walk" | "all" | "leave" | "return";

class GuidedWalk extends HTMLElement {
  #plan!: Plan;
  #visit: Visit | undefined;
  #place: Place | undefined;
  #isKept = true;
  #isFull = false;
  /** Whether the visit under way was stored before. */
  #isStored = false;
  #served: AsServed | undefined;
  #elsewhere: HTMLElement | undefined;
  #soFar = el("div", { class: "so-far", "data-so-far": "" });
  #trueNow = el("div", { class: "true-now", "data-true-now": "", "aria-live": "polite" });
  #status = el("p", { class: "status", role: "status", "data-status": "" });
  #bar = el("div", { class: "bar", "data-bar": "" });
  #controls: HTMLElement | undefined;
  #summary: HTMLElement | undefined;
  #leaving: HTMLElement | undefined;
  /** What is known of the causes, beside the step. */
  #evidence: HTMLElement[] = [];
  #visits: HTMLElement | undefined;
  #about = aboutForm();
  #notes: HTMLElement | undefined;

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
    this.prepend(this.#status, this.#soFar, this.#trueNow);
    this.append(this.#bar);
    this.#nameSections();
    this.querySelector("[data-serves]")?.before(this.#about.form);
    this.#addFamilyButtons();
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

  /** What the plan knows of a section is written on it here: in the page it would be said twice. */
  #nameSections(): void {
    for (const key of [...Object.keys(this.#plan.steps), DONE]) {
      const section = document.getElementById(anchorOf(key));
      if (section === null) continue;
      section.dataset.step = key;
      section.dataset.kind = this.#plan.steps[key]?.kind ?? "done";
    }
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

  async #answer(entry: Entry & Measured, asked: string, said: string, kind: string): Promise<void> {
    const visit = this.#visit;
    // A second tap on the same button must not answer the next step.
    if (visit === undefined || this.#place === undefined || this.hasAttribute("data-busy")) return;
    const next = advance(this.#plan, this.#place, entry);
    if (typeof next === "string") {
      this.#say(words.broken(next));
      return;
    }
    const planned =
      kind === "licence" || entry.answer === UNSURE ? {} : plannedOf(this.#plan, entry.step, entry.answer);
    const noted: Noted = { ...entry, ...planned, asked, said, kind, when: new Date().toISOString() };
    const history = [...visit.history, noted];
    const end = next.ended ? { end: endingOf(this.#plan, history, next) } : {};
    await this.#keep({ ...visit, ...end, state: next.ended ? "ended" : "open", history });
    this.#place = next;
    this.#say(
      next.withheld.length === 0 ? "" : words.withheld(next.withheld.map((key) => this.#title(key)).join("; ")),
    );
    this.#show("walk");
    this.#focusStep();
  }

  #title(key: string): string {
    return textOf(this.#section(key)?.querySelector("h3"));
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
    this.#focusStep();
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
    this.#focusStep();
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
    this.#status.after(this.#elsewhere);
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

  async #keep(visit: Visit): Promise<void> {
    const changed = this.#changed(visit);
    rememberVisit(visit.id);
    let isMine = true;
    await this.#store(async () => {
      isMine = await saveVisit(changed, !this.#isStored);
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
    this.#status.textContent = [message, notKept].filter((part) => part !== "").join(" ");
  }

  #show(mode: Mode): void {
    this.dataset.mode = mode;
    document.documentElement.dataset.walk = mode;
    this.#controls?.remove();
    this.#summary?.remove();
    this.#leaving?.remove();
    this.#notes?.remove();
    this.#controls = this.#summary = this.#leaving = this.#notes = undefined;
    for (const part of this.#evidence) part.remove();
    const handsOver = mode === "walk" && this.#place?.handsOver === true;
    const at = mode !== "walk" ? undefined : handsOver ? HAND_OVER : this.#place?.at;
    const current = at === undefined ? undefined : this.#section(at);
    if (at === undefined) delete this.dataset.at;
    else this.dataset.at = at;
    this.toggleAttribute("data-ended", mode === "walk" && this.#place?.ended === true);
    if (mode === "walk" && this.#place?.asks !== undefined) this.dataset.asks = this.#place.asks;
    else delete this.dataset.asks;

    const hide = (selector: string, isHidden: (element: HTMLElement) => boolean) => {
      for (const element of this.querySelectorAll<HTMLElement>(selector)) element.hidden = isHidden(element);
    };
    const isAll = mode === "all";
    hide("[data-step]", (element) => !isAll && element !== current);
    hide("[data-procedure]", (element) => !isAll && (current === undefined || !element.contains(current)));
    hide("[data-intro], [data-outcomes], [data-after], .procedure > .onward", () => !isAll);
    hide("[data-prepare]", () => mode !== "start" && !isAll);
    const isGone = (state: HTMLElement) => !this.#place?.states.includes(state.dataset.left ?? "");
    hide("[data-left]", (state) => !isAll && isGone(state));
    hide(".leaves", (element) => !isAll && [...element.querySelectorAll<HTMLElement>("[data-left]")].every(isGone));
    hide("[data-act=begin], [data-visits]", () => isAll);
    this.#soFar.hidden = mode !== "walk";
    this.#fillBar(mode);
    this.#fillTrueNow(mode);
    if (mode === "leave" || mode === "return") this.#fillLeaving(mode);
    if (handsOver) this.#fillHandOver();
    if (mode === "walk" && current !== undefined && this.#place !== undefined) this.#fillStep(current, this.#place);
    if (this.#status.textContent === "") this.#say("");
    if (mode !== "start") this.#elsewhere?.remove();
  }

  #section(key: string): HTMLElement | undefined {
    return document.getElementById(anchorOf(key)) ?? undefined;
  }

  #fillStep(section: HTMLElement, place: Place): void {
    const visit = this.#visit;
    if (visit === undefined) return;
    this.#fillSoFar(visit);
    for (const need of section.querySelectorAll<HTMLElement>(".needs [data-state]")) {
      const holds = place.states.includes(need.dataset.state ?? "");
      need.toggleAttribute("data-holds", holds);
      need.title = holds ? words.holds : "";
    }
    const body = section.querySelector(".body");
    const step = this.#plan.steps[place.at];
    const heading = section.querySelector("h3");
    if (place.ended) {
      this.#fillReport();
      this.#fillNotes(visit, place, section, heading);
    } else if (step !== undefined) {
      const licence = place.asks === undefined ? undefined : textOf(section.querySelector("[data-licence] .name"));
      const asked = licence === undefined ? textOf(heading) : words.askedFor(licence);
      this.#controls = controlsFor(this.#plan, visit.id, place, step, section, (answer, said) => {
        void this.#answer({ step: place.at, ...answer }, asked, said, licence === undefined ? step.kind : "licence");
      });
      const replaced = body?.querySelector(":scope > .ways, :scope > .onward, :scope > .measure");
      if (this.#controls !== undefined) {
        if (replaced == null) body?.append(this.#controls);
        else replaced.before(this.#controls);
      }
      if (licence === undefined) this.#fillEvidence(place, section, body);
      this.#fillNotes(visit, place, section, heading);
    }
  }

  #fillNotes(visit: Visit, place: Place, below: HTMLElement, heading: Element | null): void {
    const notes = notesAt(
      visit,
      place.at,
      textOf(heading),
      () => this.#visit,
      (changed) => this.#note(changed),
      () => this.#fillReport(),
    );
    this.#notes = el("div", {}, notes, place.ended ? undefined : callHere());
    below.after(this.#notes);
  }

  /** At an end, below the notes, which it holds too. */
  #fillReport(): void {
    const visit = this.#visit;
    if (this.#place?.ended !== true || visit === undefined) return;
    const report = reportHere(visit, () => void this.#restart());
    if (this.#summary?.isConnected) this.#summary.replaceWith(report);
    else this.#section(this.#place.at)?.after(report);
    this.#summary = report;
  }

  /** Below the step what is still possible; at a check, what it tells apart, and in place of what it is asked. */
  #fillEvidence(place: Place, below: HTMLElement, body?: Element | null): void {
    const list = possible(this.#plan, place);
    if (list) below.after(list);
    const why = body && tells(this.#plan, place);
    if (why) body.append(why);
    const { doubt } = place;
    const instead =
      doubt && el("p", { class: "repeat", "data-instead-of": doubt.of }, words.insteadOf(this.#title(doubt.of)));
    if (instead) this.#controls?.prepend(instead);
    this.#evidence = [list, why, instead].filter((part) => part != null);
  }

  #fillHandOver(): void {
    const visit = this.#visit;
    const place = this.#place;
    if (visit === undefined || place === undefined) return;
    this.#fillSoFar(visit);
    this.#leaving = handOver(visit.history, { again: () => void this.#back(), leave: () => void this.#stop() });
    this.#trueNow.after(this.#leaving);
    this.#fillEvidence(place, this.#leaving);
  }

  #fillSoFar(visit: Visit): void {
    const count = countOf(visit.history);
    const ticks = el("span", { class: "ticks", "aria-hidden": "true" });
    ticks.style.setProperty("--count", String(count));
    const short = ({ history, address }: Visit) =>
      [equipmentOf(history), address, words.stepsDone(count)].filter((part) => part !== undefined).join(" · ");
    const summary = el("summary", {}, short(visit));
    this.#soFar.replaceChildren(
      ticks,
      el(
        "details",
        {},
        summary,
        el("p", { "data-minutes": "" }, workTime(visit)),
        el("p", {}, el("a", { class: "go", "data-chart": "", href: `../charts/${visit.tree}.html` }, words.chart)),
        entryList(visit.history),
        aboutHere(
          visit,
          () => this.#visit,
          (changed) => {
            summary.textContent = short(changed);
            return this.#note(changed);
          },
        ),
      ),
    );
  }

  /** What is true of the house and the unit stays in sight as long as a visit is under way. */
  #fillTrueNow(mode: Mode): void {
    const states = this.#place?.states ?? [];
    this.#trueNow.hidden = this.#visit === undefined || (mode !== "walk" && mode !== "all");
    const signed = states.map((id) => el("li", { "data-true": id }, stateSign(id), this.#plan.states[id] ?? id));
    const list = signed.length === 0 ? words.trueNothing : el("ul", {}, ...signed);
    this.#trueNow.replaceChildren(el("b", {}, words.trueNow), " ", list);
    // What the keyboard comes to must not lie under this line.
    document.documentElement.style.setProperty("--held", `${this.#trueNow.offsetHeight}px`);
  }

  #fillLeaving(mode: "leave" | "return"): void {
    const visit = this.#visit;
    const place = this.#place;
    if (visit === undefined || place === undefined) return;
    this.#leaving =
      mode === "leave"
        ? leaving(this.#plan, place, visit.history, this.#isKept, {
            leave: () => void this.#leave(),
            stay: () => void this.#stay(),
          })
        : returning(this.#plan, place, visit.history, () => void this.#stay());
    this.#trueNow.after(this.#leaving);
  }

  #fillBar(mode: Mode): void {
    const act = (name: string, label: string, press: () => unknown) => {
      const made = button({ "data-act": name }, label);
      made.addEventListener("click", () => void press());
      return made;
    };
    const walk = () => {
      if (this.#visit === undefined) this.#show("start");
      else this.#goOn();
    };
    const all = () => {
      this.#show("all");
      this.scrollIntoView();
    };
    const toAll = act("all", words.all, all);
    const restart = act("restart", words.restart, () => this.#restart());
    const inWalk = [
      act("back", words.back, () => this.#back()),
      restart,
      toAll,
      ...(this.#place?.ended === true ? [] : [act("stop", words.stop, () => this.#stop())]),
    ];
    const toBegin = act("choose", words.toBegin, () => {
      const heading = this.querySelector<HTMLElement>("[data-serves] h2");
      heading?.setAttribute("tabindex", "-1");
      heading?.focus();
      heading?.scrollIntoView();
    });
    toBegin.classList.add("primary");
    const visit = this.#visit;
    const save = act("save", words.save, () => visit && saveRecord(recordOf(visit)));
    this.#bar.replaceChildren(
      ...(this.#isKept || visit === undefined ? [] : [save]),
      ...(mode === "walk"
        ? inWalk
        : mode === "return"
          ? [restart, toAll]
          : mode === "start"
            ? [toBegin, toAll]
            : [mode === "all" ? act("walk", words.walk, walk) : toAll]),
    );
  }

  /** The step's heading takes the focus, so that a screen reader begins there; the top of the walk comes into view. */
  #focusStep(): void {
    const at = this.#place?.at;
    const section = at === undefined ? undefined : this.#section(at);
    const heading = this.#leaving?.querySelector("h2") ?? section?.querySelector<HTMLElement>("h3");
    if (this.dataset.mode === "start" || this.dataset.mode === "all" || heading == null) return;
    heading.tabIndex = -1;
    heading.focus({ preventScroll: true });
    this.scrollIntoView();
  }
}

/** Kept with this entry of the browser's history: a reload comes back to this visit, another tab begins its own. */
function rememberVisit(visit: string | undefined): void {
  try {
    // Without a visit, the address names none either.
    const address = visit === undefined && !isKeptPage() ? location.pathname + location.hash : location.href;
    history.replaceState(visit === undefined ? null : { visit }, "", address);
  } catch {
    // Some browsers refuse this for pages read from a disk: then the list of visits is the way back.
  }
}

customElements.define("guided-walk", GuidedWalk);
