/**
 * Plain data to typed files, by the published schemas.
 *
 * Every complaint about shape is made here. A file that breaks its schema goes no further, but the ids it declares are
 * still known to the other files (see `declared`), so that one slip doesn't cause a flood elsewhere.
 */
import type { Finding, Outcome } from "../model/complaint.ts";
import type { FileKind, ParsedFile, ShapedFile } from "../model/parsed.ts";
import { explain } from "./explain.ts";
import { textFindings } from "./text-safety.ts";
import { quickValidator } from "./validators.ts";

/** The place of a file in the base decides what it is. Paths are relative, with forward slashes. */
export function kindOf(path: string): FileKind {
  if (path === "headwater.yaml") return "manifest";
  if (path.startsWith("catalog/")) return "catalog";
  if (path.startsWith("routines/")) return "routine";
  if (path.startsWith("cases/")) return "case";
  if (path.startsWith("translations/")) return "translation";
  return "tree";
}

export function shapeFile(parsed: ParsedFile): Outcome<ShapedFile | undefined> {
  const kind = kindOf(parsed.path);
  const findings: Finding[] = [];
  const valid = quickValidator(kind)(parsed.data);
  if (!valid) findings.push(...explain(parsed, kind));
  findings.push(...textFindings(parsed));
  if (!valid && findings.length === 0) throw new Error(`${parsed.path}: the schema refuses it without a reason`);
  if (findings.length > 0) return { value: undefined, findings };
  return { value: { ...parsed, kind } as ShapedFile, findings };
}
