/** The chart of a tree as SVG to read, to follow by links and to print; and the same as a list. */
import { words } from "#words/chart";
import { escapeText } from "../render/html.ts";
import { once } from "../render/once.ts";
import type { Sheet } from "../render/step.ts";
import { anchorOf } from "../walk/plan.ts";
import { type Box, type Graph, graphOf, type Line } from "./graph.ts";
import { type Layout, layoutOf, type Shape } from "./layout.ts";
import { sheetsFor } from "./paper-size.ts";
import { BAR, DONE, LEADING, labelOf, type Sized, sizeOf, TEXT } from "./sizes.ts";

const BEGIN = { width: 110, height: 34 } as const;
/** Where lines leave a box that has the end "done" below its left half. */
const EXITS_FROM = 110;

/** Stands in a drawing for the address of the page that holds the steps; no text has it. */
const STEPS = "\0";

/** @param steps Address of the page that holds the steps; empty where it is this page. */
export async function chartHtml(sheet: Sheet, steps: string): Promise<string> {
  return (await drawn(sheet)).join(steps);
}

/** In parts, between which the address of the steps goes. */
const drawn = once(async (sheet: Sheet): Promise<readonly string[]> => {
  const graph = graphOf(sheet);
  const sized = graph.boxes.map(sizeOf);
  const labels = graph.lines.map(labelOf);
  const places = new Map(graph.boxes.map(({ key }, at) => [key, at]));
  const placeOf = (key: string) => places.get(key) ?? 0;
  const exits = graph.boxes.map(({ key }) => graph.lines.filter(({ from }) => from === key));
  const shape: Shape = {
    boxes: [
      ...sized.map(({ box, width, whole }, at) => ({
        width,
        height: whole,
        ...(box.done !== undefined && {
          exits: (exits[at] ?? []).map((_, exit, all) => EXITS_FROM + ((exit + 1) * 70) / (all.length + 1)),
        }),
      })),
      BEGIN,
    ],
    lines: [
      { from: graph.boxes.length, to: placeOf(graph.start) },
      ...graph.lines.map((line, at) => {
        const from = placeOf(line.from);
        const label = labels[at];
        return {
          from,
          to: placeOf(line.to),
          ...(graph.boxes[from]?.done !== undefined && { exit: exits[from]?.indexOf(line) ?? 0 }),
          ...(label && { label: { width: label.width, height: label.height } }),
        };
      }),
    ],
  };
  const layout = await layoutOf(shape);
  const begin = layout.boxes.at(-1) ?? [0, 0];
  const lines = graph.lines.map((line, at) =>
    lineSvg(line, layout, at + 1, sized[placeOf(line.from)], sized[placeOf(line.to)], places, labels[at]?.lines ?? []),
  );
  const first = layout.lines[0]?.points ?? [];
  const startBox = sized[placeOf(graph.start)];
  const entry = startBox === undefined ? first : ontoOutline(first, undefined, startBox, layout, places);
  const svg =
    `<svg id="chart" class="drawing" role="group" aria-label="${words.drawing}" width="${layout.width}" height="${layout.height}" viewBox="0 0 ${layout.width} ${layout.height}" style="--wide:${layout.width}">` +
    `<g class="lines" aria-hidden="true">${pathSvg(entry)}${lines.join("")}</g>` +
    `<g class="end" aria-hidden="true" transform="translate(${begin[0]} ${begin[1]})"><rect class="outline" width="${BEGIN.width}" height="${BEGIN.height}" rx="${BEGIN.height / 2}"/><text x="${BEGIN.width / 2}" y="22">${words.begin}</text></g>` +
    `${sized.map((one, at) => boxSvg(one, layout.boxes[at] ?? [0, 0])).join("")}</svg>`;
  const sheets = sheetsFor(layout.width, layout.height);
  const tiles = sheets.tiles.map(
    ({ x, y, width, height }, at) =>
      `<figure class="tile"><figcaption>${words.tile(at + 1, sheets.tiles.length, Math.floor(at / sheets.across) + 1, (at % sheets.across) + 1)}</figcaption><svg viewBox="${x} ${y} ${width} ${height}" width="${width}" height="${height}" aria-hidden="true"><use href="#chart"/></svg></figure>`,
  );
  const html =
    `<figure class="chart" data-chart data-sheet="${sheets.way}">` +
    `<section class="pan" data-pan tabindex="0" aria-label="${words.pan}">${svg}</section>` +
    `${legendHtml()}</figure>` +
    (tiles.length === 0 ? "" : `<div class="tiles">${tiles.join("")}</div>`);
  return html.split(STEPS);
});

