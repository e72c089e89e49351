/**
 * The phases, in order. Read this first.
 *
 *   parse -> shape -> link -> specialise -> analyse        (emit is asked for by itself, see 6-emit)
 *
 * Everything but the trees is linked into one world. Each tree is then linked and analysed against that world,
 * independently of every other tree: so trees can be spread over workers, and a change of one leaves the results of all
 * others as they were. What needs all trees at once (names taken twice, entries nobody uses, the families a routine is
 * used for) works on short summaries at the end.
 */
import { parseFile } from "./1-parse/parse.ts";
import { drawingFindings } from "./2-shape/drawing-safety.ts";
import { kindOf, shapeFile } from "./2-shape/shape.ts";
import { linkProcedure, outcomesDeclared } from "./3-link/procedure.ts";
import { type BrokenFile, linkWorld } from "./3-link/world.ts";
import { analyseBase, analyseFormulas, analyseProcedure } from "./5-analyse/analyse.ts";
import { type CausePairs, causePairs } from "./5-analyse/facts/cause-pairs.ts";
import { reachedFrom } from "./5-analyse/facts/parts.ts";
import { placeOfShown, shownBy } from "./5-analyse/facts/shown.ts";
import type { PlacedText, Rule } from "./5-analyse/rule.ts";
import { rules as allRules } from "./checks/registry.ts";
import type { Procedure, World } from "./model/base.ts";
import type { Complaint, Finding } from "./model/complaint.ts";
import type { Accept } from "./model/format.ts";
import type { ParsedFile, ShapedFile, TreeFile } from "./model/parsed.ts";
import type { RuleName } from "./model/rule-names.ts";
import type { Place, SourceFile } from "./model/source.ts";
import { nearest } from "./words/nearest.ts";

export interface Options {
  /** The day against which reviews are measured, YYYY-MM-DD: a compiler has no clock. */
  readonly today: string;
  /** Run these checks alone; the phases' own complaints come all the same. For tests and for `explain`. */
  readonly only?: readonly RuleName[];
  /** For one check and no more: trees are dropped as soon as they are summed up, which spares memory and time. */
  readonly once?: boolean;
}

/** A base as the loader found it. */
export interface Input {
  readonly files: readonly SourceFile[];
  /** Paths below the base's `pictures` folder, forward slashes. */
  readonly pictures: readonly string[];
  /** Those of the pictures that are SVG, with their text, by their path in the base. They are looked at for safety. */
  readonly drawings?: readonly SourceFile[];
}

/** Every file that a complaint may point into. */
export function textsOf({ files, drawings = [] }: Input): readonly SourceFile[] {
  return [...files, ...drawings];
}

export interface Acceptance {
  readonly rule: RuleName;
  readonly about: string | undefined;
  readonly because: string;
  readonly at: Place;
}

/** What one tree file comes to; plain data, fit to be sent between threads. */
export interface TreeSummary {
  readonly path: string;
  /** Undefined when the file has no readable shape. */
  readonly tree:
    | {
        readonly id: string;
        readonly at: Place;
        readonly serves: readonly string[];
        readonly graphs: number;
        readonly pairs: CausePairs;
        /** What its pages show, as far as a translation has to do with it. */
        readonly texts: readonly PlacedText[];
      }
    | undefined;
  readonly findings: readonly Finding[];
  readonly mentions: readonly string[];
  readonly accepts: readonly Acceptance[];
}

export interface Result {
  /** By file, place and rule; those accepted are not among them. */
  readonly complaints: readonly Complaint[];
  /** Complaints that the base accepts, with the reason. */
  readonly accepted: readonly { readonly complaint: Complaint; readonly because: string }[];
  readonly counts: {
    readonly files: number;
    readonly trees: number;
    readonly routines: number;
    readonly graphs: number;
  };
  /** True when a complaint stops a build. */
  readonly hasErrors: boolean;
}

interface Read {
  readonly source: SourceFile;
  readonly parsed: ParsedFile | undefined;
  readonly shaped: ShapedFile | undefined;
  readonly findings: readonly Finding[];
}

interface LinkedWorld {
  readonly world: World;
  readonly findings: readonly Finding[];
  /** What it was made of, to know whether it still holds. */
  readonly from: readonly (Read | string)[];
  readonly trees: WeakMap<ShapedFile, { readonly summary: TreeSummary; readonly procedure: Procedure }>;
  readonly routines: Map<string, readonly Finding[]>;
}

/**
 * Checks a base, and checks it again after changes without doing again what has not changed. Holds no clock and does no
 * I/O; the same input gives the same complaints whatever was checked before.
 */
