/**
 * Reachability, components, cycles and dominators against a general-purpose graph library, against an obvious way of
 * doing the same, and against worked examples from the literature.
 */
import { alg, Graph } from "@dagrejs/graphlib";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import {
  components,
  immediateDominators,
  reachableFrom,
  type Successors,
  shortestCycle,
} from "../../compiler/5-analyse/facts/reach.ts";

type Edges = readonly (readonly [number, number])[];

function successorsOf(size: number, edges: Edges): number[][] {
  const successors: number[][] = Array.from({ length: size }, () => []);
  for (const [from, to] of edges) successors[from]?.push(to);
  return successors;
}
function libraryGraph(successors: Successors): Graph {
  const graph = new Graph({ directed: true });
  successors.forEach((_, node) => void graph.setNode(String(node)));
  successors.forEach((out, node) => {
    for (const next of out) if (next >= 0) graph.setEdge(String(node), String(next));
  });
  return graph;
}
const canonical = (sets: readonly (readonly (number | string)[])[]): number[][] =>
  sets.map((set) => set.map(Number).sort((a, b) => a - b)).sort((a, b) => (a[0] ?? 0) - (b[0] ?? 0));

/** Up to 14 nodes, from lone ones to nearly complete; edges twice, edges to oneself and edges to nowhere (-1) among them. */
const graphs = fc.integer({ min: 1, max: 14 }).chain((size) =>
  fc
    .array(fc.tuple(fc.nat(size - 1), fc.integer({ min: -1, max: size - 1 })), { maxLength: size * 3 })
    .map((edges) => ({
      size,
      successors: successorsOf(size, edges),
    })),
);
const many = { numRuns: 3000 };

/** Plainly: who can be reached when some node is not there. */
function reachedWithout(successors: Successors, root: number, missing: number): boolean[] {
  const seen = successors.map(() => false);
  const visit = (node: number): void => {
    if (node < 0 || node === missing || seen[node]) return;
    seen[node] = true;
    for (const next of successors[node] ?? []) visit(next);
  };
  visit(root);
  return seen;
}