function boxSvg({ box, width, height, lines }: Sized, [x, y]: readonly [number, number]): string {
  const top = height / 2 - (lines.length * LEADING) / 2;
  const text = lines.map(
    (line, at) =>
      `<text${at === 0 ? ' class="head"' : ""} x="${width / 2}" y="${Math.round(top + at * LEADING + TEXT * 0.92)}">${escapeText(line)} </text>`,
  );
  const name =
    box.mend === undefined
      ? words.box(box.number, box.word, box.title)
      : words.boxMend(box.number, box.word, box.title, box.mend);
  return (
    `<a class="box ${box.kind}" href="${STEPS}#${anchorOf(box.key)}" data-box="${box.key}" aria-label="${escapeText(name)}" transform="translate(${x} ${y})">` +
    `${outlineSvg(box, width, height)}${text.join("")}</a>${box.done === undefined ? "" : doneSvg(x, y + height, box.done)}`
  );
}

function outlineSvg(box: Box, width: number, height: number): string {
  const rect = (extra: string) => `<rect class="outline" width="${width}" height="${height}"${extra}/>`;
  switch (box.shape) {
    case "decision":
      return `<path class="outline" d="M${width / 2} 0L${width} ${height / 2}L${width / 2} ${height}L0 ${height / 2}Z"/>`;
    case "process":
      return rect("");
    case "predefined":
      return `${rect("")}<path class="bars" d="M${BAR} 0V${height}M${width - BAR} 0V${height}"/>`;
    case "terminator":
      return rect(` rx="${roundingOf(height)}"`);
    default:
      return box.shape satisfies never;
  }
}

/** The end of a repair that was proven: it stands below its cause, where long lines to one common end would cross all else. */
function doneSvg(x: number, y: number, said: string): string {
  const { width, height, drop } = DONE;
  const middle = 8 + width / 2;
  return (
    `<g class="end" aria-hidden="true" transform="translate(${x} ${y})"><title>${escapeText(said === "" ? words.done : words.saidDone(said))}</title><path class="line" d="M${middle} 0V${drop}"/>` +
    `<path class="tip" d="M${middle - 4} ${drop - 8}L${middle} ${drop}L${middle + 4} ${drop - 8}Z"/>` +
    `<rect class="outline" x="8" y="${drop}" width="${width}" height="${height}" rx="${height / 2}"/><text x="${middle}" y="${drop + 18}">${words.done}</text></g>`
  );
}

function lineSvg(
  line: Line,
  layout: Layout,
  at: number,
  from: Sized | undefined,
  to: Sized | undefined,
  places: ReadonlyMap<string, number>,
  said: readonly string[],
): string {
  const laid = layout.lines[at];
  if (laid === undefined) return "";
  const points = ontoOutline(laid.points, from, to, layout, places);
  const data = ` data-from="${line.from}" data-to="${line.to}" data-branches="${escapeText(line.branches.join("|"))}"`;
  const [x, y] = laid.label ?? [0, 0];
  const label = labelOf(line);
  const text =
    label === undefined
      ? ""
      : `<rect class="ground" x="${x}" y="${y}" width="${label.width}" height="${label.height}"/>${said
          .map(
            (one, row) =>
              `<text x="${x + label.width / 2}" y="${y + 3 + Math.round(row * LEADING + TEXT * 0.92)}">${escapeText(one)}</text>`,
          )
          .join("")}`;
  return `<g class="way"${data}>${pathSvg(points)}${text}</g>`;
}

