/**
 * Manifest, catalogs and routines to the one world that every tree is linked against. It does not depend on any tree,
 * so that a change of one tree leaves everything else as it was.
 */
import type { Catalogs, Entry, Formula, Procedure, Section, World } from "../model/base.ts";
import type { Finding, Outcome } from "../model/complaint.ts";
import type { OnlyFor } from "../model/format.ts";
import type { CaseFile, CatalogFile, FileKind, ManifestFile, RoutineFile, TranslationFile } from "../model/parsed.ts";
import { nearest } from "../words/nearest.ts";
import { linkUnit } from "./amount.ts";
import { linkCatalogFormula } from "./formula/catalog.ts";
import { Linker, type Names } from "./linker.ts";
import { linkProcedure, outcomesDeclared } from "./procedure.ts";
import { linkTranslations } from "./translations.ts";

const sections: readonly Section[] = [
  "symptoms",
  "causes",
  "equipment",
  "states",
  "hazards",
  "tools",
  "parts",
  "contacts",
  "licences",
  "sources",
  "formulas",
];

/** A file that broke its schema or is no YAML at all: what it declares is known all the same. */
export interface BrokenFile {
  readonly path: string;
  readonly kind: FileKind;
  /** Undefined when it could not be parsed. */
  readonly data: unknown;
}

export interface WorldInput {
  readonly manifest: ManifestFile | undefined;
  readonly catalogs: readonly CatalogFile[];
  readonly routines: readonly RoutineFile[];
  readonly cases: readonly CaseFile[];
  readonly translations: readonly TranslationFile[];
  readonly broken: readonly BrokenFile[];
  readonly pictures: ReadonlySet<string>;
}

export function linkWorld(input: WorldInput): Outcome<World> {
  const findings: Finding[] = [];
  const mentions = new Map<string, ReadonlySet<string>>();
  const catalogs = collect(input.catalogs, findings);
  const declared = collectDeclared(input.broken);
  const routineFiles = new Map<string, RoutineFile>();
  for (const file of input.routines) {
    const id = file.data.routine;
    const earlier = routineFiles.get(id);
    if (earlier) findings.push(twice("routine", id, file, "routine", earlier));
    else routineFiles.set(id, file);
  }
  const formulas = new Map<string, Formula>();
  const names: Names = { catalogs, declared, formulas, routineIds: new Set(routineFiles.keys()) };
  linkFormulas(names, formulas, findings, mentions);
  linkEntries(catalogs, input.manifest, names, findings, mentions);

  const outcomesOf = (id: string): readonly string[] | undefined => {
    const file = routineFiles.get(id);
    return file && outcomesDeclared(file.data);
  };
  const routines = new Map<string, Procedure>();
  for (const [id, file] of routineFiles) {
    const linked = linkProcedure(file, names, outcomesOf, input.pictures);
    findings.push(...linked.findings);
    routines.set(id, linked.value);
    mentions.set(`routines/${id}`, linked.mentions);
  }
  findings.push(...selfUsing(routines));
  const manifest = input.manifest && { file: input.manifest, data: input.manifest.data };
  const cases = linkCases(input.cases, names, findings);
  const translations = linkTranslations(input.manifest, input.translations, findings);
  return {
    value: {
      manifest,
      catalogs,
      declared,
      formulas,
      routines,
      cases,
      translations,
      mentions,
      pictures: input.pictures,
    },
    findings,
  };
}

function collect(files: readonly CatalogFile[], findings: Finding[]): Catalogs {
  const maps = Object.fromEntries(sections.map((section) => [section, new Map<string, Entry>()])) as unknown as Record<
    Section,
    Map<string, Entry>
  >;
  for (const file of files)
    for (const section of sections) {
      const entries = file.data[section] as Readonly<Record<string, Entry["entry"]>> | undefined;
      for (const [id, entry] of Object.entries(entries ?? {})) {
        const span = file.positions.key(entries ?? {}, id) ?? { start: 0, end: 0 };
        const at = { file: file.path, ...span };
        const earlier = maps[section].get(id);
        if (earlier)
          findings.push({
            rule: "duplicate-id",
            at,
            message: `\`${id}\` stands twice under \`${section}\``,
            related: [{ at: earlier.at, text: "first here" }],
            hint: "rename one of them, or merge the two entries",
            about: id,
          });
        else maps[section].set(id, { id, at, file, entry });
      }
    }
  return maps as unknown as Catalogs;
}

/** Complains of a procedure whose id an earlier file has taken. */
function twice(
  kind: "tree" | "routine" | "case",
  id: string,
  file: { path: string; data: object; positions: CatalogFile["positions"] },
  key: string,
  earlier: { path: string; data: object; positions: CatalogFile["positions"] },
): Finding {
  const at = (of: typeof file) => ({ file: of.path, ...(of.positions.value(of.data, key) ?? { start: 0, end: 0 }) });
  return {
    rule: "duplicate-id",
    at: at(file),
    message: `there are two ${kind}s \`${id}\``,
    related: [{ at: at(earlier), text: "the other one" }],
    hint: "give one of them another id",
    about: id,
  };
}

