/** What is still possible after the answers so far, and what the next check tells apart. */

import { words } from "#words/walk";
import { likelihood, type Suspect, shares } from "../../../compiler/model/evidence.ts";
import { button, type Child, el, put, textOf } from "../measure/dom.ts";
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

/**
 * The causes that are still possible, in groups that the check tells from each other; nothing where it tells none.
 *
 * @param standing As `standings` gives it, where it is known.
 */
export function toldApart(
  plan: Plan,
  place: Place,
  standing: readonly Standing[] = standings(plan, place),
): string[][] {
  const possible = standing.flatMap(({ cause, share }) => (share > 0 ? [cause] : []));
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

let titles: Map<string, string> | undefined;

/** Titles and answers stand on the page already; it is long, and is searched once. */
function titleOf(cause: string): string {
  titles ??= new Map(
    [...document.querySelectorAll<HTMLElement>("[data-causes] [data-cause]")].map((one) => [
      one.dataset.cause ?? "",
      textOf(one.querySelector(".name")),
    ]),
  );
  return titles.get(cause) || cause;
}

/** What is still possible, below the step. */
export interface PossibleHere {
  readonly made: HTMLElement;
  /** Changes what is different from the step before, and nothing else. */
  show(all: readonly Standing[], place: Place): void;
}

export function possibleHere(): PossibleHere {
  const says = el("p", {});
  const list = el("ul", {});
  const summary = el("summary", {});
  const contradicted = el("ul", {});
  const folded = el("details", { "data-against": "" }, summary, contradicted);
  const heading = el("h2", { id: "possible_h" }, words.possible);
  const attributes = { class: "possible", "data-possible": "", "aria-labelledby": heading.id };
  const made = el("section", attributes, heading, says, list, folded);
  const rows = new Map<string, ReturnType<typeof shareRow>>();
  let told = "";
  return {
    made,
    show(all, place) {
      const left = all.filter(({ share }) => share > 0);
      const gone = all.filter(({ share }) => share === 0);
      put(says, left.length === 0 ? words.fitsNone : words.sharesBy);
      const shown = left.map((standing) => {
        const row = rows.get(standing.cause) ?? shareRow(standing.cause);
        rows.set(standing.cause, row);
        row.show(standing.share);
        return row.made;
      });
      for (const row of [...list.children]) if (!shown.includes(row as HTMLLIElement)) row.remove();
      for (const [i, row] of shown.entries())
        if (list.children[i] !== row) list.insertBefore(row, list.children[i] ?? null);
      list.hidden = left.length === 0;
      folded.hidden = gone.length === 0;
      put(summary, words.against(gone.length));
      if (left.length === 0) folded.open = true;
      const reasons = gone.map(({ cause, against }) => ({
        cause,
        seen: against.map((check) => spoken(check, place.seen[check] ?? "")),
      }));
      if (told === JSON.stringify(reasons)) return;
      told = JSON.stringify(reasons);
      contradicted.replaceChildren(
        ...reasons.map(({ cause, seen }) =>
          el(
            "li",
            { "data-cause": cause, "data-share": "0" },
            el("b", {}, titleOf(cause)),
            ...seen.map((text) => el("span", {}, text)),
          ),
        ),
      );
    },
  };
}

function shareRow(cause: string) {
  const bar = el("span", { class: "share-bar", "aria-hidden": "true" });
  const says = el("span", { class: "share" });
  const made = el("li", { "data-cause": cause }, el("b", {}, titleOf(cause)), " ", says, bar);
  return {
    made,
    show(share: number) {
      if (made.dataset.share === String(share)) return;
      made.dataset.share = String(share);
      says.textContent = words.share(share);
      bar.style.setProperty("--share", `${share * 100}%`);
    },
  };
}

/** The check and its answer, in the page's words. */
function spoken(check: string, answer: string): string {
  const section = document.getElementById(anchorOf(check));
  const say = textOf(section?.querySelector(`[data-branch="${answer}"] .say`));
  return words.spoken(textOf(section?.querySelector("h3")), say || answer);
}

/** Why the check comes now, beside what its author says. */
export function tells(plan: Plan, place: Place, standing: readonly Standing[]): HTMLElement | undefined {
  const groups = toldApart(plan, place, standing);
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
