/** A tree as a chart sees it: one box a step, remedies and proofs folded into the box of their cause, a routine one box. */
import { words } from "#words/chart";
import type { Branch, CompiledStep, Target } from "../../../compiler/model/compiled.ts";
import { plain } from "../render/html.ts";
import { placeOf } from "../render/plan.ts";
import { factValue, type Sheet, sayOf } from "../render/step.ts";

/** Symbols of ISO 5807:1985. */
type Shape = "decision" | "process" | "predefined" | "terminator";

export interface Box {
  readonly key: string;
  readonly number: string;
  /** Plain text. */
  readonly title: string;
  readonly word: string;
  readonly kind: CompiledStep["kind"];
  readonly shape: Shape;
  /** What is said on the way to the end "done", when a way leads there. */
  readonly done?: string;
  /** Numbers of the remedy and its proof on the page. */
  readonly mend?: string;
}

export interface Line {
  readonly from: string;
  readonly to: string;
  /** Ids of the branches it stands for; several answers that lead to one step share a line. Empty: the only way on. */
  readonly branches: readonly string[];
  /** Plain text. */
  readonly say: string;
}

export interface Graph {
  readonly start: string;
  /** In the order of the page. */
  readonly boxes: readonly Box[];
  readonly lines: readonly Line[];
}

const SHAPES: Readonly<Record<CompiledStep["kind"], Shape>> = {
  look: "decision",
  measure: "decision",
  sort: "decision",
  do: "process",
  use: "predefined",
  found: "process",
  stop: "terminator",
};

interface Way {
  readonly id: string;
  readonly say: string;
  readonly target: Target;
}

export function graphOf(sheet: Sheet): Graph {
  const { tree } = sheet;
  const [own] = sheet.procedures;
  if (own === undefined) return { start: tree.start, boxes: [], lines: [] };
  const boxes: Box[] = [];
  const lines = new Map<string, Line>();
  for (const step of tree.steps) {
    if (step.of !== undefined) continue;
    const group = [step, ...tree.steps.filter(({ of }) => of === step.id)];
    const inside = new Set(group.map(({ id }) => id));
    const done: string[] = [];
    for (const { id, say, target } of group.flatMap(waysOf)) {
      for (const [to, said] of ends(target, say)) {
        if (inside.has(to) && group.length > 1) continue;
        if (placeOf(own, to) === "=done") {
          done.push(said);
          continue;
        }
        const name = `${step.id} ${to}`;
        const before = lines.get(name);
        lines.set(name, {
          from: step.id,
          to,
          branches: [...(before?.branches ?? []), ...(id === "" || before?.branches.includes(id) ? [] : [id])],
          say: [before?.say ?? "", said].filter((part) => part !== "").join(" / "),
        });
      }
    }
    const word = words.kinds[step.kind];
    const letter = step.kind === "use" ? (sheet.letters.get(step.routine) ?? "") : "";
    const mending = group.slice(1).map(({ id }) => sheet.marks.get(id)?.number ?? "");
    const [first, last] = [mending[0], mending.at(-1)];
    boxes.push({
      key: step.id,
      number: sheet.marks.get(step.id)?.number ?? "",
      title: plain(step.title),
      word: `${word}${letter === "" ? "" : ` ${letter}`}`,
      kind: step.kind,
      shape: SHAPES[step.kind],
      ...(done.length > 0 && { done: done[0] ?? "" }),
      ...(first !== undefined && { mend: first === last || last === undefined ? first : words.fromTo(first, last) }),
    });
  }
  return { start: tree.start, boxes, lines: [...lines.values()] };
}

/** Every way on from a step, with what the reader says to take it. */
function waysOf(step: CompiledStep): readonly Way[] {
  const without = step.unlicensed;
  return [
    ...ownWays(step),
    ...(without === undefined ? [] : [{ id: "=unlicensed", say: words.unlicensed, target: without }]),
  ];
}

function ownWays(step: CompiledStep): readonly Way[] {
  const said = (branches: readonly Branch[]) =>
    branches.map((one) => ({
      // The last piece of a remedy is no branch of its cause, even where it is a routine with its one outcome.
      id: step.of !== undefined && branches.length === 1 ? "" : one.id,
      say: branches.length === 1 ? "" : plain(sayOf(one.id, one)),
      target: one,
    }));
  switch (step.kind) {
    case "look":
      return said(step.answers);
    case "measure":
      return said(step.ranges);
    case "use":
      return said(step.outcomes);
    case "sort":
      return step.cases.map(({ value, to }) => ({ id: value ?? "else", say: plain(factValue(value)), target: { to } }));
    case "do":
      return [{ id: "", say: "", target: step.next }];
    case "found":
      return step.next === undefined ? [] : [{ id: "", say: "", target: step.next }];
    case "stop":
      return [];
    default:
      return step satisfies never;
  }
}

/** A bounded repeat is two ways: back, and what follows when it has been taken often enough. */
function ends(target: Target, say: string): readonly (readonly [to: string, say: string])[] {
  if (!("again" in target)) return [[target.to, say]];
  const { to, atMost, else: otherwise } = target.again;
  const before = say === "" ? "" : `${say}: `;
  return [
    [to, before + words.again(atMost)],
    [otherwise, before + words.after],
  ];
}
