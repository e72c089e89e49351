/** The linked base: short forms written out, ids checked, each part with the place it came from. */
import type {
  Catalog,
  Cause,
  Contact,
  Fact,
  Family,
  Formula as FormulaEntry,
  Hazard,
  Licence,
  Manifest,
  Part,
  Routine,
  Source,
  State,
  Symptom,
  Tool,
  Tree,
} from "./format.ts";
import type { Expression } from "./formula.ts";
import type { CaseFile, CatalogFile, ManifestFile, RoutineFile, TranslationFile, TreeFile } from "./parsed.ts";
import type { Place } from "./source.ts";

export type Section = Exclude<keyof Catalog, "format" | "accept">;
type EntryOf<S extends Section> = {
  symptoms: Symptom;
  causes: Cause;
  equipment: Family;
  states: State;
  hazards: Hazard;
  tools: Tool;
  parts: Part;
  contacts: Contact;
  licences: Licence;
  sources: Source;
  formulas: FormulaEntry;
}[S];

export interface Entry<S extends Section = Section> {
  readonly id: string;
  readonly at: Place;
  readonly file: CatalogFile;
  readonly entry: EntryOf<S>;
}

export type Catalogs = { readonly [S in Section]: ReadonlyMap<string, Entry<S>> };

/** Everything that trees refer to. Built once; every tree is linked and analysed against it, independently of others. */
export interface World {
  readonly manifest: { readonly file: ManifestFile; readonly data: Manifest } | undefined;
  readonly catalogs: Catalogs;
  /** Ids that are declared in files which broke their schema: known, but without content. */
  readonly declared: Readonly<Record<Section | "routines", ReadonlySet<string>>>;
  /** Those of the catalog that could be read; their texts are in `catalogs`. */
  readonly formulas: ReadonlyMap<string, Formula>;
  readonly routines: ReadonlyMap<string, Procedure>;
  /** Training cases, by the tree that they are walked through. */
  readonly cases: ReadonlyMap<string, readonly CaseFile[]>;
  /** Further languages that the manifest names, in its order. */
  readonly translations: ReadonlyMap<string, Translation>;
  /** What each entry and routine names, by its own `section/id`. */
  readonly mentions: ReadonlyMap<string, ReadonlySet<string>>;
  /** Paths of the files below `pictures/`. */
  readonly pictures: ReadonlySet<string>;
}

/** One further language. */
export interface Translation {
  readonly language: string;
  /** Where the manifest names it. */
  readonly at: Place;
  /** Trees that are offered in it, with the place where each is named. */
  readonly trees: readonly Ref[];
  /** By the source text, trimmed. Where one has two translations, the first stands here. */
  readonly texts: ReadonlyMap<string, TranslatedText>;
  /** Translations of a text that has another one already. */
  readonly again: readonly TranslatedText[];
}
export interface TranslatedText {
  readonly of: string;
  readonly text: string;
  readonly file: TranslationFile;
  /** Of the source text, and of the translation. */
  readonly keyAt: Place;
  readonly at: Place;
}

/** A name that stands somewhere in a file and is known to exist. */
export interface Ref {
  readonly id: string;
  readonly at: Place;
}

export interface Note {
  readonly hazard: Ref;
  /** The author's own words; else the catalog's precaution stands. */
  readonly note: string | undefined;
}

/** `only-for`: families, or facts of which each must have one of the values. */
export type Condition =
  | { readonly kind: "families"; readonly families: ReadonlySet<string>; readonly at: Place }
  | { readonly kind: "facts"; readonly facts: ReadonlyMap<string, readonly Fact[]>; readonly at: Place };

interface Again {
  readonly to: string;
  readonly atMost: number;
  readonly else: string;
}

/**
 * One way on from a step. `to` is a step id, `done`, or in a routine an outcome; undefined where the author names none.
 * A branch whose target is not known is left out of the step, and the step is marked `incomplete`.
 */
export interface Branch {
  /** Answer, range, outcome or case id; `then` where there is only one way on. */
  readonly id: string;
  readonly at: Place;
  readonly say: string | undefined;
  readonly to: string | undefined;
  /** Set on a bounded repeat; then `to` is the step to go back to. */
  readonly again: Again | undefined;
  readonly onlyFor: Condition | undefined;
  /** Of a `measure`: from included, below not, in the value's unit; infinite where left out. */
  readonly range: { readonly from: number; readonly below: number } | undefined;
  /** Of a `measure` whose range depends on facts: then `range` is known only for a family. */
  readonly ends: Ends | undefined;
  /** Of a `sort`: the value of the fact; undefined on `else`. */
  readonly value: string | undefined;
}

export interface Reading {
  readonly id: string;
  readonly ask: string;
  readonly unit: string;
  readonly between: readonly [number, number];
  readonly typical: readonly [number, number] | undefined;
}

/** The ends of a range as formulas over facts, in SI; undefined where left out. */
export interface Ends {
  readonly from: Expression | undefined;
  readonly below: Expression | undefined;
  /** Of the value: what the ends are turned into. */
  readonly unit: string;
  readonly facts: readonly FactUse[];
}

/** A mention of `equipment.<fact>` in a formula. */
export interface FactUse {
  readonly fact: string;
  readonly at: Place;
}

/** A number that somebody reads off: of this step, or of an earlier one. */
export interface ReadInput {
  readonly unit: string;
  readonly between: readonly [number, number];
  readonly typical: readonly [number, number] | undefined;
  /** The earlier step; undefined for a reading of this one. */
  readonly step: string | undefined;
  /** Where the formula names it first. */
  readonly at: Place;
}

