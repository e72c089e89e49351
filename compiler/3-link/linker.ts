/** What every part of linking shares: places in one file, and looking names up with a complaint for those not known. */
import type { Condition, Ref, Section, World } from "../model/base.ts";
import type { Finding } from "../model/complaint.ts";
import type { OnlyFor } from "../model/format.ts";
import type { ParsedFile } from "../model/parsed.ts";
import type { Place } from "../model/source.ts";
import { nearest } from "../words/nearest.ts";

const oneOf: Readonly<Record<Section | "routines", string>> = {
  symptoms: "symptom",
  causes: "cause",
  equipment: "equipment family",
  states: "state",
  hazards: "hazard",
  tools: "tool",
  parts: "part",
  contacts: "contact",
  licences: "licence",
  sources: "source",
  formulas: "formula",
  routines: "routine",
};

/** Names as the catalogs know them; a routine is looked up like an entry. */
export type Names = Pick<World, "catalogs" | "declared" | "formulas"> & { readonly routineIds: ReadonlySet<string> };

/** An `only-for` as data; whether its families are known is not asked. */
export function conditionOf(data: OnlyFor, at: Place): Condition {
  if (Array.isArray(data)) return { kind: "families", families: new Set(data), at };
  return {
    kind: "facts",
    facts: new Map(Object.entries(data).map(([fact, value]) => [fact, Array.isArray(value) ? value : [value]])),
    at,
  };
}

export class Linker {
  readonly findings: Finding[] = [];
  readonly mentions = new Set<string>();
  readonly names: Names;
  readonly #file: ParsedFile;

  constructor(file: ParsedFile, names: Names) {
    this.#file = file;
    this.names = names;
  }

  keyAt(map: object, key: string): Place {
    const span = this.#file.positions.key(map, key) ?? { start: 0, end: 0 };
    return { file: this.#file.path, start: span.start, end: span.end };
  }
  valueAt(container: object, key: string | number): Place {
    const span = this.#file.positions.value(container, key) ?? { start: 0, end: 0 };
    return { file: this.#file.path, start: span.start, end: span.end };
  }

  /**
   * A part of a text, by offsets in it. A text inside a block scalar, or one with escapes, has no places of its own; then
   * the whole is pointed at.
   */
  partOf(whole: Place, text: string, part: { readonly start: number; readonly end: number }): Place {
    const raw = this.#file.text.slice(whole.start, whole.end);
    const quote = raw === text ? 0 : raw.slice(1, -1) === text ? 1 : undefined;
    if (quote === undefined) return whole;
    const start = whole.start + quote;
    return { file: whole.file, start: start + part.start, end: start + part.end };
  }

  /** Families that are not known are complained of and left out. */
  condition(map: object, key: string, data: OnlyFor): Condition {
    const known = Array.isArray(data) ? this.refs("equipment", data).map(({ id }) => id) : data;
    return conditionOf(known, this.keyAt(map, key));
  }

  complain(finding: Finding): void {
    this.findings.push(finding);
  }

  /** The name if it is known; else a complaint with the nearest one, and undefined. */
  ref(section: Section | "routines", id: string, at: Place): Ref | undefined {
    const { catalogs, declared, routineIds } = this.names;
    const known = section === "routines" ? routineIds : catalogs[section];
    if (known.has(id) || declared[section].has(id)) {
      this.mentions.add(`${section}/${id}`);
      return { id, at };
    }
    const near = nearest(id, [...known.keys(), ...declared[section]]);
    if (near) this.mentions.add(`${section}/${near}`);
    this.complain({
      rule: "unknown-reference",
      at,
      message: `there is no ${oneOf[section]} \`${id}\``,
      hint: near
        ? `\`${near}\` may be meant`
        : section === "routines"
          ? `write it as routines/${id}.yaml, or use one that exists`
          : `add it under \`${section}:\` in a catalog file, or use one that exists`,
      about: id,
    });
    return undefined;
  }

  /** Those of the list that are known. */
  refs(section: Section | "routines", ids: readonly string[] | undefined): Ref[] {
    if (!ids) return none;
    const refs: Ref[] = [];
    ids.forEach((id, index) => {
      const ref = this.ref(section, id, this.valueAt(ids, index));
      if (ref) refs.push(ref);
    });
    return refs;
  }
}

/** Shared, since most steps have no tools, parts, needs and so on. Never written to. */
const none: Ref[] = [];
