/**
 * Headwater's compiler as a library: the front door for the command, the site and the tests. Pure: no clock, no files,
 * no network; runs in Node and in the browser.
 *
 * ```ts
 * const input = { files: [{ path: "headwater.yaml", text }, ...], pictures: [] };
 * const result = check(input, { today: "2026-10-02" });
 * console.log(renderTerminal(result, new Sources(textsOf(input)), { color: false, prefix: "" }));
 * ```
 */

export { boardOf } from "./5-analyse/board.ts";
export { coverageOf } from "./5-analyse/coverage.ts";
export type { Group, Rule } from "./5-analyse/rule.ts";
export { type Edition, emit } from "./6-emit/emit.ts";
export { rules } from "./checks/registry.ts";
export {
  type Acceptance,
  Compiler,
  check,
  type Input,
  type Options,
  type Result,
  type TreeSummary,
  textsOf,
} from "./compile.ts";
export type * from "./model/board.ts";
export type * from "./model/compiled.ts";
export type { Complaint, Finding, Severity, WayStep } from "./model/complaint.ts";
export type * from "./model/coverage.ts";
export type { RuleName } from "./model/rule-names.ts";
export type { Place, SourceFile, Span } from "./model/source.ts";
export { type JsonComplaint, type JsonReport, jsonComplaint, reportOf } from "./report/json.ts";
export { LineIndex, Sources } from "./report/lines.ts";
export { renderComplaint, renderTerminal, type TerminalOptions } from "./report/terminal.ts";
