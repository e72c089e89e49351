/** What every part of linking shares: places in one file, and looking names up with a complaint for those not known. */
import type { Condition, Ref, Section, World } from "../model/base.ts";
import type { Finding } from "../model/complaint.ts";
import type { OnlyFor } from "../model/format.ts";
import type { ParsedFile } from "../model/parsed.ts";
import type { Place } from "../model/source.ts";
import { akin, nearest } from "../words/nearest.ts";

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
    const all = new Set([...known.keys(), ...declared[section]]);
    const near = nearest(id, all);
    const like = near ? [near] : this.#like(section, id, all);
    // What is offered may be what was meant, so it isn't called unused as well.
    for (const offered of like) this.mentions.add(`${section}/${offered}`);
    const create =
      section === "routines" ? `write it as routines/${id}.yaml` : `add it under \`${section}:\` in a catalog file`;
    this.complain({
      rule: "unknown-reference",
      at,
      message: `there is no ${oneOf[section]} \`${id}\``,
      hint: near ? `\`${near}\` may be meant` : `${create}${orExisting(like, all)}`,
      about: id,
    });
    return undefined;
  }

  #like(section: Section | "routines", id: string, all: ReadonlySet<string>): string[] {
    const { catalogs } = this.names;
    return akin(
      id,
      new Map(
        [...all].map((known) => {
          const entry = section === "routines" ? undefined : catalogs[section].get(known)?.entry;
          return [known, entry && "title" in entry ? entry.title : ""];
        }),
      ),
    );
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

/** A list that can be taken in at a glance is given whole. */
const FEW = 8;

function orExisting(like: readonly string[], all: ReadonlySet<string>): string {
  if (like.length > 0) return `, or use one that exists, such as ${quoted(like)}`;
  if (all.size === 0) return "";
  return all.size <= FEW
    ? `, or use one that exists: ${quoted([...all])}`
    : `, or use one of the ${all.size} that stand there`;
}

/** For a choice that is not near to any name: what there is to choose from, when it is little. */
export function choiceOf(names: Iterable<string>): string | undefined {
  const all = [...names];
  if (all.length === 0 || all.length > FEW) return undefined;
  return all.length === 1 ? `the only one is ${quoted(all)}` : `those that exist: ${quoted(all)}`;
}

function quoted(names: readonly string[]): string {
  return names.map((name) => `\`${name}\``).join(", ");
}
