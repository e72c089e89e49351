/** A sheet about one symptom to hand out: its causes, what each shows, and how the tree comes to it. */
import { words as boardWords } from "#words/board";
import { words } from "#words/coverage";
import type { BoardCause, BoardTree, Reason } from "../../../compiler/model/board.ts";
import type { CompiledBase, CompiledStep } from "../../../compiler/model/compiled.ts";
import type { Standing } from "../coverage/csv.ts";
import { digits } from "../measure/units.ts";
import { anchorOf } from "../walk/plan.ts";
import { saysOf } from "./causes.ts";
import {
  causeAnchor,
  causeLines,
  causeTitle,
  familyTitle,
  forWords,
  minutesWords,
  tenths,
  together,
  type View,
  viewOf,
} from "./coverage.ts";
import { escapeText, list, unlinked } from "./html.ts";
import type { Sheet } from "./step.ts";
import { sheetOf } from "./tree.ts";

export function symptomHtml(base: CompiledBase, symptom: string): string {
  const view = viewOf(base);
  const trees = view.board.trees.filter((tree) => tree.symptom === symptom);
  const never = view.board.neverConcluded.filter((one) => one.symptom === symptom);
  const neverRows = never.map(
    ({ cause }) => `<li><b>${causeTitle(view, cause)}</b>${base.causes[cause]?.what ?? ""}</li>`,
  );
  return (
    `<div class="handout">${trees.map((tree) => treeHtml(view, tree)).join("")}` +
    `<section id="never" aria-labelledby="never_h"><h2 id="never_h">${words.never.title}</h2>${neverRows.length === 0 ? `<p>${words.never.none}</p>` : `<ul>${neverRows.join("")}</ul>`}</section>` +
    `${equipmentHtml(view, symptom)}</div>`
  );
}

/** Each family with how it stands and why: what the cells of the board lead to. */
function equipmentHtml(view: View, symptom: string): string {
  const cells = new Map(view.board.cells.flatMap((cell) => (cell.symptom === symptom ? [[cell.family, cell]] : [])));
  const rows = view.families.flatMap((family) => {
    const cell = cells.get(family);
    if (cell === undefined) return [];
    const causes = view.board.trees
      .filter(({ tree }) => cell.trees.includes(tree))
      .flatMap(({ groups }) => groups.filter(({ families }) => families.includes(family)))
      .reduce((sum, group) => sum + group.causes.length, 0);
    const why =
      cell.reasons.length === 0
        ? words.equipment.everyWay(causes)
        : `<ul>${cell.reasons.map((reason) => `<li>${reasonWords(view, reason)}</li>`).join("")}</ul>`;
    return [rowHtml(view, family, cell.verdict, why)];
  });
  const apart = view.families.filter((family) => !cells.has(family));
  const others = apart.map((family) => rowHtml(view, family, "not-applicable", words.equipment.apart));
  return `<section aria-labelledby="equipment_h"><h2 id="equipment_h">${words.equipment.title}</h2><section class="scroll" tabindex="0" aria-label="${words.equipment.name}"><table><thead><tr>${Object.values(
    words.equipment.columns,
  )
    .map((name) => `<th scope="col">${name}</th>`)
    .join("")}</tr></thead><tbody>${rows.join("")}${others.join("")}</tbody></table></section></section>`;
}
function rowHtml(view: View, family: string, stands: Standing, why: string): string {
  return `<tr id="on-${family}"><th scope="row">${familyTitle(view, family)}</th><td class="${stands}">${boardWords.standings[stands]}</td><td>${why}</td></tr>`;
}

function reasonWords(view: View, reason: Reason): string {
  switch (reason.kind) {
    case "no-tree":
      return words.reasons.noTree;
    case "no-causes":
      return words.reasons.noCauses(treeTitle(view, reason.tree));
    case "never-concluded":
      return words.reasons.neverConcluded(causeTitle(view, reason.cause));
    case "sometimes":
      return words.reasons.sometimes(treeTitle(view, reason.tree), causeTitle(view, reason.cause));
    case "never":
      return words.reasons.never(treeTitle(view, reason.tree), causeTitle(view, reason.cause));
    default:
      return reason satisfies never;
  }
}
function treeTitle(view: View, id: string): string {
  return unlinked(view.treeOf.get(id)?.title ?? escapeText(id));
}