/** The layout knows boxes as rectangles: lines are drawn on to the symbol that stands in each. */
function ontoOutline(
  points: readonly number[],
  from: Sized | undefined,
  to: Sized | undefined,
  layout: Layout,
  places: ReadonlyMap<string, number>,
): readonly number[] {
  const moved = [...points];
  for (const [one, at] of [
    [from, 0],
    [to, points.length - 2],
  ] as const) {
    if (one === undefined) continue;
    const [left, top] = layout.boxes[places.get(one.box.key) ?? 0] ?? [0, 0];
    const [x = 0, y = 0] = [points[at], points[at + 1]];
    const isBelow = y > top + one.whole / 2;
    const aside = Math.abs(x - left - one.width / 2) / (one.width / 2);
    const inside = insetOf(one, aside);
    moved[at + 1] = isBelow ? top + one.height - inside : top + inside;
  }
  return moved;
}

/** How far the symbol's outline lies below its upper edge, at a distance from its middle: 0, and 1 at its side. */
function insetOf({ box, width, height }: Sized, aside: number): number {
  if (box.shape === "decision") return Math.round((aside * height) / 2);
  if (box.shape !== "terminator") return 0;
  const radius = roundingOf(height);
  const into = radius - ((1 - aside) * width) / 2;
  return into <= 0 ? 0 : Math.round(radius - Math.sqrt(Math.max(0, radius * radius - into * into)));
}

function roundingOf(height: number): number {
  return Math.min(26, height / 2);
}

function pathSvg(points: readonly number[]): string {
  const pairs = points.flatMap((x, at) => (at % 2 === 0 ? [`${x} ${points[at + 1] ?? 0}`] : []));
  const [beforeY = 0, x = 0, y = 0] = [points.at(-3), points.at(-2), points.at(-1)];
  const back = beforeY > y ? 8 : -8;
  return `<path class="line" d="M${pairs.join("L")}"/><path class="tip" d="M${x - 4} ${y + back}L${x} ${y}L${x + 4} ${y + back}Z"/>`;
}

function legendHtml(): string {
  const item = (drawing: string, says: string) =>
    `<li><svg class="drawing" viewBox="-1 -1 42 26" width="42" height="26" aria-hidden="true">${drawing}</svg> ${says}</li>`;
  return (
    `<figcaption><ul class="legend">` +
    item('<path class="outline" d="M20 0L40 12L20 24L0 12Z"/>', words.legend.decision) +
    item('<rect class="outline" width="40" height="24"/>', words.legend.process) +
    item(
      '<rect class="outline" width="40" height="24"/><path class="bars" d="M5 0V24M35 0V24"/>',
      words.legend.predefined,
    ) +
    item('<rect class="outline" width="40" height="24" rx="12"/>', words.legend.terminator) +
    `</ul></figcaption>`
  );
}

/** What the chart says, in the order of the page: each step, and where each answer leads. */
export function outlineHtml(sheet: Sheet, steps: string): string {
  const graph = graphOf(sheet);
  const byKey = new Map(graph.boxes.map((box) => [box.key, box]));
  const rows = graph.boxes.map((box) => {
    const ways = graph.lines
      .filter(({ from }) => from === box.key)
      .map(({ to, say }) => `<li>${wayOn(say, nameHtml(byKey.get(to), steps))}</li>`);
    const done = box.done === undefined ? [] : [`<li>${wayOn(box.done, words.outline.done)}</li>`];
    const mend = box.mend === undefined ? [] : [`<li>${words.mendSteps(box.mend)}</li>`];
    const inner = [...mend, ...done, ...ways].join("");
    return `<li data-outline="${box.key}">${words.outline.said(box.word, nameHtml(box, steps))}${inner === "" ? "" : `<ul>${inner}</ul>`}</li>`;
  });
  const start = byKey.get(graph.start);
  return `<p>${words.outline.begin(nameHtml(start, steps))}</p><ol class="outline-list">${rows.join("")}</ol>`;
}

function wayOn(say: string, to: string): string {
  return say === "" ? words.outline.thenTo(to) : words.outline.said(escapeText(say), to);
}

function nameHtml(box: Graph["boxes"][number] | undefined, steps: string): string {
  return box === undefined
    ? ""
    : `<a href="${steps}#${anchorOf(box.key)}"><b>${box.number}</b> ${escapeText(box.title)}</a>`;
}
