/**
 * Which hazards a step raises, and by what: its own `hazards`, the states it brings about, its tools and parts, readings
 * that can exceed a hazard's limit, and trigger words in what it says to the reader. A caution's own words don't count:
 * they are the answer to a hazard.
 */
import type { Reading, Step, World } from "../../model/base.ts";
import { convert, sameDimension, unitOf } from "../../model/units.ts";
import { spokenWords } from "../../words/markdown.ts";

export interface Raised {
  readonly hazard: string;
  readonly by: "declared" | "state" | "tool" | "part" | "reading" | "word";
  /** The state, tool, part or word. */
  readonly what: string;
}

const raisedBy = new WeakMap<Step, readonly Raised[]>();

/** At most one entry per hazard, the first reason found. Steps belong to one world, so the answer is kept by step. */
export function raisedHazards(step: Step, world: World): readonly Raised[] {
  let raised = raisedBy.get(step);
  if (!raised) {
    raised = collect(step, world);
    raisedBy.set(step, raised);
  }
  return raised;
}

function collect(step: Step, world: World): readonly Raised[] {
  const found = new Map<string, Raised>();
  const add = (hazard: string, by: Raised["by"], what: string): void => {
    if (!found.has(hazard)) found.set(hazard, { hazard, by, what });
  };
  const { states, tools, parts } = world.catalogs;
  for (const { id } of step.hazards) add(id, "declared", id);
  for (const { id } of step.sets) for (const hazard of states.get(id)?.entry.raises ?? []) add(hazard, "state", id);
  for (const { id } of step.tools) for (const hazard of tools.get(id)?.entry.raises ?? []) add(hazard, "tool", id);
  for (const { id } of step.parts) for (const hazard of parts.get(id)?.entry.raises ?? []) add(hazard, "part", id);
  for (const reading of step.readings)
    for (const hazard of hazardsAbove(reading, world)) add(hazard, "reading", reading.id);
  const triggers = triggersOf(world);
  // The words behind `use`, `sort` and `found` are ids.
  if (step.kind === "look" || step.kind === "measure" || step.kind === "do" || step.kind === "stop")
    triggers.match(step.title, add);
  if (step.how) triggers.match(step.how, add);
  return found.size === 0 ? nothing : [...found.values()];
}
const nothing: readonly Raised[] = [];

/** Hazards that a reading can exceed the limit of: its upper bound lies above, in the same dimension. */
function hazardsAbove({ unit, between }: Reading, world: World): string[] {
  const given = unitOf(unit);
  if (!given) return [];
  return [...world.catalogs.hazards.values()].flatMap(({ id, entry }) => {
    const limit = /^(-?\d+(?:[.,]\d+)?) ?(.+)$/.exec(entry.above ?? "");
    const limitUnit = limit?.[2] === undefined ? undefined : unitOf(limit[2]);
    if (!limit || !limitUnit || !sameDimension(given.dimension, limitUnit.dimension)) return [];
    return between[1] > convert(Number(limit[1]?.replace(",", ".")), limitUnit, given) ? [id] : [];
  });
}

/** Stands for the star of a trigger word: a private-use character, which no text holds. */
const OPEN = "\ue000";

class Triggers {
  /** By the first word: the words that must follow it, and the hazard. `*` ends a word that may go on. */
  readonly #exact = new Map<
    string,
    { readonly rest: readonly string[]; readonly hazard: string; readonly phrase: string }[]
  >();
  readonly #beginnings: {
    readonly beginning: string;
    readonly rest: readonly string[];
    readonly hazard: string;
    readonly phrase: string;
  }[] = [];
  readonly #kept = new Map<string, readonly { hazard: string; word: string }[]>();

  constructor(world: World) {
    for (const [hazard, { entry }] of world.catalogs.hazards)
      for (const phrase of entry.words ?? []) {
        const [first = "", ...rest] = wordsOf(phrase.replaceAll("*", OPEN));
        if (first.endsWith(OPEN)) this.#beginnings.push({ beginning: first.slice(0, -1), rest, hazard, phrase });
        else {
          const entries = this.#exact.get(first);
          const trigger = { rest, hazard, phrase };
          if (entries) entries.push(trigger);
          else this.#exact.set(first, [trigger]);
        }
      }
  }

  match(text: string, add: (hazard: string, by: "word", what: string) => void): void {
    if (this.#exact.size === 0 && this.#beginnings.length === 0) return;
    let hits = this.#kept.get(text);
    if (!hits) {
      hits = this.#find(text);
      if (this.#kept.size < 50_000) this.#kept.set(text, hits);
    }
    for (const { hazard, word } of hits) add(hazard, "word", word);
  }

  #find(text: string): readonly { hazard: string; word: string }[] {
    const hits: { hazard: string; word: string }[] = [];
    const words = wordsOf(spokenWords(text));
    words.forEach((word, i) => {
      for (const { rest, hazard } of this.#exact.get(word) ?? [])
        if (rest.every((next, k) => fits(words[i + 1 + k], next)))
          hits.push({ hazard, word: [word, ...words.slice(i + 1, i + 1 + rest.length)].join(" ") });
      for (const { beginning, rest, hazard } of this.#beginnings)
        if (word.startsWith(beginning) && rest.every((next, k) => fits(words[i + 1 + k], next)))
          hits.push({ hazard, word: [word, ...words.slice(i + 1, i + 1 + rest.length)].join(" ") });
    });
    return hits.length === 0 ? none : hits;
  }
}
const none: readonly { hazard: string; word: string }[] = [];

function wordsOf(text: string): string[] {
  return text.toLowerCase().match(/[\p{L}\p{N}\p{Co}]+/gu) ?? [];
}
function fits(word: string | undefined, wanted: string): boolean {
  if (word === undefined) return false;
  return wanted.endsWith(OPEN) ? word.startsWith(wanted.slice(0, -1)) : word === wanted;
}

const triggersByWorld = new WeakMap<World, Triggers>();
function triggersOf(world: World): Triggers {
  let triggers = triggersByWorld.get(world);
  if (!triggers) {
    triggers = new Triggers(world);
    triggersByWorld.set(world, triggers);
  }
  return triggers;
}
