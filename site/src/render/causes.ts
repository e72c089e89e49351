/** What it can be, for readers without script and on paper: every cause, how likely it is, and what it shows. */
import { words as stepWords } from "#words/step";
import { words } from "#words/tree";
import type { CompiledStep } from "../../../compiler/model/compiled.ts";
import { digits } from "../measure/units.ts";
import { anchorOf } from "../walk/plan.ts";
import { bare, escapeText, unlinked } from "./html.ts";
import { callHtml, familyTitles, type Sheet, sayOf } from "./step.ts";

export function causesHtml(sheet: Sheet): string {
  const { base, tree } = sheet;
  const ids = Object.keys(tree.causes);
  const all = ids.reduce((sum, id) => sum + (tree.causes[id]?.likelihood ?? 0), 0);
  const shown = showsOf(sheet);
  const rows = ids.map((id) => {
    const families = tree.evidence.filter(({ causes }) => causes[id]).flatMap((one) => one.families);
    const only =
      families.length === tree.serves.length ? "" : `<p>${stepWords.onlyFor(familyTitles(base, families))}</p>`;
    const basis = tree.causes[id]?.basis ?? "";
    const shows = shown.get(id) ?? [];
    const list = shows.length === 0 ? "" : `<p>${words.shows}</p><ul>${shows.join("")}</ul>`;
    return `<section data-cause="${id}"><h3 class="name">${unlinked(base.causes[id]?.title ?? escapeText(id))}</h3><p><b>${words.likelihood(digits(tree.causes[id]?.likelihood ?? 0), digits(round(all)))}</b></p>${basis}${only}${list}</section>`;
  });
  const table =
    rows.length === 0
      ? ""
      : `<h2 id="causes_h">${words.causes}</h2><details class="causes" data-causes><summary>${words.allCauses}</summary><p>${words.causesSay}</p>${rows.join("")}</details>`;
  return `${table}<section class="in-doubt" data-in-doubt aria-labelledby="in-doubt_h"><h2 id="in-doubt_h">${words.inDoubt}</h2><p>${words.inDoubtSays}</p>${callHtml(base, tree.inDoubt)}</section>`;
}

function round(sum: number): number {
  return Number(sum.toPrecision(6));
}

/** By cause, a row for each check that tells it from some other cause; for all families together. */
function showsOf({ tree, marks }: Sheet): ReadonlyMap<string, readonly string[]> {
  const rows = new Map<string, string[]>();
  for (const step of tree.steps) {
    if (step.of !== undefined) continue;
    const byCause = Object.keys(tree.causes).map((id) => {
      const lists = tree.evidence.map(({ causes }) => causes[id]?.shows[step.id] ?? []);
      return [id, saysOf(step).filter(([answer]) => lists.some((list) => list.includes(answer)))] as const;
    });
    const first = String(byCause[0]?.[1]);
    if (byCause.every(([, says]) => String(says) === first)) continue;
    const mark = marks.get(step.id);
    const link = `<a href="#${anchorOf(step.id)}"><b>${mark?.number ?? ""}</b> ${unlinked(step.title)}</a>`;
    for (const [id, says] of byCause) {
      if (says.length === 0) continue;
      const row = `<li>${link} ${says.map(([, say]) => bare(say)).join(words.or)}</li>`;
      rows.set(id, [...(rows.get(id) ?? []), row]);
    }
  }
  return rows;
}

/** Answers with their words, in the author's order. */
export function saysOf(step: CompiledStep): (readonly [answer: string, say: string])[] {
  const branches =
    step.kind === "look"
      ? step.answers
      : step.kind === "measure"
        ? step.ranges
        : step.kind === "use"
          ? step.outcomes
          : [];
  return branches.map((branch) => [branch.id, sayOf(branch.id, branch)] as const);
}
