/** One step of a tree or routine as HTML: to read, to follow by links, to print, and for the walk to take over. */
import { words } from "#words/step";
import {
  type Branch,
  type CompiledBase,
  type CompiledStep,
  type CompiledTree,
  type MeasureStep,
  OWN_WORDS,
  type Target,
  type UseStep,
} from "../../../compiler/model/compiled.ts";
import { digits, inBoth, limitsOf, marked, type Quantity } from "../measure/units.ts";
import { anchorOf } from "../walk/plan.ts";
import { cautionsHtml } from "./caution.ts";
import { bare, escapeText, idWords, list, unlinked, upperFirst } from "./html.ts";
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
const STOP_LINK = `<p class="stop-link"><a href="#${LEAVING}">${words.stopLink}</a></p>`;

export function stepHtml(sheet: Sheet, procedure: Procedure, step: CompiledStep): string {
  const { base } = sheet;
  const key = keyOf(procedure, step.id);
  const mark = sheet.marks.get(key);
  const group = step.of === undefined ? "" : " part";
  const minutes =
    step.minutes === undefined ? "" : ` <span class="minutes">${words.minutes(digits(step.minutes))}</span>`;
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
    (step.why === undefined ? "" : `<div class="why">${words.why(step.why)}</div>`) +
    (step.kind === "stop" || !sheet.canLeaveBehind ? "" : STOP_LINK) +
    `</div></section>`
  );
}

function kindWord({ kind, of }: CompiledStep): string {
  if (of === undefined) return words.kinds[kind];
  return kind === "look" ? words.kinds.prove : kind === "do" || kind === "use" ? words.kinds.mend : words.kinds[kind];
}

/** What a branch or an outcome says. The format's own may leave that to the page. */
export function sayOf(id: string, { say }: { readonly say?: string } = {}): string {
  const own = OWN_WORDS.find((word) => word === id);
  return say ?? (own === undefined ? escapeText(id) : words.answers[own]);
}

/** A value of a fact as the equipment's catalog has it, or what stands for every other one. */
export function factValue(value: string | undefined): string {
  if (value === undefined) return words.facts.else;
  return value === "true" || value === "false" ? words.facts[value] : escapeText(marked(value));
}

export function familyTitles(base: CompiledBase, families: readonly string[]): string {
  return list(families.map((id) => unlinked(base.families[id]?.title ?? escapeText(id))));
}

function onlyFor(base: CompiledBase, families: readonly string[] | undefined): string {
  return families === undefined ? "" : `<p class="only">${words.onlyFor(familyTitles(base, families))}</p>`;
}

function stateLinks(base: CompiledBase, states: readonly string[]): string {
  return list(
    states.map((id) => `<a href="#state_${id}" data-state="${id}">${unlinked(base.states[id]?.title ?? id)}</a>`),
  );
}

function needsHtml(base: CompiledBase, needs: readonly string[]): string {
  return needs.length === 0 ? "" : `<p class="needs">${words.onlyWith(stateLinks(base, needs))}</p>`;
}

function changesHtml(base: CompiledBase, step: CompiledStep): string {
  const lines = [];
  if (step.sets.length > 0) lines.push(words.sets(stateLinks(base, step.sets)));
  if (step.clears.length > 0) lines.push(words.clears(stateLinks(base, step.clears)));
  return lines.length === 0 ? "" : `<p class="changes">${lines.join(" ")}</p>`;
}

function things(base: CompiledBase, step: CompiledStep): string {
  const names = [
    ...step.tools.map((id) => base.tools[id]?.title ?? escapeText(id)),
    ...step.parts.map((id) => base.parts[id]?.title ?? escapeText(id)),
  ];
  return names.length === 0 ? "" : `<p class="things">${words.atHand(list(names))}</p>`;
}