function treeHtml(view: View, board: BoardTree): string {
  const tree = view.treeOf.get(board.tree);
  if (tree === undefined) return "";
  const sheet = sheetOf(view.base, tree, "../");
  const times = minutesWords(view, board).map((line) => `<p>${line}.</p>`);
  const id = `tree-${tree.id}`;
  return (
    `<section aria-labelledby="${id}"><h2 id="${id}">${unlinked(tree.title)}</h2>` +
    `<div class="lines"><p>${words.forFamilies(list(tree.serves.map((family) => familyTitle(view, family))))}</p>${times.join("")}` +
    `<p><a class="go" href="../trees/${tree.id}.html">${words.procedure}</a> <a class="go" href="../proofs/${tree.id}.html">${words.proof}</a></p></div>` +
    `${causesTable(view, board, sheet)}${showsTable(view, board, sheet)}${alikeHtml(view, board)}${pairsHtml(view, board)}</section>`
  );
}

function causeIds(board: BoardTree): string[] {
  return [...new Set(causeLines(board).map(({ cause }) => cause))];
}

/** What the families that have a cause say of it, the same once; with a note where it is not for all of them. */
function perFamilies(
  view: View,
  board: BoardTree,
  cause: string,
  said: (cause: BoardCause, group: BoardTree["groups"][number]) => string,
): string {
  const having = board.groups.filter(({ causes }) => causes.some((one) => one.cause === cause));
  const all = having.reduce((sum, { families }) => sum + families.length, 0);
  const lines = together({ ...board, groups: having }, (group) => {
    const own = group.causes.find((one) => one.cause === cause);
    const line = own === undefined ? "" : said(own, group);
    return line === "" ? [] : [line];
  });
  return lines
    .map(({ line, families }) =>
      families.length === all ? line : `${line}<small>${list(families.map((id) => familyTitle(view, id)))}</small>`,
    )
    .join("");
}

function causesTable(view: View, board: BoardTree, sheet: Sheet): string {
  const total = Object.values(sheet.tree.causes).reduce((sum, { likelihood }) => sum + likelihood, 0);
  const lines = causeLines(board);
  const rows = causeIds(board).map((cause) => {
    const own = lines.filter((line) => line.cause === cause);
    const families = own.flatMap((line) => line.families);
    const only = forWords(view, board, families);
    const minutes = perFamilies(view, board, cause, ({ meanMinutes, worstMinutes }) =>
      meanMinutes === undefined
        ? `<div>${words.notKnown}</div>`
        : `<div>${words.causes.minutes(tenths(meanMinutes), digits(Number((worstMinutes ?? 0).toFixed(1))))}</div>`,
    );
    const way = perFamilies(view, board, cause, (one) => wayHtml(sheet, one));
    return (
      `<tr id="${causeAnchor(board.tree, cause)}"><th scope="row">${causeTitle(view, cause)}<small>${only === words.allItServes ? "" : words.onlyFor(only)}</small></th>` +
      `<td>${words.causes.likelihood(digits(own[0]?.likelihood ?? 0), digits(Number(total.toPrecision(6))))}</td><td>${minutes}</td><td>${way}</td></tr>`
    );
  });
  return rows.length === 0
    ? `<p>${words.trees.noCauses}</p>`
    : `<h3>${words.causes.title}</h3><p>${words.causes.says}</p>${tableHtml("causes", words.causes.title, Object.values(words.causes.columns), rows, board.tree)}`;
}

function tableHtml(
  kind: string,
  name: string,
  heads: readonly string[],
  rows: readonly string[],
  tree: string,
): string {
  const id = `${kind}-of-${tree}`;
  return `<section class="scroll" tabindex="0" aria-label="${name}"><table class="${kind}" id="${id}"><thead><tr>${heads.map((head) => `<th scope="col">${head}</th>`).join("")}</tr></thead><tbody>${rows.join("")}</tbody></table></section>`;
}

