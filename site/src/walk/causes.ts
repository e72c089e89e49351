/** What is still possible after the answers so far, and what the next check tells apart. */

import { words } from "#words/walk";
import { likelihood, type Suspect, shares } from "../../../compiler/model/evidence.ts";
import { button, type Child, el, textOf } from "../measure/dom.ts";
import { branchesOf, evidenceOf, open, type Place, UNSURE } from "./engine.ts";
import { anchorOf, type Plan } from "./plan.ts";
import { entryList } from "./record.ts";
import type { Noted } from "./store.ts";

export interface Standing {
  readonly cause: string;
  /** 0 to 1; those of all causes make 1, or are all 0 where the answers fit none. */
  readonly share: number;
  /** Keys of the checks at which it would have shown something else. */
  readonly against: readonly string[];
}

/** Every cause that the equipment can have, the likeliest first; of equal ones the author's first. */
export function standings(plan: Plan, place: Place): Standing[] {
  const suspects = suspectsOf(plan, place);
  const given = Object.entries(place.seen).flatMap(([check, answer]) =>
    check.includes("__") ? [] : [{ check, answers: answersOf(plan, place, check), answer }],
  );
  const found = shares(suspects, given);
  return suspects
    .map(({ id, shows }, i) => ({
      cause: id,
      share: found?.[i] ?? 0,
      against: given.flatMap(({ check, answers, answer }) =>
        likelihood(shows.get(check), answers, answer) === 0 ? [check] : [],
      ),
    }))
    .sort((one, other) => other.share - one.share);
}

/** The causes that are still possible, in groups that the check tells from each other; nothing where it tells none. */
export function toldApart(plan: Plan, place: Place): string[][] {
  const possible = standings(plan, place).flatMap(({ cause, share }) => (share > 0 ? [cause] : []));
  const groups = new Map<string, string[]>();
  for (const { id, shows } of suspectsOf(plan, place)) {
    if (!possible.includes(id)) continue;
    const shown = shows.get(place.at);
    if (shown === undefined) continue;
    const key = [...shown].sort().join();
    groups.set(key, [...(groups.get(key) ?? []), id]);
  }
  return groups.size > 1 ? [...groups.values()] : [];
}

function suspectsOf(plan: Plan, place: Place): Suspect[] {
  return Object.entries(evidenceOf(plan, place)?.causes ?? {}).map(([id, { weight, shows }]) => ({
    id,
    weight,
    shows: new Map(Object.entries(shows)),
  }));
}

function answersOf(plan: Plan, place: Place, check: string): string[] {
  return open(branchesOf(plan.steps[check]), place.family).map(({ id }) => id);
}

/** Titles and answers stand on the page already. */
function titleOf(cause: string): string {
  return textOf(document.querySelector(`[data-causes] [data-cause="${cause}"] .name`)) || cause;
}

export function possible(plan: Plan, place: Place): HTMLElement | undefined {
  const all = standings(plan, place);
  if (all.length === 0) return undefined;
  const rows = all.filter(({ share }) => share > 0).map(row);
  const against = all
    .filter(({ share }) => share === 0)
    .map(({ cause, against }) =>
      el(
        "li",
        { "data-cause": cause, "data-share": "0" },
        el("b", {}, titleOf(cause)),
        ...against.map((check) => el("span", {}, spoken(check, place.seen[check] ?? ""))),
      ),
    );
  const folded =
    against.length === 0
      ? undefined
      : el(
          "details",
          { "data-against": "", ...(rows.length === 0 && { open: "" }) },
          el("summary", {}, words.against(against.length)),
          el("ul", {}, ...against),
        );
  return el(
    "section",
    { class: "possible", "data-possible": "", "aria-labelledby": "possible_h" },
    el("h2", { id: "possible_h" }, words.possible),
    el("p", {}, rows.length === 0 ? words.fitsNone : words.sharesBy),
    rows.length === 0 ? undefined : el("ul", {}, ...rows),
    folded,
  );
}

function row({ cause, share }: Standing): HTMLElement {
  const bar = el("span", { class: "share-bar", "aria-hidden": "true" });
  bar.style.setProperty("--share", `${share * 100}%`);
  return el(
    "li",
    { "data-cause": cause, "data-share": String(share) },
    el("b", {}, titleOf(cause)),
    " ",
    el("span", { class: "share" }, words.share(share)),
    bar,
  );
}

/** The check and its answer, in the page's words. */
function spoken(check: string, answer: string): string {
  const section = document.getElementById(anchorOf(check));
  const say = textOf(section?.querySelector(`[data-branch="${answer}"] .say`));
  return words.spoken(textOf(section?.querySelector("h3")), say || answer);
}

/** Why the check comes now, beside what its author says. */
export function tells(plan: Plan, place: Place): HTMLElement | undefined {
  const groups = toldApart(plan, place);
  if (groups.length === 0) return undefined;
  const rows = groups.map((group) => el("li", {}, group.map(titleOf).join("; ")));
  return el("div", { class: "tells", "data-tells": "" }, el("b", {}, words.tellsApart), el("ul", {}, ...rows));
}

/** Of what the reader was not sure, as it was asked. */
export function undecided(history: readonly Noted[]): string[] {
  return [...new Set(history.filter(({ answer }) => answer === UNSURE).map(({ asked }) => asked))];
}

/** Nothing decides it: whom to call, and what to say. */
export function handOver(history: readonly Noted[], act: { again: () => void; leave: () => void }): HTMLElement {
  const again = button({ class: "primary", "data-act": "look-again" }, words.inDoubt.again);
  again.addEventListener("click", act.again);
  const leave = button({ "data-act": "put-back" }, words.inDoubt.leave);
  leave.addEventListener("click", act.leave);
  const seen = history.filter(({ kind, answer }) => (kind === "look" || kind === "measure") && answer !== UNSURE);
  const heading = el("h2", { id: "hand-over_h" }, words.inDoubt.title);
  const call = document.querySelector("[data-in-doubt] [data-call]")?.cloneNode(true);
  const part = (name: string, ...content: Child[]) => [el("h3", {}, name), ...content];
  return el(
    "section",
    { class: "leaving", "data-hand-over": "", "aria-labelledby": heading.id },
    heading,
    el("p", {}, words.inDoubt.why),
    call ?? el("p", {}, words.inDoubt.nobody),
    ...part(words.inDoubt.open, el("ul", {}, ...undecided(history).map((asked) => el("li", {}, asked)))),
    ...part(words.inDoubt.seen, seen.length === 0 ? el("p", {}, words.inDoubt.nothing) : entryList(seen)),
    el("div", { class: "buttons" }, again, leave),
  );
}
