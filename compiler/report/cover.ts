/** What the trees cover, as a table for a terminal and as data. */
import type { Board, BoardCell, BoardGroup, BoardTree, Reason, Review } from "../model/board.ts";
import { printable } from "./excerpt.ts";
import { count } from "./words.ts";

/** What the tables name in their order: ids, as in every report on a terminal. */
export interface CoverNames {
  readonly symptoms: readonly string[];
  readonly families: readonly string[];
}

/** The board with the trees' own tables; the shape of `headwater cover --json`. */
export function coverOf(board: Board): { readonly format: 1 } & Board {
  return { format: 1, ...board };
}

const SIGNS = { covered: "+", partly: "~", not: "-" } as const;

/** Ends with a line break. */
export function renderCover(board: Board, names: CoverNames): string {
  const parts = [
    matrix(board, names),
    section("Not covered, or not in whole", board.cells.flatMap(cellLines)),
    section("Trees, with the minutes until the cause is named", board.trees.flatMap(treeLines)),
    section(
      "Causes that no check of their tree tells apart",
      board.trees.flatMap(({ tree, groups }) =>
        byFamilies(groups, ({ alike }) => alike.map(([first, second]) => `${first} and ${second}`)).map(
          (line) => `${tree}: ${line}`,
        ),
      ),
    ),
    section(
      "Causes that the catalog lists and no tree names",
      board.neverConcluded.map(({ symptom, cause }) => `${symptom}: ${cause}`),
    ),
    section(
      "Answers that no cause needs",
      board.trees.flatMap(({ tree, groups }) =>
        byFamilies(groups, ({ withoutCause }) => withoutCause.map(({ step, answer }) => `${answer} at ${step}`)).map(
          (line) => `${tree}: ${line}`,
        ),
      ),
    ),
    section("Reviews overdue or due soon", board.reviews.map(reviewLine)),
    summaryLine(board),
  ];
  return `${parts.filter(Boolean).join("\n\n")}\n`;
}

/** "75.2 % covered: 151 of 201 pairs of symptom and equipment, 3 partly, 47 not; 258 don't apply". */
function summaryLine({ counts, cells, share }: Board): string {
  return `${percent(share)} % covered: ${counts.covered} of ${count(cells.length, "pair")} of symptom and equipment, ${counts.partly} partly, ${counts.not} not; ${counts["not-applicable"]} don't apply`;
}

/** Never more than there is: 99.96 is 99.9. */
export function percent(share: number): string {
  const tenths = Math.floor(share * 1000 + 1e-9);
  return String(tenths / 10);
}

function section(title: string, lines: readonly string[]): string {
  return lines.length === 0 ? "" : [`${title}:`, ...lines.map((line) => `  ${line}`)].join("\n");
}

/** Families are numbered, since their names would make the table too wide; those that nothing applies to are left out. */
function matrix({ cells }: Board, { symptoms, families }: CoverNames): string {
  const shown = families.filter((family) => cells.some((cell) => cell.family === family));
  const rows = symptoms.filter((symptom) => cells.some((cell) => cell.symptom === symptom));
  if (rows.length === 0) return "";
  const width = String(shown.length).length;
  const left = Math.max(...rows.map((symptom) => symptom.length));
  const known = new Map(cells.map((cell) => [`${cell.symptom} ${cell.family}`, SIGNS[cell.verdict]]));
  const line = (head: string, row: readonly string[]): string =>
    `  ${head.padEnd(left)}  ${row.map((one) => one.padStart(width)).join(" ")}`.trimEnd();
  return [
    "Coverage (+ covered, ~ partly, - not, blank: doesn't apply):",
    line(
      "",
      shown.map((_, i) => String(i + 1)),
    ),
    ...rows.map((symptom) =>
      line(
        symptom,
        shown.map((family) => known.get(`${symptom} ${family}`) ?? ""),
      ),
    ),
    "",
    ...shown.map((family, i) => `  ${String(i + 1).padStart(width)} ${family}`),
  ].join("\n");
}

function cellLines({ symptom, family, verdict, reasons }: BoardCell): string[] {
  return verdict === "covered"
    ? []
    : [`${symptom} on ${family}, ${verdict === "not" ? "not" : "partly"}: ${reasons.map(reasonWords).join("; ")}`];
}

function reasonWords(reason: Reason): string {
  switch (reason.kind) {
    case "no-tree":
      return "no tree";
    case "no-causes":
      return `${reason.tree} says no causes for it`;
    case "never-concluded":
      return `no tree names ${reason.cause}`;
    case "sometimes":
      return `${reason.tree} finds ${reason.cause} on some ways only`;
    case "never":
      return `${reason.tree} never finds ${reason.cause}`;
    default:
      return reason satisfies never;
  }
}

function treeLines({ tree, groups, keepOrder }: BoardTree): string[] {
  const lines = byFamilies(groups, ({ causes, meanMinutes, worstMinutes, order }) => [
    causes.length === 0
      ? "no causes"
      : `${count(causes.length, "cause")}, ${meanMinutes === undefined ? "minutes not known" : `mean ${meanMinutes.toFixed(1)}, worst ${round(worstMinutes ?? 0)} minutes`}${order ? `; the checks alone ${order.now.toFixed(1)}, in the best order ${order.isExact ? "" : "known "}${order.best.toFixed(1)}` : ""}`,
  ]);
  const kept = keepOrder === undefined ? [] : [`  order kept: ${printable(keepOrder.replace(/\s+/g, " ").trim())}`];
  return [tree, ...lines.map((line) => `  ${line}`), ...kept];
}

/** What holds for all families once, else with the families for which it does. */
function byFamilies(groups: readonly BoardGroup[], lines: (group: BoardGroup) => readonly string[]): string[] {
  const joined = new Map<string, string[]>();
  for (const group of groups)
    for (const line of lines(group)) joined.set(line, [...(joined.get(line) ?? []), ...group.families]);
  const all = groups.flatMap(({ families }) => families).length;
  return [...joined].map(([line, families]) => (families.length === all ? line : `${line} [${families.join(", ")}]`));
}

function reviewLine({ kind, id, due, daysLeft }: Review): string {
  const when =
    daysLeft < 0
      ? `${count(-daysLeft, "day")} overdue`
      : daysLeft === 0
        ? "due today"
        : `${count(daysLeft, "day")} left`;
  return `${kind} ${id}: due ${due}, ${when}`;
}

function round(minutes: number): string {
  return String(Number(minutes.toFixed(1)));
}
