/**
 * The procedure on paper for one kind of equipment. A choice above it hides, by styles alone, what that equipment never
 * comes to; numbers stay, so that a step is called the same on every sheet, in the walk and on the telephone.
 */
import { words } from "#words/chart";
import type { CompiledBase, CompiledTree } from "../../../compiler/model/compiled.ts";
import { escapeText, unlinked } from "../render/html.ts";
import { keyOf, type Procedure } from "../render/plan.ts";
import { outcomeAnchor, type Sheet } from "../render/step.ts";
import { planFor, waysBackFrom } from "../render/tree.ts";
import { branchesOf, open } from "../walk/engine.ts";
import { anchorOf, type Plan, type PlanTarget, routineOf } from "../walk/plan.ts";

/** Ids of the page have an underscore: those of steps have none. */
const ALL = "all_for";

/** What is to be printed: for which equipment, where there is more than one kind, and whether with the chart. */
export function choiceHtml(base: CompiledBase, tree: CompiledTree): string {
  const chart = `<label class="with-chart"><input type="checkbox" id="with_chart" checked> ${words.paper.withChart}</label>`;
  if (tree.serves.length < 2) return `<div class="chips">${chart}</div>`;
  const chip = (id: string, label: string) =>
    `<label><input type="radio" name="for" id="${id}"${id === ALL ? " checked" : ""}> ${label}</label>`;
  const chips = tree.serves.map((id) => chip(choiceOf(id), unlinked(base.families[id]?.title ?? escapeText(id))));
  return (
    `<div class="chips"><fieldset><legend>${words.paper.forWhich}</legend>` +
    `${chip(ALL, words.paper.forAll)}${chips.join("")}</fieldset><p>${words.paper.forNote}</p>${chart}</div>`
  );
}

function choiceOf(family: string): string {
  return `for_${family}`;
}

/** What each choice hides, as a style sheet. */
export function choiceStyles(sheet: Sheet): string {
  const { serves } = sheet.tree;
  const plan = planFor(sheet);
  /** By what is hidden: the places of the families for which it is. */
  const hidden = new Map<string, number[]>();
  for (const family of serves.keys())
    for (const selector of hiddenFor(sheet, plan, family))
      hidden.set(selector, [...(hidden.get(selector) ?? []), family]);
  const together = new Map<string, string[]>();
  for (const [selector, families] of hidden) {
    const chosen = families.map((family) => `#${choiceOf(serves[family] ?? "")}`).join();
    together.set(chosen, [...(together.get(chosen) ?? []), selector]);
  }
  return [...together]
    .map(([chosen, selectors]) => `main:has(:is(${chosen}):checked) :is(${selectors.join()}){display:none!important}`)
    .join("\n");
}

/** Selectors of all that has nothing to say to a family. */
function hiddenFor(sheet: Sheet, plan: Plan, family: number): string[] {
  const { tree } = sheet;
  const id = tree.serves[family] ?? "";
  const reached = reachedBy(plan, family);
  const selectors = [`.families>:not([data-family="${id}"])`];
  const left: Left = { anchors: new Set(), things: new Set(), states: new Set() };
  for (const procedure of sheet.procedures) selectors.push(...hiddenIn(sheet, procedure, plan, family, reached, left));
  if (!reached.has(endOf("", "done"))) selectors.push(`#${anchorOf("=done")}`);
  for (const thing of tree.bring) {
    const selector = `[data-kind="${thing.kind}"][data-bring="${thing.id}"]`;
    if (!left.things.has(selector)) selectors.push(selector);
  }
  const evidence = tree.evidence.find(({ families }) => families.includes(id));
  for (const cause of Object.keys(tree.causes))
    if (evidence && !evidence.causes[cause]) selectors.push(`[data-cause="${cause}"]`);
  for (const state of Object.keys(plan.states)) {
    const term = `#state_${state}`;
    if (!left.states.has(state)) {
      selectors.push(term, `${term}+dd`);
      continue;
    }
    const ways = waysBackFrom(sheet, state);
    const away = ways.filter(({ anchor }) => !left.anchors.has(anchor));
    // What is left to do of the work under way puts it back then.
    if (away.length === ways.length) selectors.push(`${term}+dd .back`);
    else selectors.push(...away.map(({ anchor }) => `${term}+dd [href="#${anchor}"]`));
  }
  return selectors;
}