/** The licence comes before everything else at a step: who lacks it has no use for the rest. */
function licenceHtml(sheet: Sheet, procedure: Procedure, step: CompiledStep): string {
  if (step.licence === undefined) return "";
  const licence = sheet.base.licences[step.licence];
  const without =
    step.unlicensed === undefined
      ? ""
      : `<p class="onward">${words.unlicensed(targetHtml(sheet, procedure, step.unlicensed))}</p>`;
  return (
    `<div class="licence" data-licence="${step.licence}">` +
    `<p>${words.licence(`<span class="name">${licence?.title ?? escapeText(step.licence)}</span>`)}</p>${licence?.what ?? ""}` +
    `<p>${words.law}</p>${without}</div>`
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
          `<li><span class="say"><b>${factValue(one.value)}</b> <small>${familyTitles(base, one.families)}</small></span> ${goHtml(sheet, procedure, one.to)}</li>`,
      );
      return `<p>${words.dependsOn(escapeText(idWords(step.fact)))}</p><ul class="ways">${rows.join("")}</ul>`;
    }
    case "use":
      return useHtml(sheet, procedure, step);
    case "found": {
      const cause = base.causes[step.cause];
      const consequence =
        cause?.consequence === undefined ? "" : `<div class="leads-to">${words.leadsTo(cause.consequence)}</div>`;
      const about = cause === undefined ? "" : `<div class="cause">${cause.what}${consequence}</div>`;
      return (
        about +
        leavesHtml(base, step.leaves) +
        (step.next === undefined ? "" : onwardHtml(sheet, procedure, step.next, step))
      );
    }
    case "stop": {
      return `<p class="ending">${words.ends[step.stopKind]}</p>${callHtml(base, step.call)}${leavesHtml(base, step.leaves)}`;
    }
    default:
      return step satisfies never;
  }
}

export function callHtml(base: CompiledBase, id: string | undefined): string {
  const contact = id === undefined ? undefined : base.contacts[id];
  return contact === undefined
    ? ""
    : `<div class="call" data-call><p>${words.call(contact.title)}</p>${contact.reach ?? ""}${contact.when ?? ""}</div>`;
}

function waysHtml(sheet: Sheet, procedure: Procedure, branches: readonly Branch[]): string {
  const rows = branches.map(
    (one) =>
      `<li data-branch="${one.id}"><span class="say">${sayOf(one.id, one)}${branchFamilies(sheet.base, one)}</span> ${targetHtml(sheet, procedure, one)}</li>`,
  );
  return `<ul class="ways">${rows.join("")}</ul>`;
}

function branchFamilies(base: CompiledBase, branch: Branch): string {
  return branch.families === undefined ? "" : ` <small>${words.onlyFor(familyTitles(base, branch.families))}</small>`;
}

/** @param from The step that is left: what stands right behind it needs no title. */
function onwardHtml(sheet: Sheet, procedure: Procedure, next: Target, from: CompiledStep): string {
  if (!("again" in next) && procedure.steps[procedure.steps.indexOf(from) + 1]?.id === next.to) {
    const place = placeOf(procedure, next.to);
    const number = sheet.marks.get(place)?.number ?? "";
    return `<p class="onward">${words.thenTo(`<a class="go" href="#${anchorOf(place)}">${words.next(number)}</a>`)}</p>`;
  }
  return `<p class="onward">${words.thenTo(targetHtml(sheet, procedure, next))}</p>`;
}

function targetHtml(sheet: Sheet, procedure: Procedure, target: Target): string {
  if (!("again" in target)) return goHtml(sheet, procedure, target.to);
  const { to, atMost, else: otherwise } = target.again;
  const [back, after] = [goHtml(sheet, procedure, to), goHtml(sheet, procedure, otherwise)];
  return `<span class="again">${words.again(back, atMost, after)}</span>`;
}

/** A link to where a target lies on this page, by number and title. */
export function goHtml(sheet: Sheet, procedure: Procedure, to: string): string {
  const place = placeOf(procedure, to);
  if (place.startsWith("=")) {
    if (procedure.routine === undefined) return `<a class="go" href="#done">${words.done}</a>`;
    const outcome = sayOf(to, sheet.base.routines[procedure.routine]?.outcomes[to]);
    return `<a class="go" href="#${outcomeAnchor(procedure.routine, to)}">${words.routineEnds(unlinked(outcome))}</a>`;
  }
  const mark = sheet.marks.get(place);
  return `<a class="go" href="#${anchorOf(place)}"><b>${mark?.number ?? ""}</b> ${unlinked(mark?.title ?? to)}</a>`;
}

