/**
 * Reachability, components, dominators over plain adjacency lists: `successors[node]` holds the nodes it leads to.
 * Nodes are 0 to n - 1; edges to -1 are skipped. No recursion, so a tree of any length is safe.
 */
export type Successors = readonly (readonly number[])[];

/** 1 for every node that can be reached from `from` (itself included). */
export function reachableFrom(successors: Successors, from: number): Uint8Array {
  const seen = new Uint8Array(successors.length);
  if (from < 0) return seen;
  const stack = [from];
  seen[from] = 1;
  for (let node = stack.pop(); node !== undefined; node = stack.pop())
    for (const next of successors[node] ?? [])
      if (next >= 0 && !seen[next]) {
        seen[next] = 1;
        stack.push(next);
      }
  return seen;
}

/**
 * Strongly connected components (Tarjan 1972), in reverse topological order: every component comes behind all those
 * that it leads to. Every node is in exactly one.
 */
export function components(successors: Successors): number[][] {
  const n = successors.length;
  const order = new Int32Array(n).fill(-1);
  const low = new Int32Array(n);
  const onStack = new Uint8Array(n);
  const position = new Int32Array(n);
  const path: number[] = [];
  const stack: number[] = [];
  const found: number[][] = [];
  let counter = 0;
  for (let root = 0; root < n; root++) {
    if (order[root] !== -1) continue;
    path.push(root);
    while (path.length > 0) {
      const node = path[path.length - 1] as number;
      if (order[node] === -1) {
        order[node] = low[node] = counter++;
        stack.push(node);
        onStack[node] = 1;
      }
      const out = successors[node] as readonly number[];
      let next = -1;
      while ((position[node] as number) < out.length) {
        const candidate = out[position[node] as number] as number;
        position[node] = (position[node] as number) + 1;
        if (candidate < 0) continue;
        if (order[candidate] === -1) {
          next = candidate;
          break;
        }
        if (onStack[candidate]) low[node] = Math.min(low[node] as number, order[candidate] as number);
      }
      if (next >= 0) {
        path.push(next);
        continue;
      }
      path.pop();
      const parent = path[path.length - 1];
      if (parent !== undefined) low[parent] = Math.min(low[parent] as number, low[node] as number);
      if (low[node] !== order[node]) continue;
      const component: number[] = [];
      for (;;) {
        const member = stack.pop() as number;
        onStack[member] = 0;
        component.push(member);
        if (member === node) break;
      }
      found.push(component);
    }
  }
  return found;
}

/**
 * A shortest cycle through `node`, as nodes from it back to it (first equals last); undefined if there is none.
 */
export function shortestCycle(successors: Successors, node: number): number[] | undefined {
  const from = new Int32Array(successors.length).fill(-1);
  const queue = [node];
  for (const at of queue)
    for (const next of successors[at] ?? []) {
      if (next < 0) continue;
      if (next === node) {
        const cycle = [node];
        for (let back = at; back !== node; back = from[back] as number) cycle.push(back);
        cycle.push(node);
        return cycle.reverse();
      }
      if (from[next] === -1) {
        from[next] = at;
        queue.push(next);
      }
    }
  return undefined;
}

/**
 * Immediate dominators (Cooper, Harvey and Kennedy 2001): the last node that every way from `root` to a node passes.
 * -1 for the root and for nodes that can't be reached; predecessors that can't be reached don't count.
 */
export function immediateDominators(successors: Successors, root: number): Int32Array {
  const n = successors.length;
  const idom = new Int32Array(n).fill(-1);
  if (root < 0) return idom;
  const postOrder = new Int32Array(n).fill(-1);
  const order: number[] = [];
  const predecessors: number[][] = Array.from({ length: n }, () => []);
  const seen = new Uint8Array(n);
  const position = new Int32Array(n);
  const path = [root];
  seen[root] = 1;
  while (path.length > 0) {
    const node = path[path.length - 1] as number;
    const out = successors[node] as readonly number[];
    const next = out[position[node] as number];
    if (next === undefined) {
      postOrder[node] = order.length;
      order.push(node);
      path.pop();
      continue;
    }
    position[node] = (position[node] as number) + 1;
    if (next < 0) continue;
    predecessors[next]?.push(node);
    if (!seen[next]) {
      seen[next] = 1;
      path.push(next);
    }
  }
  idom[root] = root;
  const meet = (a: number, b: number): number => {
    let left = a;
    let right = b;
    while (left !== right) {
      while ((postOrder[left] as number) < (postOrder[right] as number)) left = idom[left] as number;
      while ((postOrder[right] as number) < (postOrder[left] as number)) right = idom[right] as number;
    }
    return left;
  };
  for (let changed = true; changed; ) {
    changed = false;
    for (let i = order.length - 1; i >= 0; i--) {
      const node = order[i] as number;
      if (node === root) continue;
      let best = -1;
      for (const predecessor of predecessors[node] ?? [])
        if (idom[predecessor] !== -1) best = best === -1 ? predecessor : meet(predecessor, best);
      if (best !== idom[node]) {
        idom[node] = best;
        changed = true;
      }
    }
  }
  idom[root] = -1;
  return idom;
}
