/** One step of a tree or routine as HTML: to read, to follow by links, to print, and for the walk to take over. */
import type {
  Branch,
  CompiledBase,
  CompiledStep,
  CompiledTree,
  MeasureStep,
  Target,
  UseStep,
} from "../../../compiler/model/compiled.ts";
import { inBoth, type Quantity } from "../measure/units.ts";
import { anchorOf } from "../walk/plan.ts";
import { cautionsHtml } from "./caution.ts";
import { bare, escapeText, list, unlinked, upperFirst, words } from "./html.ts";
import { readingsHtml, unitAttributes, unitsAfter, writtenHtml } from "./measure.ts";
import { keyOf, type Procedure, placeOf } from "./plan.ts";
import { quantityFor } from "./units.ts";

/** What a page knows while its steps are written. */
export interface Sheet {
  readonly base: CompiledBase;
  readonly tree: CompiledTree;
  /** From a tree page to the folder of the site: `../`. */
  readonly root: string;
  readonly procedures: readonly Procedure[];
  /** Step key to its number on this page (`12`, in routines `B3`) and its title. */
  readonly marks: ReadonlyMap<string, { readonly number: string; readonly title: string }>;
  /** Routine id to its letter on this page. */
  readonly letters: ReadonlyMap<string, string>;
  /** Whether a reader who stops early may have to put something back. */
  readonly canLeaveBehind: boolean;
}

/** Id of the place where a page says what an outcome of a routine means and where it leads. */
export function outcomeAnchor(routine: string, outcome: string): string {
  return `${anchorOf(routine)}__out_${outcome}`;
}

/** Id of the place where a page says how everything is put back. */
export const LEAVING = "leaving";
const STOP_LINK = `<p class="stop-link"><a href="#${LEAVING}">If you have to stop here</a></p>`;

const STOP_WORDS = {
  normal: "End: nothing is wrong",
  elsewhere: "End: the cause is elsewhere",
  "hand-over": "End: stop and hand over",
} as const;

export function stepHtml(sheet: Sheet, procedure: Procedure, step: CompiledStep): string {
  const { base } = sheet;
  const key = keyOf(procedure, step.id);
  const mark = sheet.marks.get(key);
  const group = step.of === undefined ? "" : " part";
  const minutes = step.minutes === undefined ? "" : ` <span class="minutes">${step.minutes} min</span>`;
  const picture =
    step.picture === undefined
      ? ""
      : `<img class="picture" src="${sheet.root}pictures/${escapeText(encodeURI(step.picture.file))}" alt="${escapeText(step.picture.alt)}" loading="lazy">`;
  return (
    `<section class="step${group}" id="${anchorOf(key)}">` +
    `<p class="margin"><b class="number">${mark?.number ?? ""}</b> <span class="kind">${kindWord(step)}</span>${minutes}</p>` +
    `<div class="body"><h3>${step.title}</h3>` +
    licenceHtml(sheet, procedure, step) +
    onlyFor(base, step.families) +
    cautionsHtml(base, step.notes) +
    needsHtml(base, step.needs) +
    picture +
    (step.how === undefined ? "" : `<div class="how">${step.how}</div>`) +
    things(base, step) +
    actionHtml(sheet, procedure, step) +
    changesHtml(base, step) +
    (step.why === undefined ? "" : `<div class="why"><b>Why this step.</b> ${step.why}</div>`) +
    (step.kind === "stop" || !sheet.canLeaveBehind ? "" : STOP_LINK) +
    `</div></section>`
  );
}

function kindWord(step: CompiledStep): string {
  if (step.kind === "look" && step.of !== undefined) return "Prove";
  switch (step.kind) {
    case "look":
      return "Look";
    case "measure":
      return "Measure";
    case "do":
      return step.of === undefined ? "Do" : "Mend";
    case "sort":
      return "By equipment";
    case "use":
      return step.of === undefined ? "Routine" : "Mend";
    case "found":
      return "Found";
    case "stop":
      return "Stop";
    default:
      return step satisfies never;
  }
}

export function familyTitles(base: CompiledBase, families: readonly string[]): string {
  return list(families.map((id) => unlinked(base.families[id]?.title ?? escapeText(id))));
}

function onlyFor(base: CompiledBase, families: readonly string[] | undefined): string {
  return families === undefined ? "" : `<p class="only">Only for: ${familyTitles(base, families)}</p>`;
}

function stateLinks(base: CompiledBase, states: readonly string[]): string {
  return list(
    states.map((id) => `<a href="#state_${id}" data-state="${id}">${unlinked(base.states[id]?.title ?? id)}</a>`),
  );
}

function needsHtml(base: CompiledBase, needs: readonly string[]): string {
  return needs.length === 0 ? "" : `<p class="needs"><b>Only with:</b> ${stateLinks(base, needs)}</p>`;
}

function changesHtml(base: CompiledBase, step: CompiledStep): string {
  const lines = [];
  if (step.sets.length > 0) lines.push(`<b>After this step:</b> ${stateLinks(base, step.sets)}.`);
  if (step.clears.length > 0) lines.push(`<b>No longer:</b> ${stateLinks(base, step.clears)}.`);
  return lines.length === 0 ? "" : `<p class="changes">${lines.join(" ")}</p>`;
}