function collectDeclared(broken: readonly BrokenFile[]): World["declared"] {
  const declared = Object.fromEntries(
    [...sections, "routines"].map((section) => [section, new Set<string>()]),
  ) as Record<Section | "routines", Set<string>>;
  for (const { path, kind, data } of broken) {
    if (kind === "routine") declared.routines.add(path.replace(/^.*\/|\.ya?ml$/g, ""));
    if (typeof data !== "object" || data === null) continue;
    const map = data as Record<string, unknown>;
    if (kind === "routine" && typeof map.routine === "string") declared.routines.add(map.routine);
    if (kind === "catalog")
      for (const section of sections) {
        const entries = map[section];
        if (typeof entries === "object" && entries !== null)
          for (const id of Object.keys(entries)) declared[section].add(id);
      }
  }
  return declared;
}

function linkFormulas(
  names: Names,
  formulas: Map<string, Formula>,
  findings: Finding[],
  mentions: Map<string, ReadonlySet<string>>,
): void {
  for (const entry of names.catalogs.formulas.values()) {
    const linker = new Linker(entry.file, names);
    const formula = linkCatalogFormula(linker, entry);
    if (formula) formulas.set(entry.id, formula);
    findings.push(...linker.findings);
    mentions.set(`formulas/${entry.id}`, linker.mentions);
  }
}

function linkEntries(
  catalogs: Catalogs,
  manifest: ManifestFile | undefined,
  names: Names,
  findings: Finding[],
  mentions: Map<string, ReadonlySet<string>>,
): void {
  const areas = manifest && Object.keys(manifest.data.areas);
  for (const section of sections) {
    // Formulas have a reader of their own.
    if (section === "formulas") continue;
    for (const { id, entry, file } of catalogs[section].values() as Iterable<Entry>) {
      const linker = new Linker(file, names);
      const data = entry as {
        area?: string;
        raises?: string[];
        symptoms?: string[];
        licence?: string;
        holds?: string[];
        above?: string;
        "seen-on"?: OnlyFor;
      };
      linker.refs("hazards", data.raises);
      linker.refs("symptoms", data.symptoms);
      linker.refs("licences", data.holds);
      if (data.licence !== undefined) linker.ref("licences", data.licence, linker.valueAt(data, "licence"));
      if (data.above !== undefined) {
        const symbol = data.above.replace(/^[-\d.,\s]+/, "");
        linkUnit(linker, symbol, linker.valueAt(data, "above"));
      }
      if (data.area !== undefined && areas && !areas.includes(data.area)) {
        const near = nearest(data.area, areas);
        linker.complain({
          rule: "unknown-reference",
          at: linker.valueAt(data, "area"),
          message: `there is no area \`${data.area}\``,
          hint: near ? `\`${near}\` may be meant` : "add it under `areas:` in headwater.yaml",
          about: id,
        });
      }
      findings.push(...linker.findings);
      mentions.set(`${section}/${id}`, linker.mentions);
      if (data["seen-on"] === undefined) continue;
      // That a symptom can be met on a family does not make it one that a tree uses.
      const apart = new Linker(file, names);
      apart.condition(data, "seen-on", data["seen-on"]);
      findings.push(...apart.findings);
    }
  }
}

/** What a case says of its tree's steps is looked at where the tree is known, by `case-astray`. */
function linkCases(
  files: readonly CaseFile[],
  names: Names,
  findings: Finding[],
): ReadonlyMap<string, readonly CaseFile[]> {
  const byId = new Map<string, CaseFile>();
  const byTree = new Map<string, CaseFile[]>();
  for (const file of files) {
    const { data } = file;
    const earlier = byId.get(data.case);
    if (earlier) findings.push(twice("case", data.case, file, "case", earlier));
    else byId.set(data.case, file);
    const linker = new Linker(file, names);
    const family = linker.ref("equipment", data.family, linker.valueAt(data, "family"));
    const hidden = linker.refs("causes", data.hidden);
    findings.push(...linker.findings);
    if (!family || hidden.length < data.hidden.length) continue;
    const others = byTree.get(data.tree);
    if (others) others.push(file);
    else byTree.set(data.tree, [file]);
  }
  return byTree;
}

/** A routine that uses itself, by however many others, could never come to an end. */
function selfUsing(routines: ReadonlyMap<string, Procedure>): Finding[] {
  const findings: Finding[] = [];
  const state = new Map<string, "open" | "done">();
  const chain: { id: string; at: Procedure["at"] }[] = [];
  const visit = (id: string): void => {
    state.set(id, "open");
    for (const step of routines.get(id)?.steps.values() ?? []) {
      if (step.kind !== "use" || !step.routine) continue;
      const used = step.routine.id;
      chain.push({ id, at: step.titleAt });
      if (state.get(used) === "open") {
        const loop = chain.slice(chain.findIndex((link) => link.id === used));
        findings.push({
          rule: "loop-without-limit",
          at: step.titleAt,
          message: `the routine \`${used}\` uses itself${
            loop.length > 1
              ? ` by way of ${loop
                  .slice(1)
                  .map((link) => `\`${link.id}\``)
                  .join(", ")}`
              : ""
          }`,
          related: loop.slice(0, -1).map((link) => ({ at: link.at, text: `used here by \`${link.id}\`` })),
          hint: "take the common part out into a routine of its own",
          about: step.id,
        });
      } else if (!state.has(used) && routines.has(used)) visit(used);
      chain.pop();
    }
    state.set(id, "done");
  };
  for (const id of routines.keys()) if (!state.has(id)) visit(id);
  return findings;
}
