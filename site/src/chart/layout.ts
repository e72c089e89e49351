/**
 * Where boxes and lines go: the layered layout of the Eclipse Layout Kernel, which takes from 25 ms for 25 boxes to 100 ms for 45.
 * What it gives for a drawing is kept, by the drawing's shape, for this build and beside Astro's own cache for the next
 * ones: only charts whose shape is new cost that time. What is read back is checked, since anybody may have written it.
 */
import { createHash } from "node:crypto";
import { mkdirSync, readFileSync, renameSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { ELK, ElkNode } from "elkjs/lib/elk-api.js";

export interface Shape {
  readonly boxes: readonly {
    readonly width: number;
    readonly height: number;
    /** Where lines leave below, from the left; where nothing is said, anywhere. */
    readonly exits?: readonly number[];
  }[];
  readonly lines: readonly {
    /** Places in `boxes`. */
    readonly from: number;
    readonly to: number;
    /** Place in the exits of `from`. */
    readonly exit?: number;
    readonly label?: { readonly width: number; readonly height: number };
  }[];
}

export interface Layout {
  readonly width: number;
  readonly height: number;
  /** Left and upper edge of each box. */
  readonly boxes: readonly (readonly [x: number, y: number])[];
  /** Corners of each line from its beginning, x and y in turn, and the left and upper edge of its label. */
  readonly lines: readonly { readonly points: readonly number[]; readonly label?: readonly [x: number, y: number] }[];
}

const OPTIONS = {
  "elk.algorithm": "layered",
  "elk.direction": "DOWN",
  "elk.edgeRouting": "ORTHOGONAL",
  "elk.padding": "[top=12,left=12,bottom=12,right=12]",
  "elk.spacing.nodeNode": "24",
  "elk.spacing.edgeNode": "14",
  "elk.spacing.edgeEdge": "12",
  "elk.layered.spacing.nodeNodeBetweenLayers": "30",
  "elk.layered.spacing.edgeNodeBetweenLayers": "16",
  "elk.layered.cycleBreaking.strategy": "DEPTH_FIRST",
  "elk.layered.considerModelOrder.strategy": "NODES_AND_EDGES",
  // What is answered stands where the line begins, however long it is.
  "elk.layered.edgeLabels.centerLabelPlacementStrategy": "TAIL_LAYER",
  "elk.layered.compaction.postCompaction.strategy": "EDGE_LENGTH",
  "elk.layered.thoroughness": "4",
} as const;

const kept = new Map<string, Layout>();
let kernel: ELK | undefined;

export async function layoutOf(shape: Shape): Promise<Layout> {
  const name = createHash("sha256")
    .update(JSON.stringify([OPTIONS, shape]))
    .digest("hex");
  const known = kept.get(name) ?? stored(name, shape);
  if (known !== undefined) {
    kept.set(name, known);
    return known;
  }
  const layout = await laidOut(shape);
  kept.set(name, layout);
  store(name, layout);
  return layout;
}

async function laidOut({ boxes, lines }: Shape): Promise<Layout> {
  if (kernel === undefined) {
    // Found from the site's own folder at run time, as in `bundle.ts`: it is too large to go through the bundler.
    const Kernel = createRequire(`${__SITE_FOLDER__}build.ts`)("elkjs/lib/elk.bundled.js") as new () => ELK;
    kernel = new Kernel();
  }
  const graph: ElkNode = {
    id: "chart",
    layoutOptions: OPTIONS,
    children: boxes.map(({ width, height, exits }, at) => ({
      id: `b${at}`,
      width,
      height,
      ...(exits && {
        layoutOptions: { "elk.portConstraints": "FIXED_POS" },
        ports: [
          { id: `b${at}in`, x: width / 2, y: 0, layoutOptions: { "elk.port.side": "NORTH" } },
          ...exits.map((x, exit) => ({
            id: `b${at}out${exit}`,
            x,
            y: height,
            layoutOptions: { "elk.port.side": "SOUTH" },
          })),
        ],
      }),
    })),
    edges: lines.map(({ from, to, exit, label }, at) => ({
      id: `l${at}`,
      sources: [exit === undefined ? `b${from}` : `b${from}out${exit}`],
      targets: [boxes[to]?.exits === undefined ? `b${to}` : `b${to}in`],
      ...(label && { labels: [{ text: "-", ...label, layoutOptions: { "elk.edgeLabels.inline": "true" } }] }),
    })),
  };
  const { width = 0, height = 0, children = [], edges = [] } = await kernel.layout(graph);
  return {
    width: Math.ceil(width),
    height: Math.ceil(height),
    boxes: children.map(({ x = 0, y = 0 }) => [Math.round(x), Math.round(y)]),
    lines: edges.map(({ sections = [], labels = [] }) => {
      const points = sections.flatMap(({ startPoint, bendPoints = [], endPoint }) => [
        startPoint,
        ...bendPoints,
        endPoint,
      ]);
      const [label] = labels;
      return {
        points: points.flatMap(({ x, y }) => [Math.round(x), Math.round(y)]),
        ...(label && { label: [Math.round(label.x ?? 0), Math.round(label.y ?? 0)] as const }),
      };
    }),
  };
}

function folder(): string {
  return join(tmpdir(), "headwater-charts");
}

function stored(name: string, shape: Shape): Layout | undefined {
  try {
    const read = JSON.parse(readFileSync(join(folder(), name), "utf8")) as Layout;
    const isWhole =
      [read.width, read.height, ...read.boxes.flat()].every(Number.isFinite) &&
      read.boxes.length === shape.boxes.length &&
      read.boxes.every((box) => box.length === 2) &&
      read.lines.length === shape.lines.length &&
      read.lines.every(
        ({ points, label }, at) =>
          points.length >= 4 &&
          points.every(Number.isFinite) &&
          (label !== undefined) === (shape.lines[at]?.label !== undefined) &&
          (label ?? []).every(Number.isFinite),
      );
    return isWhole ? read : undefined;
  } catch {
    return undefined;
  }
}

/** In one move, since builds may run side by side. Where nothing can be written, the next build takes its time again. */
function store(name: string, layout: Layout): void {
  try {
    mkdirSync(folder(), { recursive: true });
    const fresh = join(folder(), `${name}.${process.pid}`);
    writeFileSync(fresh, JSON.stringify(layout));
    renameSync(fresh, join(folder(), name));
  } catch {}
}
