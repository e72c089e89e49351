/** What several checks ask about one graph, worked out once and only when asked. */
import type { World } from "../../model/base.ts";
import type { Graph } from "../../model/graph.ts";
import { components, immediateDominators, reachableFrom, type Successors } from "./reach.ts";

export class GraphFacts {
  readonly graph: Graph;
  readonly world: World;
  #successors: Successors | undefined;
  #reachable: Uint8Array | undefined;
  #unlimited: Successors | undefined;
  #loops: readonly number[][] | undefined;
  #dominators: Int32Array | undefined;

  constructor(graph: Graph, world: World) {
    this.graph = graph;
    this.world = world;
  }

  /**
   * Edges that some reader can take. The `else` of a repeat is taken only by one who was sent back and came here again,
   * so it is left out where the way back never returns.
   */
  get successors(): Successors {
    this.#successors ??= this.graph.nodes.map((node) => {
      const out: number[] = [];
      for (const edge of node.edges)
        if (edge.to >= 0 && (edge.kind !== "else" || this.#returns(node.index, edge.branch))) out.push(edge.to);
      return out;
    });
    return this.#successors;
  }
  #returns(node: number, branch: object): boolean {
    const back =
      this.graph.nodes[node]?.edges.find((edge) => edge.branch === branch && edge.kind === "again")?.to ?? -1;
    const all = this.graph.nodes.map(({ edges }) => edges.map(({ to }) => to));
    return reachableFrom(all, back)[node] === 1;
  }

  /** 1 for each node that some reader can come to. */
  get reachable(): Uint8Array {
    this.#reachable ??= reachableFrom(this.successors, this.graph.start);
    return this.#reachable;
  }

  /** Without the bounded repeats: what may not hold a cycle. */
  get unlimited(): Successors {
    this.#unlimited ??= this.graph.nodes.map(({ edges }) =>
      edges.filter(({ kind, to }) => to >= 0 && kind !== "again").map(({ to }) => to),
    );
    return this.#unlimited;
  }

  /** Sets of nodes that lead round and round without a limit. */
  get loops(): readonly number[][] {
    this.#loops ??= components(this.unlimited).filter(
      (members) => members.length > 1 || this.unlimited[members[0] as number]?.includes(members[0] as number),
    );
    return this.#loops;
  }

  /** Immediate dominators from the start. */
  get dominators(): Int32Array {
    this.#dominators ??= immediateDominators(this.successors, this.graph.start);
    return this.#dominators;
  }
}
