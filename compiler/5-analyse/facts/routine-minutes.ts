/**
 * How long a routine takes to each of its outcomes, and to each stop inside it, for one family.
 *
 * Inside a routine every way on is taken for as likely as the others. Steps without `minutes` take none. A step that a
 * reader without the licence passes by takes none either.
 */
import type { Step, World } from "../../model/base.ts";
import type { Edge, Graph } from "../../model/graph.ts";
import { summaries } from "./summaries.ts";
import { type Minutes, type Position, type Timing, timing, unroll } from "./unroll.ts";

/** A stop inside a routine. */
interface InnerStop {
  readonly step: Step;
  readonly minutes: Minutes | undefined;
}
export interface RoutineMinutes {
  /** Only outcomes that some reader comes to; undefined minutes where nobody can tell. */
  readonly outcomes: ReadonlyMap<string, Minutes | undefined>;
  readonly stops: readonly InnerStop[];
}

/** Undefined for a routine that can't be read; then nothing may be concluded from its outcomes. */
const routineMinutes = summaries<RoutineMinutes | undefined>(undefined, summarise);

const NO_MINUTES: Minutes = { mean: 0, worst: 0 };

/** What a step takes, and the routine that it uses on the way to the outcome; undefined where nobody can tell. */
export function minutesOf(step: Step | undefined, edge: Edge, inside: RoutineMinutes | undefined): Minutes | undefined {
  if (!step || edge.kind === "unlicensed") return NO_MINUTES;
  const own = step.minutes ?? 0;
  if (!inside) return { mean: own, worst: own };
  const used = inside.outcomes.get(edge.branch.id);
  return used && { mean: own + used.mean, worst: own + used.worst };
}

/** The routine that each node uses. */
export function insides(graph: Graph, world: World): readonly (RoutineMinutes | undefined)[] {
  const family = graph.families[0] ?? "";
  return graph.nodes.map(({ step }) => step?.routine && routineMinutes(step.routine.id, family, world));
}

function summarise(graph: Graph, world: World): RoutineMinutes {
  const inside = insides(graph, world);
  const walked = unroll(graph, undefined, (node) =>
    (graph.nodes[node]?.edges ?? []).flatMap((edge) => {
      const known = inside[node];
      // An outcome that the inner routine does not have for this family is none here.
      return edge.kind !== "unlicensed" && known && !known.outcomes.has(edge.branch.id) ? [] : [{ edge, state: 0 }];
    }),
  );
  const times = timed(graph, walked, inside, ({ node }) => inside[node]?.stops.length ?? 0);
  const outcomes = new Map<string, Minutes | undefined>();
  const stops = new Map<Step, (Timing | undefined)[]>();
  const byEnd = new Map<string, (Timing | undefined)[]>();
  const put = <K>(map: Map<K, (Timing | undefined)[]>, key: K, time: Timing | undefined): void => {
    const list = map.get(key);
    if (list) list.push(time);
    else map.set(key, [time]);
  };
  for (const { index, node, ways } of walked.positions) {
    const { id, step } = graph.nodes[node] ?? {};
    const time = times?.[index];
    if (id === undefined) continue;
    if (!step) put(byEnd, id, time);
    else if (step.kind === "stop") put(stops, step, time);
    else
      for (const inner of inside[node]?.stops ?? []) {
        const each = 1 / (ways.length + (inside[node]?.stops.length ?? 0));
        put(stops, inner.step, behind(time, inner.minutes, step.minutes ?? 0, each));
      }
  }
  for (const [id, list] of byEnd) outcomes.set(id, together(list));
  return { outcomes, stops: [...stops].map(([step, list]) => ({ step, minutes: together(list) })) };
}

/** Coming to a stop inside a routine, some time after coming to the step that uses it. */
export function behind(
  time: Timing | undefined,
  inner: Minutes | undefined,
  own: number,
  each: number,
): Timing | undefined {
  if (!time || !inner) return undefined;
  return {
    share: time.share * each,
    minutes: { mean: time.minutes.mean + own + inner.mean, worst: time.minutes.worst + own + inner.worst },
  };
}

/** Several that come to the same end; undefined where one of them is not known. */
export function together(list: readonly (Timing | undefined)[]): Minutes | undefined {
  let share = 0;
  let sum = 0;
  let worst = 0;
  for (const time of list) {
    if (!time) return undefined;
    share += time.share;
    sum += time.share * time.minutes.mean;
    worst = Math.max(worst, time.minutes.worst);
  }
  return { mean: share > 0 ? sum / share : 0, worst };
}

/** Timing of what was unrolled; undefined where some step on it takes nobody knows how long. */
export function timed(
  graph: Graph,
  walked: ReturnType<typeof unroll>,
  inside: readonly (RoutineMinutes | undefined)[],
  leaving: (position: Position) => number,
): readonly Timing[] | undefined {
  let isKnown = true;
  const times = timing(
    walked,
    ({ node }, edge) => {
      const took = minutesOf(graph.nodes[node]?.step, edge, inside[node]);
      if (!took) isKnown = false;
      return took ?? NO_MINUTES;
    },
    leaving,
  );
  return isKnown ? times : undefined;
}