function things(base: CompiledBase, step: CompiledStep): string {
  const names = [
    ...step.tools.map((id) => base.tools[id]?.title ?? escapeText(id)),
    ...step.parts.map((id) => base.parts[id]?.title ?? escapeText(id)),
  ];
  return names.length === 0 ? "" : `<p class="things"><b>At hand:</b> ${list(names)}</p>`;
}

/** The licence comes before everything else at a step: who lacks it has no use for the rest. */
function licenceHtml(sheet: Sheet, procedure: Procedure, step: CompiledStep): string {
  if (step.licence === undefined) return "";
  const licence = sheet.base.licences[step.licence];
  const without =
    step.unlicensed === undefined
      ? ""
      : `<p class="onward">Without it ${targetHtml(sheet, procedure, step.unlicensed)}</p>`;
  return (
    `<div class="licence" data-licence="${step.licence}">` +
    `<p><b>Only with this licence:</b> <span class="name">${licence?.title ?? escapeText(step.licence)}</span></p>${licence?.what ?? ""}` +
    `<p>Local law decides who may do this work.</p>${without}</div>`
  );
}

/** What the step asks of the reader, and where each answer leads. */
function actionHtml(sheet: Sheet, procedure: Procedure, step: CompiledStep): string {
  const { base } = sheet;
  switch (step.kind) {
    case "look":
      return waysHtml(sheet, procedure, step.answers);
    case "measure":
      return measureHtml(sheet, procedure, step);
    case "do":
      return onwardHtml(sheet, procedure, step.next, step);
    case "sort": {
      const rows = step.cases.map(
        (one) =>
          `<li><span class="say"><b>${escapeText(one.value)}</b> <small>${familyTitles(base, one.families)}</small></span> ${goHtml(sheet, procedure, one.to)}</li>`,
      );
      return `<p>It depends on the equipment’s ${escapeText(words(step.fact))}:</p><ul class="ways">${rows.join("")}</ul>`;
    }
    case "use":
      return useHtml(sheet, procedure, step);
    case "found": {
      const cause = base.causes[step.cause];
      const consequence =
        cause?.consequence === undefined
          ? ""
          : `<div class="leads-to"><b>What it leads to.</b> ${cause.consequence}</div>`;
      const about = cause === undefined ? "" : `<div class="cause">${cause.what}${consequence}</div>`;
      return (
        about +
        leavesHtml(base, step.leaves) +
        (step.next === undefined ? "" : onwardHtml(sheet, procedure, step.next, step))
      );
    }
    case "stop": {
      return `<p class="ending">${STOP_WORDS[step.stopKind]}</p>${callHtml(base, step.call)}${leavesHtml(base, step.leaves)}`;
    }
    default:
      return step satisfies never;
  }
}

export function callHtml(base: CompiledBase, id: string | undefined): string {
  const contact = id === undefined ? undefined : base.contacts[id];
  return contact === undefined
    ? ""
    : `<div class="call" data-call><p><b>Call:</b> ${contact.title}</p>${contact.reach ?? ""}${contact.when ?? ""}</div>`;
}

function waysHtml(sheet: Sheet, procedure: Procedure, branches: readonly Branch[]): string {
  const rows = branches.map(
    (one) =>
      `<li data-branch="${one.id}"><span class="say">${one.say}${branchFamilies(sheet.base, one)}</span> ${targetHtml(sheet, procedure, one)}</li>`,
  );
  return `<ul class="ways">${rows.join("")}</ul>`;
}

function branchFamilies(base: CompiledBase, branch: Branch): string {
  return branch.families === undefined ? "" : ` <small>Only for: ${familyTitles(base, branch.families)}</small>`;
}

/** @param from The step that is left: what stands right behind it needs no title. */
function onwardHtml(sheet: Sheet, procedure: Procedure, next: Target, from: CompiledStep): string {
  if (!("again" in next) && procedure.steps[procedure.steps.indexOf(from) + 1]?.id === next.to) {
    const place = placeOf(procedure, next.to);
    const number = sheet.marks.get(place)?.number ?? "";
    return `<p class="onward">Then <a class="go" href="#${anchorOf(place)}">the next step, <b>${number}</b></a></p>`;
  }
  return `<p class="onward">Then ${targetHtml(sheet, procedure, next)}</p>`;
}

function targetHtml(sheet: Sheet, procedure: Procedure, target: Target): string {
  if (!("again" in target)) return goHtml(sheet, procedure, target.to);
  const { to, atMost, else: otherwise } = target.again;
  const times = atMost === 1 ? "once" : `at most ${atMost} times`;
  return `<span class="again"><span>Back ${goHtml(sheet, procedure, to)} ${times},</span> <span>after that ${goHtml(sheet, procedure, otherwise)}</span></span>`;
}