function useHtml(sheet: Sheet, procedure: Procedure, step: UseStep): string {
  const routine = sheet.base.routines[step.routine];
  const letter = sheet.letters.get(step.routine) ?? "";
  const named = words.routine(letter, unlinked(routine?.title ?? escapeText(step.routine)));
  const link = `<p class="onward">${words.goThrough(`<a class="go" href="#routine-${step.routine}">${named}</a>`)}</p>`;
  const only = step.outcomes[0];
  if (step.outcomes.length === 1 && only !== undefined) {
    return `${link}<p class="onward after">${words.afterIt(targetHtml(sheet, procedure, only))}</p>`;
  }
  return `${link}<p class="after">${words.outcomeDecides}</p>${waysHtml(sheet, procedure, step.outcomes)}`;
}

function leavesHtml(base: CompiledBase, leaves: Readonly<Record<string, string>>): string {
  const rows = Object.entries(leaves).map(
    ([state, why]) => `<li data-left="${state}"><b>${base.states[state]?.title ?? escapeText(state)}</b> ${why}</li>`,
  );
  return rows.length === 0 ? "" : `<div class="leaves"><p><b>${words.leaves}</b></p><ul>${rows.join("")}</ul></div>`;
}

function measureHtml(sheet: Sheet, procedure: Procedure, step: MeasureStep): string {
  const result = quantityFor(step.value.unit);
  const ranges = step.ranges.map(
    (one) =>
      `<tr data-branch="${one.id}"><th scope="row">${limitsHtml(sheet.base, one, result)}</th><td><span class="say">${sayOf(one.id, one)}${branchFamilies(sheet.base, one)}</span></td><td>${targetHtml(sheet, procedure, one)}</td></tr>`,
  );
  const isLone = isLoneReading(step);
  const name = isLone ? words.reading : idWords(step.value.name);
  return (
    `<div class="measure" data-value="${escapeText(upperFirst(name))}" ${unitAttributes(result)}>` +
    readingsHtml(step.readings) +
    (isLone ? "" : formulaHtml(sheet, procedure, step, name, result)) +
    `<table class="ranges"><caption>${words.ranges}</caption><thead><tr><th scope="col">${escapeText(upperFirst(name))}</th><th scope="col">${words.means}</th><th scope="col">${words.go}</th></tr></thead><tbody>${ranges.join("")}</tbody></table></div>`
  );
}

/** Nothing is computed from it: the walk knows that by the same. */
function isLoneReading({ value: { code }, readings }: MeasureStep): boolean {
  return code.length === 1 && code[0] === readings[0]?.id;
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
  const both = (amount: number | undefined) => (amount === undefined ? "" : escapeText(inBoth(amount, result)));
  return limitsOf(both(from), both(below)) || words.any;
}

/** The formula in the words of what was asked. */
function formulaHtml(sheet: Sheet, procedure: Procedure, step: MeasureStep, name: string, result: Quantity): string {
  const { value } = step;
  const written = writtenHtml(value.written, (input) => {
    const own = step.readings.find((each) => each.id === input);
    if (own) return { said: bare(own.ask) };
    const read = value.earlier?.[input];
    return read
      ? { said: bare(read.ask), unit: read.unit, key: keyOf(procedure, input) }
      : { said: escapeText(idWords(input.replace("equipment.", ""))) };
  });
  const formula = value.formula === undefined ? undefined : sheet.base.formulas[value.formula];
  const link =
    formula === undefined
      ? ""
      : ` <a class="reckon" href="${sheet.root}formulas/${value.formula}.html">${words.calculator(unlinked(formula.title))}</a>`;
  return `<p class="formula">${escapeText(upperFirst(name))} = ${written}${unitsAfter(result)}${link}</p>`;
}