export class Compiler {
  readonly #options: Options;
  readonly #rules: readonly Rule[];
  readonly #reads = new Map<string, Read>();
  #linked: LinkedWorld | undefined;

  constructor(options: Options) {
    this.#options = options;
    this.#rules = options.only ? allRules.filter(({ name }) => options.only?.includes(name)) : allRules;
  }

  check(input: Input): Result {
    return this.finish(input, this.checkTrees(input, input.files));
  }

  /**
   * @param input The whole base, or at least its manifest, catalogs, routines and list of pictures.
   * @param treeFiles The trees to check; files of other kinds among them are passed over.
   */
  checkTrees(input: Input, treeFiles: readonly SourceFile[]): TreeSummary[] {
    const linked = this.#world(input);
    return treeFiles.filter(({ path }) => kindOf(path) === "tree").map((file) => this.#tree(file, linked));
  }

  /** Joins the summaries of all trees with what is to be said of the rest. */
  finish(input: Input, summaries: readonly TreeSummary[]): Result {
    const linked = this.#world(input);
    const rest = input.files.filter(({ path }) => kindOf(path) !== "tree").map((file) => this.#read(file));
    const trees = [...summaries].sort((a, b) => compareText(a.path, b.path));
    const findings = [
      ...rest.flatMap((read) => read.findings),
      ...linked.findings,
      ...trees.flatMap((tree) => tree.findings),
      ...(input.drawings ?? []).flatMap(drawingFindings),
    ];
    if (!input.files.some(({ path }) => path === "headwater.yaml"))
      findings.push({
        rule: "invalid-shape",
        at: { file: "headwater.yaml", start: 0, end: 0 },
        message: "there is no `headwater.yaml` here, so this folder is no knowledge base",
        hint: "give the folder that holds the manifest, or write one",
      });
    const taken = new Map<string, TreeSummary>();
    for (const summary of trees) {
      if (!summary.tree) continue;
      const earlier = taken.get(summary.tree.id);
      if (earlier?.tree)
        findings.push({
          rule: "duplicate-id",
          at: summary.tree.at,
          message: `there are two trees \`${summary.tree.id}\``,
          related: [{ at: earlier.tree.at, text: "the other one" }],
          hint: "give one of them another id",
          about: summary.tree.id,
        });
      else taken.set(summary.tree.id, summary);
    }
    // While some tree can't be read, nobody knows its name.
    if (trees.every(({ tree }) => tree)) findings.push(...namesOfNoTree(linked.world, [...taken.keys()]));
    const { used, familiesOf } = usage(trees, linked);
    const views = trees.flatMap(({ tree, mentions }) => (tree ? { ...tree, mentions } : []));
    // While some tree can't be read, nobody knows what it uses.
    const known = views.length === trees.length ? used : undefined;
    findings.push(...analyseBase({ world: linked.world, used: known, trees: views }, this.#rules));
    for (const routine of linked.world.routines.values())
      findings.push(...this.#routine(routine, familiesOf.get(routine.id), linked));
    const accepts = [...rest.flatMap(acceptsOf), ...trees.flatMap((tree) => tree.accepts)];
    const { complaints, accepted } = settle(findings, accepts, this.#options.only);
    return {
      complaints,
      accepted,
      counts: {
        files: rest.length + trees.length,
        trees: taken.size,
        routines: linked.world.routines.size,
        graphs: trees.reduce((sum, { tree }) => sum + (tree?.graphs ?? 0), 0),
      },
      hasErrors: complaints.some(({ severity }) => severity === "error"),
    };
  }

  /** The linked base, for emitting. Trees that could not be read are not in it. */
  linked(input: Input): { readonly world: World; readonly trees: readonly Procedure[] } {
    const linked = this.#world(input);
    const trees: Procedure[] = [];
    for (const file of input.files) {
      if (kindOf(file.path) !== "tree") continue;
      this.#tree(file, linked);
      const { shaped } = this.#read(file);
      const procedure = shaped && linked.trees.get(shaped)?.procedure;
      if (procedure) trees.push(procedure);
    }
    return { world: linked.world, trees: trees.sort((a, b) => compareText(a.id, b.id)) };
  }

  #read(source: SourceFile): Read {
    const kept = this.#reads.get(source.path);
    if (kept && sameSource(kept.source, source)) return kept;
    const parsed = parseFile(source);
    const shaped = parsed.value && shapeFile(parsed.value);
    const read: Read = {
      source,
      parsed: parsed.value,
      // A file with a doubled key is told of that first: which of the two was meant changes everything else.
      shaped: parsed.findings.length > 0 ? undefined : shaped?.value,
      findings: [...parsed.findings, ...(shaped?.findings ?? [])],
    };
    if (!this.#options.once || kindOf(source.path) !== "tree") this.#reads.set(source.path, read);
    return read;
  }

  #world(input: Input): LinkedWorld {
    const reads = input.files.filter(({ path }) => kindOf(path) !== "tree").map((file) => this.#read(file));
    const from = [...reads, ...[...input.pictures].sort()];
    const kept = this.#linked;
    if (kept && kept.from.length === from.length && kept.from.every((part, i) => part === from[i])) return kept;
    const shaped = reads.flatMap((read) => read.shaped ?? []);
    const broken: BrokenFile[] = reads
      .filter((read) => !read.shaped)
      .map(({ source: { path }, parsed }) => ({ path, kind: kindOf(path), data: parsed?.data }));
    const { value: world, findings: linkFindings } = linkWorld({
      manifest: shaped.find((file) => file.kind === "manifest"),
      catalogs: shaped.filter((file) => file.kind === "catalog"),
      routines: shaped.filter((file) => file.kind === "routine"),
      cases: shaped.filter((file) => file.kind === "case"),
      translations: shaped.filter((file) => file.kind === "translation"),
      broken,
      pictures: new Set(input.pictures),
    });
    const findings = [...linkFindings, ...analyseFormulas(world, this.#rules)];
    this.#linked = { world, findings, from, trees: new WeakMap(), routines: new Map() };
    return this.#linked;
  }

  #tree(source: SourceFile, linked: LinkedWorld): TreeSummary {
    const {
      shaped,
      findings,
      source: { path },
    } = this.#read(source);
    if (!shaped) return { path, tree: undefined, findings, mentions: [], accepts: [] };
    const kept = linked.trees.get(shaped);
    if (kept) return kept.summary;
    const file = shaped as TreeFile;
    const { world } = linked;
    const outcomesOf = (id: string): readonly string[] | undefined => {
      const routine = world.routines.get(id);
      return routine && outcomesDeclared((routine.file as Extract<ShapedFile, { kind: "routine" }>).data);
    };
    const { catalogs, declared, formulas } = world;
    const names = { catalogs, declared, formulas, routineIds: new Set(world.routines.keys()) };
    const {
      value: procedure,
      findings: linkFindings,
      mentions,
    } = linkProcedure(file, names, outcomesOf, world.pictures);
    const serves = procedure.serves.map(({ id }) => id);
    const analysis = analyseProcedure(procedure, serves, world, this.#rules, this.#options.today);
    const summary: TreeSummary = {
      path,
      tree: {
        id: procedure.id,
        at: procedure.at,
        serves,
        graphs: serves.length,
        pairs: causePairs(analysis.graphs, serves.length, world),
        texts: textsToTranslate(procedure, world),
      },
      findings: [...findings, ...linkFindings, ...analysis.findings],
      mentions: [...mentions],
      accepts: acceptsOf({ shaped }),
    };
    if (!this.#options.once) linked.trees.set(shaped, { summary, procedure });
    return summary;
  }

  #routine(routine: Procedure, families: ReadonlySet<string> | undefined, linked: LinkedWorld): readonly Finding[] {
    const { world } = linked;
    // A routine that no tree uses is checked for all families, so that it can be written before its trees.
    const all = [...world.catalogs.equipment.keys()];
    const served = families ? all.filter((id) => families.has(id)) : all;
    const key = `${routine.id} ${served.join(" ")}`;
    let findings = linked.routines.get(key);
    if (!findings) {
      findings = analyseProcedure(routine, served, world, this.#rules, this.#options.today).findings;
      linked.routines.set(key, findings);
    }
    return findings;
  }
}

/** One check from nothing. To check again after changes, keep a `Compiler`. */
export function check(input: Input, options: Options): Result {
  return new Compiler(options).check(input);
}

function sameSource(a: SourceFile, b: SourceFile): boolean {
  if (a === b) return true;
  return "text" in a && "text" in b ? a.text === b.text : false;
}

function acceptsOf({ shaped }: Pick<Read, "shaped">): Acceptance[] {
  const list: Accept = shaped?.data.accept ?? [];
  return list.map((entry, i) => {
    const span = shaped?.positions.value(list, i) ?? { start: 0, end: 0 };
    return { rule: entry.rule, about: entry.about, because: entry.because, at: { file: shaped?.path ?? "", ...span } };
  });
}

/**
 * All texts of a tree that is offered in a further language; of another one those that are translated already, which are
 * not without use.
 */
function textsToTranslate(tree: Procedure, { translations }: World): PlacedText[] {
  if (translations.size === 0) return [];
  const all = [...translations.values()];
  const isOffered = all.some(({ trees }) => trees.some(({ id }) => id === tree.id));
  return shownBy(tree).flatMap((shown) => {
    const { text, about } = shown;
    if (isOffered) return [{ text, about, at: placeOfShown(shown) }];
    return all.some(({ texts }) => texts.has(text)) ? [{ text, about, at: shown.near }] : [];
  });
}

/** Where the manifest and the training cases name a tree that isn't there. */
function namesOfNoTree({ cases, manifest, translations }: World, trees: readonly string[]): Finding[] {
  const finding = (tree: string, at: Finding["at"], hint: string): Finding[] => {
    if (trees.includes(tree)) return [];
    const near = nearest(tree, trees);
    const message = `there is no tree \`${tree}\``;
    return [{ rule: "unknown-reference", at, message, hint: near ? `\`${near}\` may be meant` : hint, about: tree }];
  };
  const named = manifest?.data["unknown-equipment"];
  const place = manifest?.file.positions.value(manifest.data, "unknown-equipment") ?? { start: 0, end: 0 };
  return [
    ...(named ? finding(named, { file: manifest.file.path, ...place }, "name a tree") : []),
    ...[...translations.values()].flatMap(({ trees: offered }) =>
      offered.flatMap(({ id, at }) => finding(id, at, "name a tree")),
    ),
    ...[...cases].flatMap(([tree, files]) =>
      files.flatMap(({ path, data, positions }) =>
        finding(
          tree,
          { file: path, ...(positions.value(data, "tree") ?? { start: 0, end: 0 }) },
          "name the tree that this case is walked through",
        ),
      ),
    ),
  ];
}

/** What the trees need, and for which families each routine is used. */
function usage(
  trees: readonly TreeSummary[],
  { world }: LinkedWorld,
): { readonly used: ReadonlySet<string>; readonly familiesOf: ReadonlyMap<string, ReadonlySet<string>> } {
  const used = new Set<string>();
  const familiesOf = new Map<string, Set<string>>();
  // Every formula has a page with a calculator, whether or not a tree uses it.
  for (const id of world.catalogs.formulas.keys())
    for (const name of reachedFrom(`formulas/${id}`, world)) used.add(name);
  for (const { tree, mentions: own } of trees)
    for (const name of own)
      for (const reached of reachedFrom(name, world)) {
        used.add(reached);
        if (!tree || !reached.startsWith("routines/")) continue;
        const id = reached.slice("routines/".length);
        const families = familiesOf.get(id);
        if (families) for (const family of tree.serves) families.add(family);
        else familiesOf.set(id, new Set(tree.serves));
      }
  return { used, familiesOf };
}

const ruleByName = new Map(allRules.map((rule) => [rule.name, rule]));

function settle(
  findings: readonly Finding[],
  accepts: readonly Acceptance[],
  only: readonly RuleName[] | undefined,
): Pick<Result, "complaints" | "accepted"> {
  const complaints: Complaint[] = [];
  const accepted: { complaint: Complaint; because: string }[] = [];
  const matched = new Set<Acceptance>();
  const complaintOf = (finding: Finding): Complaint => {
    const rule = ruleByName.get(finding.rule);
    if (!rule) throw new Error(`a finding of the unknown rule ${finding.rule}`);
    return { ...finding, severity: rule.severity, why: rule.why };
  };
  const isWaived = (complaint: Complaint): Acceptance | undefined =>
    complaint.severity === "error"
      ? undefined
      : accepts.find(
          ({ rule, about, at }) =>
            rule === complaint.rule &&
            at.file === complaint.at.file &&
            (about === undefined || about === complaint.about),
        );
  for (const finding of findings) {
    const complaint = complaintOf(finding);
    const acceptance = isWaived(complaint);
    if (acceptance) {
      matched.add(acceptance);
      accepted.push({ complaint, because: acceptance.because });
    } else complaints.push(complaint);
  }
  for (const acceptance of accepts) {
    if (matched.has(acceptance) || (only && !only.includes(acceptance.rule))) continue;
    complaints.push(
      complaintOf({
        rule: "unused-entry",
        at: acceptance.at,
        message: `nothing here matches this acceptance of \`${acceptance.rule}\`${acceptance.about ? ` about \`${acceptance.about}\`` : ""}`,
        hint: "delete it: the warning is gone, or speaks of something else",
        about: acceptance.rule,
      }),
    );
  }
  return { complaints: complaints.sort(compareComplaints), accepted };
}

function compareComplaints(a: Complaint, b: Complaint): number {
  return (
    compareText(a.at.file, b.at.file) ||
    a.at.start - b.at.start ||
    compareText(a.rule, b.rule) ||
    compareText(a.message, b.message)
  );
}
function compareText(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}