/** A link to where a target lies on this page, by number and title. */
export function goHtml(sheet: Sheet, procedure: Procedure, to: string): string {
  const place = placeOf(procedure, to);
  if (place.startsWith("=")) {
    if (procedure.routine === undefined) return '<a class="go" href="#done">the end: done</a>';
    const outcome = sheet.base.routines[procedure.routine]?.outcomes[to] ?? escapeText(to);
    return `<a class="go" href="#${outcomeAnchor(procedure.routine, to)}">routine ends: ${unlinked(outcome)}</a>`;
  }
  const mark = sheet.marks.get(place);
  return `<a class="go" href="#${anchorOf(place)}"><b>${mark?.number ?? ""}</b> ${unlinked(mark?.title ?? to)}</a>`;
}

function useHtml(sheet: Sheet, procedure: Procedure, step: UseStep): string {
  const routine = sheet.base.routines[step.routine];
  const letter = sheet.letters.get(step.routine) ?? "";
  const link = `<p class="onward">Go through <a class="go" href="#routine-${step.routine}">routine <b>${letter}</b> ${unlinked(routine?.title ?? escapeText(step.routine))}</a></p>`;
  const only = step.outcomes[0];
  if (step.outcomes.length === 1 && only !== undefined) {
    return `${link}<p class="onward after">After it ${targetHtml(sheet, procedure, only)}</p>`;
  }
  return `${link}<p class="after">Its outcome decides:</p>${waysHtml(sheet, procedure, step.outcomes)}`;
}

function leavesHtml(base: CompiledBase, leaves: Readonly<Record<string, string>>): string {
  const rows = Object.entries(leaves).map(
    ([state, why]) => `<li data-left="${state}"><b>${base.states[state]?.title ?? escapeText(state)}</b> ${why}</li>`,
  );
  return rows.length === 0
    ? ""
    : `<div class="leaves"><p><b>Stays as it is, on purpose:</b></p><ul>${rows.join("")}</ul></div>`;
}

function measureHtml(sheet: Sheet, procedure: Procedure, step: MeasureStep): string {
  const result = quantityFor(step.value.unit);
  const ranges = step.ranges.map(
    (one) =>
      `<tr data-branch="${one.id}"><th scope="row">${limitsHtml(sheet.base, one, result)}</th><td><span class="say">${one.say}${branchFamilies(sheet.base, one)}</span></td><td>${targetHtml(sheet, procedure, one)}</td></tr>`,
  );
  const name = valueName(step);
  return (
    `<div class="measure" data-value="${escapeText(upperFirst(name))}" ${unitAttributes(result)}>` +
    readingsHtml(step.readings) +
    (name === LONE ? "" : formulaHtml(sheet, procedure, step, name, result)) +
    `<table class="ranges"><caption>What it means</caption><thead><tr><th scope="col">${escapeText(upperFirst(name))}</th><th scope="col">Means</th><th scope="col">Go</th></tr></thead><tbody>${ranges.join("")}</tbody></table></div>`
  );
}

/** What a lone reading is called: the walk knows by it that there is nothing to compute. */
const LONE = "reading";

/** A lone reading is spoken of by what was asked; anything computed by its name. */
function valueName(step: MeasureStep): string {
  const { code, name } = step.value;
  return code.length === 1 && code[0] === step.readings[0]?.id ? LONE : words(name);
}

/** Ends that depend on the equipment stand before its names. */
function limitsHtml(base: CompiledBase, range: MeasureStep["ranges"][number], result: Quantity): string {
  if (!range.byFamily) return limits(range, result);
  const named = new Map<string, string[]>();
  for (const [family, ends] of Object.entries(range.byFamily)) {
    if (range.families?.includes(family) === false) continue;
    const said = limits(ends, result);
    named.set(said, [...(named.get(said) ?? []), family]);
  }
  const [first, second] = named.keys();
  if (first !== undefined && second === undefined) return first;
  return [...named].map(([said, families]) => `${said} <small>${familyTitles(base, families)}</small>`).join("");
}

function limits({ from, below }: { readonly from?: number; readonly below?: number }, result: Quantity): string {
  const both = (amount: number) => escapeText(inBoth(amount, result));
  if (from === undefined) return below === undefined ? "any" : `below ${both(below)}`;
  return below === undefined ? `${both(from)} or more` : `${both(from)} to below ${both(below)}`;
}

/** The formula in the words of what was asked. */
function formulaHtml(sheet: Sheet, procedure: Procedure, step: MeasureStep, name: string, result: Quantity): string {
  const { value } = step;
  const written = writtenHtml(value.written, (input) => {
    const own = step.readings.find((each) => each.id === input);
    if (own) return { words: bare(own.ask) };
    const read = value.earlier?.[input];
    return read
      ? { words: bare(read.ask), unit: read.unit, key: keyOf(procedure, input) }
      : { words: escapeText(words(input.replace("equipment.", ""))) };
  });
  const formula = value.formula === undefined ? undefined : sheet.base.formulas[value.formula];
  const link =
    formula === undefined
      ? ""
      : ` <a class="reckon" href="${sheet.root}formulas/${value.formula}.html">Calculator: ${unlinked(formula.title)}</a>`;
  return `<p class="formula">${escapeText(upperFirst(name))} = ${written}${unitsAfter(result)}${link}</p>`;
}
