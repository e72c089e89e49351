/** Complaints as data: offsets as they are, and the place in lines and columns for tools that want those. */
import type { Result } from "../compile.ts";
import type { Complaint } from "../model/complaint.ts";
import type { Place } from "../model/source.ts";
import { excerptOf } from "./excerpt.ts";
import type { Sources } from "./lines.ts";

interface JsonPlace {
  readonly file: string;
  /** From 1. */
  readonly line: number;
  /** From 1, in UTF-16 code units. */
  readonly column: number;
  /** Half-open offsets in UTF-16 code units. */
  readonly start: number;
  readonly end: number;
}

export interface JsonComplaint {
  readonly rule: string;
  readonly severity: string;
  readonly message: string;
  readonly why: string;
  readonly meaning?: string;
  readonly hint?: string;
  readonly at: JsonPlace;
  readonly excerpt: string;
  readonly families: readonly string[];
  readonly allFamilies: boolean;
  readonly way: readonly {
    readonly step: string;
    readonly answer?: string;
    readonly at: JsonPlace;
    readonly states?: readonly string[];
  }[];
  readonly related: readonly { readonly text: string; readonly at: JsonPlace }[];
}

export interface JsonReport {
  readonly format: 1;
  readonly counts: Result["counts"] & { readonly errors: number; readonly warnings: number; readonly advice: number };
  readonly complaints: readonly JsonComplaint[];
  readonly accepted: readonly (JsonComplaint & { readonly because: string })[];
}

export function reportOf(result: Result, sources: Sources): JsonReport {
  const of = (severity: string): number => result.complaints.filter((c) => c.severity === severity).length;
  return {
    format: 1,
    counts: { ...result.counts, errors: of("error"), warnings: of("warning"), advice: of("advice") },
    complaints: result.complaints.map((complaint) => jsonComplaint(complaint, sources)),
    accepted: result.accepted.map(({ complaint, because }) => ({ ...jsonComplaint(complaint, sources), because })),
  };
}

export function jsonComplaint(complaint: Complaint, sources: Sources): JsonComplaint {
  const place = (at: Place): JsonPlace => ({
    file: at.file,
    ...sources.lines(at.file).position(at.start),
    start: at.start,
    end: at.end,
  });
  const { rule, severity, message, why, meaning, hint } = complaint;
  return {
    rule,
    severity,
    message,
    why,
    ...(meaning ? { meaning } : {}),
    ...(hint ? { hint } : {}),
    at: place(complaint.at),
    excerpt: excerptOf(complaint.at, sources).text,
    families: complaint.families ?? [],
    allFamilies: complaint.allFamilies ?? false,
    way: (complaint.way ?? []).map(({ at, ...step }) => ({ ...step, at: place(at) })),
    related: (complaint.related ?? []).map(({ text, at }) => ({ text, at: place(at) })),
  };
}