describe("against the library, on random graphs", () => {
  test("reachability", () => {
    fc.assert(
      fc.property(graphs, ({ size, successors }) => {
        const graph = libraryGraph(successors);
        for (let root = 0; root < size; root++) {
          const ours = [...reachableFrom(successors, root)].flatMap((is, node) => (is ? [node] : []));
          expect(ours).toEqual(canonical([alg.postorder(graph, [String(root)])])[0]);
        }
      }),
      { numRuns: 1000 },
    );
  });
  test("nothing is reached from nowhere", () => {
    expect([...reachableFrom([[1], []], -1)]).toEqual([0, 0]);
  });

  test("strongly connected components, in reverse topological order", () => {
    fc.assert(
      fc.property(graphs, ({ successors }) => {
        const ours = components(successors);
        expect(canonical(ours)).toEqual(canonical(alg.tarjan(libraryGraph(successors))));
        const place = new Map(ours.flatMap((members, i) => members.map((member) => [member, i] as const)));
        successors.forEach((out, node) => {
          for (const next of out) if (next >= 0) expect(place.get(next)).toBeLessThanOrEqual(place.get(node) ?? -1);
        });
      }),
      many,
    );
  });

  test("a graph has a cycle exactly if some component has one", () => {
    fc.assert(
      fc.property(graphs, ({ successors }) => {
        const ours = components(successors).some(
          (members) => members.length > 1 || successors[members[0] ?? -1]?.includes(members[0] ?? -1),
        );
        expect(ours).toBe(!alg.isAcyclic(libraryGraph(successors)));
      }),
      many,
    );
  });

  test("a shortest cycle is a cycle, and as short as the distances say", () => {
    fc.assert(
      fc.property(graphs, ({ size, successors }) => {
        const distances = alg.floydWarshall(libraryGraph(successors));
        for (let node = 0; node < size; node++) {
          const cycle = shortestCycle(successors, node);
          const back = (successors[node] ?? [])
            .filter((next) => next >= 0)
            .map((next) => 1 + (next === node ? 0 : (distances[next]?.[node]?.distance ?? Number.POSITIVE_INFINITY)));
          const least = Math.min(...back, Number.POSITIVE_INFINITY);
          expect(cycle === undefined ? Number.POSITIVE_INFINITY : cycle.length - 1).toBe(least);
          if (!cycle) continue;
          expect([cycle[0], cycle.at(-1)]).toEqual([node, node]);
          for (const [i, to] of cycle.slice(1).entries()) expect(successors[cycle[i] ?? -1]).toContain(to);
          expect(new Set(cycle.slice(1)).size).toBe(cycle.length - 1);
        }
      }),
      { numRuns: 1500 },
    );
  });

  test("dominators: without the dominator, the node can't be reached", () => {
    fc.assert(
      fc.property(graphs, ({ size, successors }) => {
        const root = 0;
        const idom = immediateDominators(successors, root);
        const reached = reachedWithout(successors, root, -1);
        const dominators = Array.from({ length: size }, (_, node) =>
          Array.from({ length: size }, (_, other) => other).filter(
            (other) => other !== node && reached[node] && !reachedWithout(successors, root, other)[node],
          ),
        );
        for (let node = 0; node < size; node++) {
          const chain: number[] = [];
          for (let at = idom[node] ?? -1; at >= 0; at = idom[at] ?? -1) chain.push(at);
          expect([...chain].sort((a, b) => a - b)).toEqual(dominators[node]);
          // The immediate one is dominated by all the others.
          for (const other of dominators[node] ?? [])
            if (other !== chain[0]) expect(dominators[chain[0] ?? -1]).toContain(other);
        }
      }),
      many,
    );
  });

  test("ten thousand nodes in a row don't exhaust the stack", () => {
    const size = 10_000;
    const row = Array.from({ length: size }, (_, node) => (node + 1 < size ? [node + 1] : [0]));
    expect(components(row)).toHaveLength(1);
    expect(immediateDominators(row, 0)[size - 1]).toBe(size - 2);
    expect(shortestCycle(row, 0)).toHaveLength(size + 1);
    expect(reachableFrom(row, 0)[size - 1]).toBe(1);
  });
});

/** `names` in the order of their numbers; edges as `AB`, or `1>2` where names are longer than a letter. */
function drawn(names: readonly string[], edges: string): number[][] {
  const number = new Map(names.map((name, i) => [name, i]));
  return successorsOf(
    names.length,
    edges
      .trim()
      .split(/\s+/)
      .filter(Boolean)
      .map((edge) => {
        const [from = "", to = ""] = edge.includes(">") ? edge.split(">") : [...edge];
        const ends = [number.get(from), number.get(to)] as const;
        if (ends[0] === undefined || ends[1] === undefined) throw new Error(`${edge} is no edge`);
        return [ends[0], ends[1]] as const;
      }),
  );
}
const numbers = (from: number, to: number): string[] =>
  Array.from({ length: to - from + 1 }, (_, i) => String(from + i));
const named = (names: readonly string[], sets: readonly (readonly number[])[]): string[][] =>
  sets.map((set) => [...set].sort((a, b) => a - b).map((node) => names[node] ?? ""));
const dominated = (names: readonly string[], successors: Successors, root: number): Record<string, string> =>
  Object.fromEntries([...immediateDominators(successors, root)].map((dom, node) => [names[node], names[dom] ?? "-"]));

