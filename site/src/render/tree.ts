/** The page of a tree, below its title: what to know before, all steps, all routines, and what the words mean. */
import { words as stepWords } from "#words/step";
import { words } from "#words/tree";
import type {
  CompiledBase,
  CompiledBring,
  CompiledRoutine,
  CompiledThing,
  CompiledTree,
} from "../../../compiler/model/compiled.ts";
import { anchorOf } from "../walk/plan.ts";
import { causesHtml } from "./causes.ts";
import { cautionsHtml } from "./caution.ts";
import { escapeText, list, unlinked } from "./html.ts";
import { once } from "./once.ts";
import { keyOf, planOf, proceduresOf, routinesBack } from "./plan.ts";
import { signDefinitions, symbolHtml } from "./signs.ts";
import { goHtml, LEAVING, outcomeAnchor, type Sheet, sayOf, stepHtml } from "./step.ts";

export function treeHtml(base: CompiledBase, tree: CompiledTree, root: string): string {
  const sheet = sheetOf(base, tree, root);
  const html = `<guided-walk><script type="application/json" data-plan>${planJson(sheet)}</script>${sheetHtml(sheet)}</guided-walk>`;
  return html + signDefinitions(html);
}

export const planFor = once(({ base, tree }: Sheet) => planOf(base, tree));

/** The plan as it stands in a script of the page. */
export const planJson = once((sheet: Sheet): string => JSON.stringify(planFor(sheet)).replaceAll("<", "\\u003c"));

/** @param between What stands between what to know before and the first step. */
export function sheetHtml(sheet: Sheet, between = ""): string {
  const [before, after] = written(sheet);
  return before + between + after;
}

/** In two parts: what to know before, and the rest in one piece, as a thousand small ones take long to keep. */
const written = once((sheet: Sheet): readonly [before: string, after: string] => {
  const { base, tree, root } = sheet;
  const [own, ...routines] = sheet.procedures;
  if (own === undefined) return ["", ""];
  const steps = own.steps.map((step) => stepHtml(sheet, own, step)).join("");
  const after = [
    `<section class="procedure" data-procedure aria-labelledby="steps_h"><h2 id="steps_h">${words.steps}</h2>${beginHtml(sheet)}`,
    steps,
    `${doneHtml(steps)}</section>`,
    ...routines.map((procedure) => routineHtml(sheet, procedure.routine ?? "")),
    `<div class="after-steps" data-after>${causesHtml(sheet)}${statesHtml(sheet)}${reviewedHtml(tree, root)}</div>`,
  ];
  return [`<div class="prepare" data-prepare>${prepareHtml(base, tree)}</div>`, after.join("")];
});

const sheets = new WeakMap<CompiledTree, Sheet>();

/** What the pages of a tree have in common is made once, and so is what they show of it. */
export function sheetOf(base: CompiledBase, tree: CompiledTree, root: string): Sheet {
  const known = sheets.get(tree);
  if (known?.root === root) return known;
  const sheet = newSheet(base, tree, root);
  sheets.set(tree, sheet);
  return sheet;
}

function newSheet(base: CompiledBase, tree: CompiledTree, root: string): Sheet {
  const procedures = proceduresOf(base, tree);
  const marks = new Map<string, { number: string; title: string }>();
  const letters = new Map<string, string>();
  for (const [index, procedure] of procedures.entries()) {
    const letter = procedure.routine === undefined ? "" : letterOf(index - 1);
    if (procedure.routine !== undefined) letters.set(procedure.routine, letter);
    for (const [place, step] of procedure.steps.entries()) {
      marks.set(keyOf(procedure, step.id), { number: `${letter}${place + 1}`, title: step.title });
    }
  }
  const canLeaveBehind = procedures.some(({ steps }) =>
    steps.some(({ sets }) => sets.some((state) => base.states[state]?.mustClear)),
  );
  return { base, tree, root, procedures, marks, letters, canLeaveBehind };
}

/** A to Z, then AA, AB and so on. */
function letterOf(index: number): string {
  const last = String.fromCharCode(65 + (index % 26));
  return index < 26 ? last : letterOf(Math.floor(index / 26) - 1) + last;
}