/** What stays, and what it speaks of. */
interface Left {
  /** Ids of steps and routines. */
  readonly anchors: Set<string>;
  /** Selectors of what is brought. */
  readonly things: Set<string>;
  readonly states: Set<string>;
}

/** The same within one procedure; adds to `left`. */
function hiddenIn(
  { base, tree }: Sheet,
  procedure: Procedure,
  plan: Plan,
  family: number,
  reached: ReadonlySet<string>,
  left: Left,
): string[] {
  const { routine, steps } = procedure;
  const id = tree.serves[family] ?? "";
  const selectors: string[] = [];
  const isUsed = steps.some((step) => reached.has(keyOf(procedure, step.id)));
  if (!isUsed) selectors.push(`#routine-${routine}`);
  for (const step of steps) {
    const key = keyOf(procedure, step.id);
    const section = `#${anchorOf(key)}`;
    if (!reached.has(key)) {
      if (isUsed) selectors.push(section);
      if (step.kind === "use") selectors.push(`.returns [href="${section}"]`);
      if (routine === undefined) selectors.push(`[data-cause] li:has([href="${section}"])`);
      continue;
    }
    if (step.families?.includes(id) === false) {
      // The reader comes here and passes over it: for whom it is and where to go on is all that is left.
      const onward = step.kind === "use" ? ".after,.ways" : ".onward";
      selectors.push(`${section} .body>:not(h3,.only,${onward})`, `${section} .ways>:nth-child(n+2)`);
      continue;
    }
    left.anchors.add(anchorOf(key));
    for (const state of [...step.needs, ...step.sets, ...step.clears]) left.states.add(state);
    for (const tool of step.tools) left.things.add(`[data-kind="tool"][data-bring="${tool}"]`);
    for (const part of step.parts) left.things.add(`[data-kind="part"][data-bring="${part}"]`);
    const branches = branchesOf(plan.steps[key]);
    const meant = open(branches, family).filter(
      (one) => step.kind !== "use" || reached.has(endOf(step.routine, one.id)),
    );
    for (const one of branches) if (!meant.includes(one)) selectors.push(`${section} [data-branch="${one.id}"]`);
    if (step.kind !== "sort") continue;
    for (const [place, { families }] of step.cases.entries())
      if (!families.includes(id)) selectors.push(`${section} .ways>:nth-child(${place + 1})`);
  }
  const used = isUsed && routine !== undefined ? base.routines[routine] : undefined;
  if (used === undefined) return selectors;
  left.anchors.add(`routine-${used.id}`);
  for (const state of used.needs) left.states.add(state);
  for (const outcome of Object.keys(used.outcomes))
    if (!reached.has(endOf(used.id, outcome))) selectors.push(`#${outcomeAnchor(used.id, outcome)}`);
  return selectors;
}

/** Keys of the steps to which a family can come, and by `endOf` the outcomes with which it can leave a routine. */
function reachedBy(plan: Plan, family: number): ReadonlySet<string> {
  let before = -1;
  const reached = new Set<string>();
  // What follows a routine is known when its outcomes are; those may wait for what another routine leaves.
  while (reached.size > before) {
    before = reached.size;
    const seen = new Set<string>();
    const come = (routine: string, target: PlanTarget | undefined): void => {
      if (target === undefined) return;
      if (typeof target !== "string") {
        come(routine, target[0]);
        come(routine, target[2]);
        return;
      }
      if (target.startsWith("=")) {
        reached.add(endOf(routine, target.slice(1)));
        return;
      }
      const step = plan.steps[target];
      if (step === undefined || seen.has(target)) return;
      seen.add(target);
      reached.add(target);
      const within = routineOf(target);
      if (step.families?.includes(family) === false) {
        // Passed over, as the walk does.
        if (step.kind === "do") come(within, step.next);
        if (step.kind === "use") come(within, step.outcomes[0]?.to);
        return;
      }
      come(within, step.licence?.[1]);
      if (step.kind === "sort") come(within, step.to[family] ?? undefined);
      if ("next" in step) come(within, step.next);
      const used = step.kind === "use" ? routineOf(step.start) : undefined;
      if (step.kind === "use") come(within, step.start);
      for (const branch of open(branchesOf(step), family))
        if (used === undefined || reached.has(endOf(used, branch.id))) come(within, branch.to);
    };
    come("", plan.start);
  }
  return reached;
}

/** Leaving a routine with an outcome, as no key of a step is written. */
function endOf(routine: string, outcome: string): string {
  return `${routine}=${outcome}`;
}
