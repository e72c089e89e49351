/** Complaints for a terminal. Colour only where the caller wants it; every meaning is in the words. */
import type { Result } from "../compile.ts";
import type { Complaint, WayStep } from "../model/complaint.ts";
import { excerptOf, printable } from "./excerpt.ts";
import type { Sources } from "./lines.ts";
import { familyWords, stateWords, summaryOf } from "./words.ts";

export interface TerminalOptions {
  readonly color: boolean;
  /** Put before each path, such as the folder that was given on the command line; with a closing slash. */
  readonly prefix: string;
}

type Paint = (text: string) => string;
interface Paints {
  readonly error: Paint;
  readonly warning: Paint;
  readonly advice: Paint;
  readonly quiet: Paint;
  readonly strong: Paint;
}

function paints(color: boolean): Paints {
  const with_ =
    (code: number): Paint =>
    (text) =>
      color ? `\u001b[${code}m${text}\u001b[0m` : text;
  return { error: with_(31), warning: with_(33), advice: with_(36), quiet: with_(2), strong: with_(1) };
}

/** All complaints of a run, then one line that sums up. Ends with a line break. */
export function renderTerminal(result: Result, sources: Sources, options: TerminalOptions): string {
  const parts = result.complaints.map((complaint) => renderComplaint(complaint, sources, options));
  return `${[...parts, summaryOf(result)].join("\n\n")}\n`;
}

export function renderComplaint(complaint: Complaint, sources: Sources, options: TerminalOptions): string {
  const paint = paints(options.color);
  const excerpt = excerptOf(complaint.at, sources);
  const lines = [
    `${paint[complaint.severity](`${complaint.severity}[${complaint.rule}]`)} ${paint.strong(printable(complaint.message))}`,
    `  ${printable(options.prefix + complaint.at.file)}:${excerpt.line}:${excerpt.column}`,
  ];
  lines.push(...drawn(excerpt, paint, paint[complaint.severity]));
  for (const { at, text } of complaint.related ?? []) {
    const other = excerptOf(at, sources);
    lines.push(
      `  ${printable(`${text}: ${options.prefix}${at.file}`)}:${other.line}:${other.column}`,
      ...drawn(other, paint, paint.quiet),
    );
  }
  if (complaint.way && complaint.way.length > 0) lines.push(...wayLines(complaint.way, sources, complaint.at.file));
  const families = familyWords(complaint);
  if (families) lines.push(`  equipment: ${families}`);
  if (complaint.meaning) lines.push(`  meaning: ${printable(complaint.meaning.replace(/\s+/g, " ").trim())}`);
  lines.push(`  why: ${complaint.why}`);
  if (complaint.hint) lines.push(`  hint: ${printable(complaint.hint)}`);
  return lines.join("\n");
}

function drawn(excerpt: ReturnType<typeof excerptOf>, paint: Paints, mark: Paint): string[] {
  if (excerpt.text.trim() === "") return [];
  const number = String(excerpt.line);
  const margin = " ".repeat(number.length);
  return [
    "",
    `  ${paint.quiet(`${number} |`)} ${excerpt.text}`,
    `  ${paint.quiet(`${margin} |`)} ${" ".repeat(excerpt.markAt)}${mark("^".repeat(excerpt.markLength))}`,
    "",
  ];
}

/** One line a step; ids, answers and states each in a column, so that a long way can be followed by eye. */
function wayLines(way: readonly WayStep[], sources: Sources, home: string): string[] {
  const places = way.map(({ at }) => {
    const { line } = sources.lines(at.file).position(at.start);
    return at.file === home ? `(line ${line})` : `(${at.file} line ${line})`;
  });
  const idWidth = Math.max(...way.map(({ step }) => step.length));
  const arrows = way.map(({ answer }, i) => (i === way.length - 1 ? "" : answer ? `  -> ${answer}` : "  ->"));
  const arrowWidth = Math.max(...arrows.map((arrow) => arrow.length));
  const placeWidth = Math.max(...places.map((place) => place.length));
  return way.map(({ step, states }, i) => {
    const label = i === 0 ? "  way: " : "       ";
    const place = places[i] ?? "";
    const now = states ? `${place.padEnd(placeWidth)}  ${stateWords(states)}` : place;
    return `${label}${step.padEnd(idWidth)}${(arrows[i] ?? "").padEnd(arrowWidth)}  ${now}`.trimEnd();
  });
}