function prepareHtml(base: CompiledBase, tree: CompiledTree): string {
  const summary = tree.summary === undefined ? "" : `<div class="summary">${tree.summary}</div>`;
  const cautions = cautionsHtml(base, tree.notes);
  const bring = bringHtml(base, tree);
  const unknown = base.trees.find(({ id }) => id === base.unknownEquipment);
  const noIdea =
    unknown === undefined || unknown === tree
      ? ""
      : `<p class="unknown"><a href="${unknown.id}.html" data-unknown>${words.unknown}</a></p>`;
  const families = tree.serves.map((id) => {
    const family = base.families[id];
    return `<li data-family="${id}"><h3>${family?.title ?? escapeText(id)}</h3>${family?.looks ?? ""}</li>`;
  });
  return (
    summary +
    `<section class="notice-of-base" aria-labelledby="first_h"><h2 id="first_h">${words.first}</h2>${base.notice}</section>` +
    (cautions === ""
      ? ""
      : `<section aria-labelledby="cautions_h"><h2 id="cautions_h">${words.cautions}</h2>${cautions}</section>`) +
    bring +
    `<section class="serves" data-serves aria-labelledby="serves_h"><h2 id="serves_h">${words.equipment}</h2><ul class="families">${families.join("")}</ul>${noIdea}</section>`
  );
}

/** What to take from the van, before leaving it: the likeliest repair first. */
function bringHtml(base: CompiledBase, tree: CompiledTree): string {
  const titleOf = ({ kind, id }: CompiledBring) => {
    const catalog: Readonly<Record<string, CompiledThing>> = kind === "tool" ? base.tools : base.parts;
    return catalog[id]?.title ?? escapeText(id);
  };
  const causesOf = ({ causes }: CompiledBring) =>
    list(causes.map((id) => unlinked(base.causes[id]?.title ?? escapeText(id))));
  const group = (name: string, items: readonly CompiledBring[], also: (item: CompiledBring) => string) => {
    const rows = items.map(
      (one) => `<li data-bring="${one.id}" data-kind="${one.kind}">${titleOf(one)}${also(one)}</li>`,
    );
    return rows.length === 0 ? "" : `<div><h3>${name}</h3><ul>${rows.join("")}</ul></div>`;
  };
  const often = (one: CompiledBring) =>
    ` <small data-share="${one.share}">${one.share === 0 ? causesOf(one) : words.ofVisits(Math.round(one.share * 100), causesOf(one))}</small>`;
  const repairs = tree.bring.filter(({ always }) => !always);
  const groups =
    group(
      words.bringFor.checks,
      tree.bring.filter(({ always }) => always),
      () => "",
    ) +
    group(
      words.bringFor.parts,
      repairs.filter(({ kind }) => kind === "part"),
      often,
    ) +
    group(
      words.bringFor.tools,
      repairs.filter(({ kind }) => kind === "tool"),
      often,
    );
  return groups === ""
    ? ""
    : `<section class="bring" aria-labelledby="bring_h"><h2 id="bring_h">${words.bring}</h2><div class="columns">${groups}</div></section>`;
}

/** Says where to begin when the first step in the file isn't the first to do. */
function beginHtml(sheet: Sheet): string {
  const { tree } = sheet;
  if (tree.steps[0]?.id === tree.start) return "";
  const mark = sheet.marks.get(tree.start);
  return `<p class="onward">${words.beginAt(`<a class="go" href="#${anchorOf(tree.start)}"><b>${mark?.number ?? ""}</b> ${unlinked(mark?.title ?? "")}</a>`)}</p>`;
}

function doneHtml(steps: string): string {
  if (!steps.includes('href="#done"')) return "";
  return (
    `<section class="step" id="done">` +
    `<p class="margin"><b class="number">${words.end}</b></p><div class="body"><h3>${words.done}</h3>` +
    `<p>${words.doneSays}</p></div></section>`
  );
}

function routineHtml(sheet: Sheet, id: string): string {
  const { base } = sheet;
  const routine = base.routines[id];
  const procedure = sheet.procedures.find((one) => one.routine === id);
  if (routine === undefined || procedure === undefined) return "";
  const needs =
    routine.needs.length === 0
      ? ""
      : `<p class="needs">${stepWords.onlyWith(list(routine.needs.map((state) => `<a href="#state_${state}" data-state="${state}">${unlinked(base.states[state]?.title ?? state)}</a>`)))}</p>`;
  const begin =
    routine.steps[0]?.id === routine.start
      ? ""
      : `<p class="onward">${words.beginAt(`<a class="go" href="#${anchorOf(keyOf(procedure, routine.start))}"><b>${sheet.marks.get(keyOf(procedure, routine.start))?.number ?? ""}</b></a>`)}</p>`;
  return (
    `<section class="procedure routine" id="routine-${id}" data-procedure data-routine="${id}" aria-labelledby="routine-${id}_h">` +
    `<h2 id="routine-${id}_h"><span class="letter">${words.routine(sheet.letters.get(id) ?? "")}</span> ${routine.title}</h2>` +
    `<div class="routine-intro" data-intro>${routine.summary ?? ""}${cautionsHtml(base, routine.notes)}${needs}</div>${begin}` +
    routine.steps.map((step) => stepHtml(sheet, procedure, step)).join("") +
    `${outcomesHtml(sheet, routine)}</section>`
  );
}