describe("worked examples", () => {
  // R. Tarjan, Depth-first search and linear graph algorithms, SIAM J. Comput. 1 (2), 1972; CV-301, CV-302.
  test("Tarjan's components, and their order", () => {
    const names = numbers(1, 8);
    const successors = drawn(names, "1>2 2>3 2>8 3>4 3>7 4>5 5>3 5>6 7>4 7>6 8>1 8>7");
    expect(named(names, components(successors))).toEqual([["6"], ["3", "4", "5", "7"], ["1", "2", "8"]]);
    expect(canonical(alg.tarjan(libraryGraph(successors)))).toEqual(canonical(components(successors)));
  });
  // Test set of the NetworkX library for the same algorithm; CV-303.
  test.each([
    [4, "1>2 1>3 1>4 4>2 3>4 2>3", [["2", "3", "4"], ["1"]]],
    [3, "1>2 2>3 3>2 2>1", [["1", "2", "3"]]],
    [0, "", []],
  ])("components of %i nodes: %s", (size, edges, expected) => {
    const names = numbers(1, size);
    expect(named(names, components(drawn(names, edges)))).toEqual(expected);
  });
  // D. Eppstein's graph in the test set of the NetworkX library; CV-304.
  test("a graph without a cycle falls into single nodes, though it is no tree", () => {
    const names = numbers(0, 6);
    const successors = drawn(names, "0>1 1>2 1>3 2>4 2>5 3>4 3>5 4>6");
    expect(components(successors)).toHaveLength(7);
    for (let node = 0; node < 7; node++) expect(shortestCycle(successors, node)).toBeUndefined();
    const parents = [4, 5].map((node) => successors.filter((out) => out.includes(node)).length);
    expect(parents).toEqual([2, 2]);
  });
  // T. Lengauer, R. Tarjan, A fast algorithm for finding dominators in a flowgraph, TOPLAS 1 (1), 1979, figure 1; CV-305.
  const lengauerTarjan = {
    names: [..."RABCDEFGHIJKL"],
    edges: "RA RB RC AD BA BD BE CF CG DL EH FI GI GJ HE HK IK JI KR KI LH",
  };
  test("Lengauer and Tarjan's dominators", () => {
    const { names, edges } = lengauerTarjan;
    expect(dominated(names, drawn(names, edges), 0)).toEqual({
      R: "-",
      ...{ A: "R", B: "R", C: "R", D: "R", E: "R", F: "C", G: "C", H: "R", I: "R", J: "G", K: "R", L: "D" },
    });
  });
  // The edge from K back to R closes the whole of it; CV-306.
  test("Lengauer and Tarjan's graph is one component", () => {
    const { names, edges } = lengauerTarjan;
    expect(components(drawn(names, edges)).map((members) => members.length)).toEqual([13]);
  });
  // A. Appel, Modern compiler implementation, figure 19.4; CV-307.
  test("Appel's dominators", () => {
    const names = numbers(0, 6);
    expect(dominated(names, drawn(names, "0>1 1>2 1>3 2>4 2>5 4>6 5>6 6>1"), 0)).toEqual(
      Object.fromEntries(["-", "0", "1", "1", "2", "2", "2"].map((dom, node) => [String(node), dom])),
    );
  });
  // R. Cytron and others, Efficiently computing static single assignment form, TOPLAS 13 (4), 1991, figure 9; CV-308.
  test("Cytron's dominators", () => {
    const names = numbers(0, 13);
    const edges = "0>1 0>13 1>2 2>3 2>7 3>4 3>5 4>6 5>6 6>8 7>8 8>9 9>10 9>11 10>11 11>9 11>12 12>2 12>13";
    expect(dominated(names, drawn(names, edges), 0)).toEqual(
      Object.fromEntries(
        ["-", "0", "1", "2", "3", "3", "3", "2", "2", "8", "9", "9", "11", "0"].map((dom, node) => [String(node), dom]),
      ),
    );
  });
  // S. Muchnick, Advanced compiler design and implementation, figure 8.18; CV-309.
  test("a parent that can't be reached does not count", () => {
    const names = numbers(0, 7);
    const successors = drawn(names, "0>1 0>2 1>6 2>3 2>4 3>7 5>7 6>7");
    const idom = dominated(names, successors, 0);
    expect([idom["5"], idom["7"]]).toEqual(["-", "0"]);
    expect(reachableFrom(successors, 0)[5]).toBe(0);
  });
});