/** What the reader is asked on the shortest way, and what has the tree go on; work between is left out. */
function wayHtml(sheet: Sheet, { ends }: BoardCause): string {
  const found = ends.filter(({ kind }) => kind === "found").sort((a, b) => a.way.length - b.way.length)[0];
  if (found === undefined) return `<div>${words.causes.noWay}</div>`;
  const steps = new Map(sheet.tree.steps.map((step) => [step.id, step]));
  const rows = found.way.flatMap(({ step: id, answer }, i) => {
    const step = steps.get(id);
    if (step === undefined || step.of !== undefined || step.kind === "sort" || step.kind === "do") return [];
    if (step.kind === "use" && step.outcomes.length < 2) return [];
    const then =
      step.kind === "found"
        ? i < found.way.length - 1
          ? words.causes.inVain
          : ""
        : answer === undefined
          ? ""
          : answerHtml(step, answer);
    return [`<li>${stepLink(sheet, step)}${then === "" ? "" : ` <b>${then}</b>`}</li>`];
  });
  return `<ol class="way">${rows.join("")}</ol>`;
}

function stepLink({ tree, marks }: Sheet, step: CompiledStep): string {
  return `<a href="../trees/${tree.id}.html#${anchorOf(step.id)}">${marks.get(step.id)?.number ?? ""} ${unlinked(step.title)}</a>`;
}
function answerHtml(step: CompiledStep, answer: string): string {
  return unlinked(saysOf(step).find(([id]) => id === answer)?.[1] ?? escapeText(answer));
}

/** By cause, the checks at which it shows less than anything; the others are named by their numbers. */
function showsTable(view: View, board: BoardTree, sheet: Sheet): string {
  const checks = sheet.tree.steps.filter((step) =>
    board.groups.some((group) => group.checks.some((check) => check.step === step.id)),
  );
  const rows = causeIds(board).flatMap((cause) => {
    const open: string[] = [];
    const cells = checks.flatMap((step) => {
      const shown = perFamilies(view, board, cause, ({ shows }, group) => {
        const check = group.checks.find((one) => one.step === step.id);
        const own = shows[step.id];
        if (check === undefined || own === undefined || own.length >= check.answers.length) return "";
        return `<div>${own.map((answer) => answerHtml(step, answer)).join(words.shows.or)}</div>`;
      });
      if (shown === "") open.push(sheet.marks.get(step.id)?.number ?? "");
      return shown === "" ? [] : [`<td>${stepLink(sheet, step)}</td><td>${shown}</td>`];
    });
    if (open.length > 0) cells.push(`<td>${words.shows.checks(open)}</td><td>${words.shows.anything}</td>`);
    return cells.map((cell, i) =>
      i === 0
        ? `<tr><th scope="row" rowspan="${cells.length}">${causeTitle(view, cause)}</th>${cell}</tr>`
        : `<tr>${cell}</tr>`,
    );
  });
  return rows.length === 0
    ? ""
    : `<h3>${words.shows.title}</h3>${tableHtml("shows", words.shows.title, Object.values(words.shows.columns), rows, board.tree)}`;
}

function alikeHtml(view: View, board: BoardTree): string {
  const rows = together(board, ({ alike }) =>
    alike.map(([a, b]) => words.and(causeTitle(view, a), causeTitle(view, b))),
  ).map(({ line, families }) => `<li>${line}${onlyWords(view, board, families)}</li>`);
  return `<h3>${words.apart.title}</h3>${rows.length === 0 ? `<p>${words.apart.none}</p>` : `<ul>${rows.join("")}</ul>`}`;
}

/** Real houses have two faults. Most pairs are no trouble, so only the others are said. */
function pairsHtml(view: View, board: BoardTree): string {
  const count = board.groups.reduce((sum, { pairs }) => sum + pairs.length, 0);
  if (count === 0) return "";
  const byFirst = new Map<string, Set<string>>();
  for (const { pairs } of board.groups)
    for (const { first, second, reaches } of pairs)
      if (reaches === "never") byFirst.set(first, (byFirst.get(first) ?? new Set()).add(second));
  const rows = [...byFirst].map(
    ([first, seconds]) =>
      `<li>${causeTitle(view, first)}: ${list([...seconds].map((id) => causeTitle(view, id)))}</li>`,
  );
  return rows.length === 0 ? "" : `<h3>${words.pairs.title}</h3><p>${words.pairs.says}</p><ul>${rows.join("")}</ul>`;
}

function onlyWords(view: View, board: BoardTree, families: readonly string[]): string {
  const said = forWords(view, board, families);
  return said === words.allItServes ? "" : ` <small>${words.onlyFor(said)}</small>`;
}
