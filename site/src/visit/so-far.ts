/** The way so far: a line that stays in sight, and behind it what was answered, and what the record says of the visit. */

import { words } from "#words/walk";
import { el, put } from "../measure/dom.ts";
import { countOf, entryRow, equipmentOf, isTold } from "../walk/record.ts";
import type { Noted, Visit } from "../walk/store.ts";
import { aboutHere } from "./about.ts";
import { workTime } from "./on-the-way.ts";

/**
 * @param now The visit as it stands.
 * @param keep Writes the visit, and returns when it is on disk.
 */
export function soFarHere(
  now: () => Visit | undefined,
  keep: (visit: Visit) => Promise<void>,
): { readonly made: HTMLElement; show(visit: Visit): void } {
  const ticks = el("span", { class: "ticks", "aria-hidden": "true" });
  const summary = el("summary", {});
  const minutes = el("p", { "data-minutes": "" });
  const chart = el("a", { class: "go", "data-chart": "" }, words.chart);
  const entries = el("ol", { class: "entries" });
  const about = aboutHere(now, (changed) => {
    name(changed);
    return keep(changed);
  });
  const folded = el("details", {}, summary, minutes, el("p", {}, chart), entries, about.made);
  let told: readonly Noted[] = [];

  function name({ history, address }: Visit): void {
    const parts = [equipmentOf(history), address, words.stepsDone(countOf(history))];
    put(summary, parts.filter((part) => part !== undefined).join(" · "));
  }

  return {
    made: el("div", { class: "so-far", "data-so-far": "" }, ticks, folded),
    show(visit) {
      name(visit);
      ticks.style.setProperty("--count", String(countOf(visit.history)));
      put(minutes, workTime(visit));
      const drawn = `../charts/${visit.tree}.html`;
      if (chart.getAttribute("href") !== drawn) chart.href = drawn;
      folded.open = false;
      about.show(visit);
      const rows = visit.history.filter(isTold);
      // From step to step one row comes, or goes.
      const same = rows.findIndex((entry, i) => entry !== told[i]);
      const kept = same < 0 ? rows.length : same;
      for (const row of [...entries.children].slice(kept)) row.remove();
      entries.append(...rows.slice(kept).map(entryRow));
      told = rows;
    },
  };
}