/** What is compared with the ranges. */
export interface Value {
  readonly name: string;
  readonly unit: string;
  /** Where its author wrote the formula, or its readings where there is none. */
  readonly at: Place;
  /** Over `reading`, `step.reading` and `equipment.fact`. */
  readonly expression: Expression;
  /** By its name in the expression; facts are not among them. */
  readonly inputs: ReadonlyMap<string, ReadInput>;
  readonly facts: readonly FactUse[];
  /** The formula as it was written, with the inputs in their places. */
  readonly written: Written;
  /** What is put in for the inputs of a catalog formula. */
  readonly use: { readonly formula: string; readonly given: readonly GivenInput[] } | undefined;
}
export type Written = readonly (string | { readonly input: string })[];
export interface GivenInput {
  readonly input: FormulaInput;
  readonly expression: Expression;
  readonly at: Place;
}

export interface FormulaInput {
  readonly name: string;
  readonly at: Place;
  readonly ask: string;
  readonly unit: string;
  readonly between: readonly [number, number];
  readonly typical: readonly [number, number] | undefined;
}

/** A formula of the catalog, read and its units checked. */
export interface Formula {
  readonly id: string;
  readonly at: Place;
  readonly inputs: ReadonlyMap<string, FormulaInput>;
  /** What its result is called. */
  readonly name: string;
  readonly unit: string;
  /** Over the inputs' names; constants are put in. */
  readonly expression: Expression;
  readonly written: Written;
  readonly examples: readonly FormulaExample[];
}
export interface FormulaExample {
  /** Of what it says comes out, and of what goes in. */
  readonly at: Place;
  readonly givenAt: Place;
  /** By the input's name, in the input's unit. */
  readonly given: ReadonlyMap<string, number>;
  /** What the source says comes out, and by how much the computed value may differ; in the result's unit. */
  readonly gives: number;
  readonly within: number;
}

type StepKind = "look" | "measure" | "do" | "sort" | "use" | "found" | "stop";

/** What a tree says of one of its causes. */
export interface CauseRow {
  readonly id: string;
  readonly at: Place;
  /** Relative to the other causes of the tree. */
  readonly likelihood: number;
  /** Where the likelihood comes from. */
  readonly basis: string | undefined;
  /** By check: the answers, ranges or outcomes it may show there. Only those that are known. */
  readonly shows: ReadonlyMap<string, readonly string[]>;
  readonly onlyFor: Condition | undefined;
}

export interface Step {
  /** Unique in its procedure; those of remedies and proofs are made of the `found` step's id with `--`. */
  readonly id: string;
  readonly kind: StepKind;
  /** The `found` step that this remedy or proof step belongs to. */
  readonly of: string | undefined;
  readonly isProof: boolean;
  readonly at: Place;
  /** The words behind the kind: question, work, cause's id and so on. */
  readonly title: string;
  readonly titleAt: Place;
  readonly how: string | undefined;
  readonly why: string | undefined;
  readonly minutes: number | undefined;
  readonly tools: readonly Ref[];
  readonly parts: readonly Ref[];
  readonly needs: readonly Ref[];
  readonly sets: readonly Ref[];
  readonly clears: readonly Ref[];
  readonly hazards: readonly Ref[];
  readonly notes: readonly Note[];
  /** The licence this work is reserved for, and where a reader without it goes instead of doing it. */
  readonly licence: Ref | undefined;
  readonly unlicensed: Branch | undefined;
  readonly onlyFor: Condition | undefined;
  readonly picture: { readonly file: string; readonly alt: string } | undefined;
  /** Of a check: what every cause shows here that does not say otherwise; undefined where nothing is said. */
  readonly normally: readonly string[] | undefined;
  readonly branches: readonly Branch[];
  /** True when a branch had to be left out because its target is not known. */
  readonly incomplete: boolean;
  readonly readings: readonly Reading[];
  readonly value: Value | undefined;
  /** Of a `sort`. */
  readonly fact: string | undefined;
  /** Of a `use`; undefined when the routine is not known or broken. */
  readonly routine: Ref | undefined;
  /** Of a `found`. */
  readonly cause: Ref | undefined;
  readonly say: string | undefined;
  /** Of a `stop`. */
  readonly stopKind: "normal" | "elsewhere" | "hand-over" | undefined;
  readonly call: Ref | undefined;
  /** Of `found` and `stop`. */
  readonly leaves: readonly { readonly state: Ref; readonly reason: string }[];
}

/** A tree or a routine, in one form. */
export interface Procedure {
  readonly kind: "tree" | "routine";
  readonly id: string;
  readonly file: TreeFile | RoutineFile;
  readonly data: Tree | Routine;
  readonly at: Place;
  /** Undefined when the first step is not known. */
  readonly start: string | undefined;
  readonly notes: readonly Note[];
  readonly needs: readonly Ref[];
  readonly steps: ReadonlyMap<string, Step>;
  /** Of a routine: outcome id to its place and words. Empty for a tree. */
  readonly outcomes: ReadonlyMap<string, { readonly at: Place; readonly say: string | undefined }>;
  /** Of a tree, by id; empty for a routine. */
  readonly causes: ReadonlyMap<string, CauseRow>;
  /** Of a tree: why its checks stay in their order. */
  readonly keepOrder: string | undefined;
  /** Families of a tree; for a routine those of every tree that uses it are asked for one by one. */
  readonly serves: readonly Ref[];
  /** True when some step is incomplete: then nothing may be said about what can't be reached. */
  readonly incomplete: boolean;
  /** Every catalog entry and routine named here, as `section/id`. */
  readonly mentions: ReadonlySet<string>;
}