/** What each outcome means, and for each step that uses the routine, where the reader goes on with it. */
function outcomesHtml(sheet: Sheet, routine: CompiledRoutine): string {
  const rows = Object.entries(routine.outcomes).map(
    ([outcome, means]) =>
      `<li id="${outcomeAnchor(routine.id, outcome)}"><b>${sayOf(outcome, means)}</b> ${returnsHtml(sheet, routine.id, outcome)}</li>`,
  );
  return `<div class="outcomes" data-outcomes><p>${words.outcomes}</p><ul>${rows.join("")}</ul></div>`;
}

function returnsHtml(sheet: Sheet, routine: string, outcome: string): string {
  const links: string[] = [];
  for (const procedure of sheet.procedures) {
    for (const step of procedure.steps) {
      if (step.kind !== "use" || step.routine !== routine) continue;
      if (!step.outcomes.some((one) => one.id === outcome)) continue;
      const key = keyOf(procedure, step.id);
      const mark = sheet.marks.get(key);
      links.push(`<a class="go" href="#${anchorOf(key)}">${words.step(mark?.number ?? "")}</a>`);
    }
  }
  return `<span class="returns">${links.join(" ")}</span>`;
}

/** The states that the steps name: what each means, what is so without it, and how it is put back. */
function statesHtml(sheet: Sheet): string {
  const { base } = sheet;
  const named = new Set<string>();
  for (const procedure of sheet.procedures) {
    const routine = procedure.routine === undefined ? undefined : base.routines[procedure.routine];
    for (const state of routine?.needs ?? []) named.add(state);
    for (const step of procedure.steps) {
      for (const state of [...step.needs, ...step.sets, ...step.clears]) named.add(state);
    }
  }
  if (named.size === 0) return "";
  const rows = [...named].map((id) => {
    const state = base.states[id];
    if (state === undefined) return "";
    const sign = state.mustClear ? symbolHtml("M001") : "";
    return `<dt id="state_${id}">${sign}${state.title}</dt><dd><div class="means">${state.means}</div><div class="without">${words.without(state.without)}</div>${backHtml(sheet, id)}</dd>`;
  });
  const stop = sheet.canLeaveBehind
    ? `<h2 id="${LEAVING}">${words.stop}</h2><p>${words.stopSays(symbolHtml("M001"))}</p>`
    : "";
  return `<section class="states" aria-labelledby="${stop === "" ? "" : `${LEAVING} `}states_h">${stop}<h2 id="states_h">${words.states}</h2><dl>${rows.join("")}</dl></section>`;
}

/** How a state that must not be left behind is put back: by a routine, and by the steps that end it. */
export function waysBackFrom(sheet: Sheet, state: string): { readonly anchor: string; readonly html: string }[] {
  if (!sheet.base.states[state]?.mustClear) return [];
  const routines = routinesBack(sheet.base, sheet.tree, state).map((id) => ({
    anchor: `routine-${id}`,
    html: `<a class="go" href="#routine-${id}">${stepWords.routine(sheet.letters.get(id) ?? "", unlinked(sheet.base.routines[id]?.title ?? id))}</a>`,
  }));
  // Where there is a routine for it, what other routines do of it in passing is no way back.
  const steps = (routines.length > 0 ? sheet.procedures.slice(0, 1) : sheet.procedures).flatMap((procedure) =>
    procedure.steps
      .filter(({ clears }) => clears.includes(state))
      .map(({ id }) => ({ anchor: anchorOf(keyOf(procedure, id)), html: goHtml(sheet, procedure, id) })),
  );
  return [...routines, ...steps];
}

function backHtml(sheet: Sheet, state: string): string {
  const ways = waysBackFrom(sheet, state).map(({ html }) => html);
  return ways.length === 0 ? "" : `<div class="back">${words.back(ways.join(" "))}</div>`;
}

function reviewedHtml(tree: CompiledTree, root: string): string {
  const day = `<time datetime="${escapeText(tree.reviewed.on)}">${escapeText(tree.reviewed.on)}</time>`;
  return `<p class="reviewed">${words.reviewed(day, escapeText(tree.reviewed.by))} <a href="${root}proofs/${tree.id}.html">${words.proof}</a> <a href="${root}charts/${tree.id}.html">${words.chart}</a> <a href="${root}paper/${tree.id}.html">${words.print}</a></p>`;
}
