/**
 * What the safety analysis established, for a report that somebody can sign. It asks the same facts as the rules, so it
 * can't say more than they proved; on a base with complaints it would say what holds, and leave out what doesn't.
 */
import type { World } from "../model/base.ts";
import type { CompiledProof, Html, ProofSource } from "../model/compiled.ts";
import type { Graph } from "../model/graph.ts";
import { applied, hasBit } from "./facts/flow.ts";
import { GraphFacts } from "./facts/graph-facts.ts";
import { raisedHazards } from "./facts/hazards.ts";
import { turnedAway } from "./facts/licences.ts";
import { givenNotes } from "./facts/notes.ts";
import { type Sources, sourcesOf } from "./facts/sources.ts";
import { type StateFacts, stateFacts, statesIn } from "./facts/states.ts";

/** @param block Makes HTML of an author's text. */
export function proofOf(graph: Graph, world: World, block: (text: string) => Html): CompiledProof {
  const { reachable } = new GraphFacts(graph, world);
  const states = stateFacts(graph, world);
  const nodes = graph.nodes.filter(({ index, step }) => step && reachable[index]);
  return {
    families: graph.families,
    needs: nodes.flatMap(({ index, id, step }) => {
      const inside = [...states.neededInside(index).keys()].map((state) => ({ state, routine: step?.routine?.id }));
      return [...(step?.needs.map((ref) => ({ state: ref.id, routine: undefined })) ?? []), ...inside].flatMap(
        ({ state, routine }) => {
          const bit = states.bit(state);
          const before = states.mustBefore(index);
          if (bit === undefined || !before || !hasBit(before, bit)) return [];
          const by = sourcesOf(graph, index, reachable, (node, edge) => {
            const change = states.change(node, edge)?.must;
            return change
              ? { gives: hasBit(change.gain, bit), keeps: hasBit(change.keep, bit) }
              : { gives: false, keeps: false };
          });
          return [{ step: id, state, ...(routine ? { routine } : {}), by: named(graph, by) }];
        },
      );
    }),
    cautions: cautionsOf(graph, nodes, reachable, world),
    licences: turnedAway(graph, world).flatMap(({ from, edge, licence }) => {
      const node = graph.nodes[from];
      const away = graph.nodes[node?.edges[edge]?.to ?? -1];
      if (!node || !away || !reachable[from]) return [];
      const routine = node.step?.routine?.id;
      return [{ step: node.id, licence, ...(routine ? { routine } : {}), away: away.id }];
    }),
    ends: endsOf(graph, nodes, states, block),
  };
}

function named(graph: Graph, { nodes, fromStart }: Sources): ProofSource[] {
  return [
    ...(fromStart ? (["beginning"] as const) : []),
    ...nodes.map((node) => ({ step: graph.nodes[node]?.id ?? "" })),
  ];
}

function cautionsOf(
  graph: Graph,
  nodes: Graph["nodes"],
  reachable: Uint8Array,
  world: World,
): CompiledProof["cautions"] {
  const notes = givenNotes(graph, world);
  return nodes.flatMap(({ index, id, step }) =>
    (step ? raisedHazards(step, world) : []).flatMap(({ hazard, by, what }) => {
      if (!notes.has(index, hazard)) return [];
      const isHere = notes.here(index, hazard);
      const sources = sourcesOf(graph, index, reachable, (node, edge) => notes.change(node, edge, hazard));
      const at = isHere
        ? (["here"] as const)
        : named(graph, { nodes: sources.nodes, fromStart: sources.fromStart && notes.entry(hazard) });
      return [{ step: id, hazard, because: { kind: by, what }, at }];
    }),
  );
}

function endsOf(
  graph: Graph,
  nodes: Graph["nodes"],
  states: StateFacts,
  block: (text: string) => Html,
): CompiledProof["ends"] {
  const isTree = graph.procedure.kind === "tree";
  return nodes.flatMap(({ index, id, step, edges }): CompiledProof["ends"][number][] => {
    if (!step) return [];
    const reason = (leaves: typeof step.leaves, state: string): { state: string; reason?: string } => {
      const left = leaves.find((one) => one.state.id === state);
      return { state, ...(left ? { reason: block(left.reason) } : {}) };
    };
    const ends: CompiledProof["ends"][number][] = [];
    if (step.kind === "stop")
      ends.push({
        end: id,
        left: statesIn(states.mayBefore(index), states).map((state) => reason(step.leaves, state)),
      });
    const before = states.mayBefore(index);
    for (const [i, { to }] of edges.entries()) {
      const change = states.change(index, i)?.may;
      if (!isTree || !change || graph.nodes[to]?.step !== undefined || !before) continue;
      const left = statesIn(applied(change, before), states);
      const found = step.of === undefined ? undefined : graph.procedure.steps.get(step.of);
      ends.push({
        end: "done",
        ...(found ? { of: found.id } : {}),
        left: left.map((state) => reason(found?.leaves ?? [], state)),
      });
    }
    if (isTree && before)
      for (const inner of states.innerStops(index)) {
        const left = statesIn(applied(inner.change.may, before), states);
        ends.push({
          end: inner.step.id,
          of: id,
          routine: inner.routine.id,
          left: left.map((state) => reason(inner.step.leaves, state)),
        });
      }
    return ends;
  });
}
