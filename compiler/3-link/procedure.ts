/**
 * A tree or routine file to a procedure: short forms written out, remedies and proofs laid into the graph behind their
 * `found` step, every id looked up. A part with an unknown id is left out, so that one fault gives one complaint.
 */
import type { Branch, CauseRow, Note, Procedure, Ref, Step } from "../model/base.ts";
import type { Finding } from "../model/complaint.ts";
import type * as F from "../model/format.ts";
import type { RoutineFile, TreeFile } from "../model/parsed.ts";
import type { Place } from "../model/source.ts";
import { nearest } from "../words/nearest.ts";
import { choiceOf, Linker, type Names } from "./linker.ts";
import { linkMeasure } from "./measure.ts";

/** The one end that a proof may lead to, and that a routine without outcomes of its own has. */
const DONE = "done";

type Common = Partial<Omit<F.Do, "do" | "then" | "again">>;
/** What a check may be answered with, wherever it stands. */
type CheckData = Partial<Pick<F.Look, "answers"> & Pick<F.Measure, "ranges"> & Pick<F.Use, "use" | "outcomes">>;
type StepData = F.Step | F.RoutineStep | F.SequenceDo | F.SequenceUse | F.ProveLook | F.ProveMeasure;

export function linkProcedure(
  file: TreeFile | RoutineFile,
  names: Names,
  outcomesOf: (routine: string) => readonly string[] | undefined,
  pictures: ReadonlySet<string>,
): { readonly value: Procedure; readonly findings: readonly Finding[]; readonly mentions: ReadonlySet<string> } {
  const linker = new ProcedureLinker(file, names, outcomesOf, pictures);
  return { value: linker.link(), findings: linker.findings, mentions: linker.mentions };
}

/** The outcomes a routine file declares; they are needed before any procedure is linked. */
export function outcomesDeclared(data: F.Routine): string[] {
  return data.outcomes ? Object.keys(data.outcomes) : [DONE];
}

class ProcedureLinker extends Linker {
  readonly #procedureFile: TreeFile | RoutineFile;
  readonly #outcomesOf: (routine: string) => readonly string[] | undefined;
  readonly #pictures: ReadonlySet<string>;
  readonly #steps = new Map<string, Step>();
  readonly #stepIds: ReadonlySet<string>;
  /** Whose facts formulas may use: a routine doesn't know who will use it. */
  readonly #families: readonly string[];
  readonly #outcomes = new Map<string, { at: Place; say: string | undefined }>();
  #incomplete = false;

  constructor(
    file: TreeFile | RoutineFile,
    names: Names,
    outcomesOf: (routine: string) => readonly string[] | undefined,
    pictures: ReadonlySet<string>,
  ) {
    super(file, names);
    this.#procedureFile = file;
    this.#outcomesOf = outcomesOf;
    this.#pictures = pictures;
    this.#families = file.kind === "tree" ? file.data.serves : [...names.catalogs.equipment.keys()];
    this.#stepIds = new Set(Array.isArray(file.data.steps) ? [] : Object.keys(file.data.steps));
  }

  link(): Procedure {
    const file = this.#procedureFile;
    const { data } = file;
    let start: string | undefined;
    if (file.kind === "routine") this.#linkOutcomes(file.data);
    if (Array.isArray(data.steps)) {
      const before = this.#steps.size;
      this.#sequence(data.steps, "step", undefined, this.#endOfList(data));
      start = this.#steps.size > before ? this.#steps.keys().next().value : undefined;
      if ("start" in data && data.start !== undefined)
        this.complain({
          rule: "invalid-shape",
          at: this.keyAt(data, "start"),
          message: "`start` has no meaning where the steps are a list",
          hint: "delete it: a list begins at its first entry",
        });
    } else {
      if (data.start !== undefined) start = this.#stepRef(data.start, this.valueAt(data, "start"), "step");
      else
        this.complain({
          rule: "invalid-shape",
          at: this.keyAt(data, "steps"),
          message: "this routine lacks `start`",
          hint: "add `start:` with the id of the first step, or make the steps a list",
        });
      const steps = data.steps as Readonly<Record<string, F.Step>>;
      for (const [id, step] of Object.entries(steps)) this.#step(id, step, this.keyAt(steps, id));
    }
    const serves = "serves" in data ? this.refs("equipment", data.serves) : [];
    if (file.kind === "tree") this.ref("symptoms", file.data.symptom, this.valueAt(file.data, "symptom"));
    return {
      kind: file.kind,
      id: file.kind === "tree" ? file.data.tree : file.data.routine,
      at: this.valueAt(data, file.kind),
      file,
      data,
      start,
      notes: this.#notes(data),
      needs: "needs" in data ? this.refs("states", data.needs) : [],
      steps: this.#steps,
      outcomes: this.#outcomes,
      causes: file.kind === "tree" ? this.#causes(file.data) : new Map(),
      keepOrder: file.kind === "tree" ? file.data["keep-order"] : undefined,
      serves,
      incomplete: this.#incomplete || (start === undefined && this.findings.length > 0),
      mentions: this.mentions,
    };
  }

  /** A list ends in `done`; null when the routine has other outcomes, which is told here. */
  #endOfList(data: F.Tree | F.Routine): string | null {
    if (this.#outcomes.has(DONE) || !("outcomes" in data)) return DONE;
    this.complain({
      rule: "invalid-shape",
      at: this.keyAt(data, "outcomes"),
      message: "a list of steps ends in `done`, which is not among these outcomes",
      hint: "delete `outcomes:`, or write the steps by id so that each can say where it leads",
    });
    return null;
  }

  #linkOutcomes(data: F.Routine): void {
    if (!data.outcomes) {
      this.#outcomes.set(DONE, { at: this.keyAt(data, "steps"), say: undefined });
      return;
    }
    for (const [id, outcome] of Object.entries(data.outcomes)) {
      const at = this.keyAt(data.outcomes, id);
      if (this.#stepIds.has(id))
        this.complain({
          rule: "duplicate-id",
          at,
          message: `\`${id}\` is both an outcome and a step of this routine`,
          related: [{ at: this.keyAt(data.steps, id), text: "the step" }],
          hint: "rename one of them: a step that leads there must be unmistakable",
          about: id,
        });
      this.#outcomes.set(id, { at, say: typeof outcome === "string" ? outcome : outcome.say });
    }
  }

  /** What a tree's table of causes names must exist: the cause, the checks, their answers. */
  #causes(data: F.Tree): Map<string, CauseRow> {
    const causes = data.causes ?? {};
    const rows = new Map<string, CauseRow>();
    for (const [id, row] of Object.entries(causes)) {
      const cause = this.ref("causes", id, this.keyAt(causes, id));
      const onlyFor = row["only-for"] && this.condition(row, "only-for", row["only-for"]);
      const shows = new Map<string, readonly string[]>();
      for (const [check, shown] of Object.entries(row.shows ?? {})) {
        if (!this.#isCheck(check, this.keyAt(row.shows ?? {}, check))) continue;
        const known = this.#shown(check, this.#dataOf(check), shown, this.valueAt(row.shows ?? {}, check));
        if (known.length > 0) shows.set(check, known);
      }
      if (cause) rows.set(id, { ...cause, likelihood: row.likelihood, basis: row.basis, shows, onlyFor });
    }
    return rows;
  }
  /** Whether a step is a check of this tree; told where it is none. */
  #isCheck(id: string, at: Place): boolean {
    const step = this.#steps.get(id);
    if (!step) {
      if (!this.#stepIds.has(id)) this.#unknown("check", id, at, new Set(this.#checkIds()));
      return false;
    }
    if (isCheckKind(step.kind)) return true;
    this.complain({
      rule: "unknown-reference",
      at,
      message: `\`${id}\` is a \`${step.kind}\` step, which shows nothing`,
      hint: "name a look, a measure, or a use with outcomes",
      about: id,
    });
    return false;
  }
  #dataOf(step: string): CheckData {
    return (this.#procedureFile.data.steps as Readonly<Record<string, CheckData>>)[step] ?? {};
  }
  /** What the step says that is shown here as a rule. */
  #normally(id: string, data: object, shown: F.Shown): readonly string[] | undefined {
    if (this.#procedureFile.kind === "routine") {
      this.complain({
        rule: "invalid-shape",
        at: this.keyAt(data, "normally"),
        message: "`normally` has no meaning in a routine",
        hint: "write it at the step that uses the routine: it names outcomes there",
        about: id,
      });
      return undefined;
    }
    const known = this.#shown(id, data, shown, this.valueAt(data, "normally"));
    return known.length > 0 ? known : undefined;
  }
  #checkIds(): string[] {
    return [...this.#steps.values()]
      .filter(({ kind, of }) => isCheckKind(kind) && of === undefined)
      .map(({ id }) => id);
  }
  /** Those of the answers, ranges or outcomes that the check has. From the data, since a branch with an unknown target is left out of the step. */
  #shown(check: string, { answers: asked, ranges, outcomes, use }: CheckData, shown: F.Shown, at: Place): string[] {
    const given = asked ?? ranges ?? outcomes;
    const answers = new Set(given ? Object.keys(given) : use === undefined ? [] : this.#outcomesOf(use));
    const list = typeof shown === "string" ? [shown] : shown;
    return list.filter((answer, index) => {
      if (answers.has(answer)) return true;
      this.#unknown(
        `answer of \`${check}\` called`,
        answer,
        typeof shown === "string" ? at : this.valueAt(list, index),
        answers,
      );
      return false;
    });
  }

  #unknown(what: string, id: string, at: Place, known: ReadonlySet<string>, otherwise?: string): string | undefined {
    const near = nearest(id, known);
    const hint = near ? `\`${near}\` may be meant` : (otherwise ?? choiceOf(known));
    this.complain({
      rule: "unknown-reference",
      at,
      message: `there is no ${what} \`${id}\``,
      ...(hint ? { hint } : {}),
      about: id,
    });
    return near;
  }

  /**
   * A step id, an outcome, or `done` from a proof. For an unknown id the nearest known one is taken for meant, so that
   * what lies behind it isn't called unreachable as well; without one, undefined.
   */
  #stepRef(id: string, at: Place, from: "step" | "proof"): string | undefined {
    if (this.#stepIds.has(id) || this.#outcomes.has(id)) return id;
    if (id === DONE && this.#procedureFile.kind === "tree") {
      if (from === "proof") return DONE;
      this.complain({
        rule: "unknown-reference",
        at,
        message: "only a proof may lead to `done`",
        hint: "end in a `found` step with its `prove`, or in a `stop`",
        about: id,
      });
      this.#incomplete = true;
      return undefined;
    }
    const what = this.#outcomes.size > 0 ? "step or outcome" : "step";
    const near = this.#unknown(
      what,
      id,
      at,
      new Set([...this.#stepIds, ...this.#outcomes.keys()]),
      id === DONE ? undefined : "write it under `steps:`",
    );
    if (near === undefined) this.#incomplete = true;
    return near;
  }

  #branch(
    owner: { readonly id: string; readonly at: Place; readonly map: object; readonly key: string },
    target: string | { then?: string; again?: F.Again; say?: string; "only-for"?: F.OnlyFor } | undefined,
    from: "step" | "proof",
    more: Partial<Pick<Branch, "range" | "ends" | "value" | "say">> = {},
  ): Branch | undefined {
    const blank = {
      id: owner.id,
      at: owner.at,
      again: undefined,
      onlyFor: undefined,
      range: undefined,
      ends: undefined,
      value: undefined,
      say: undefined,
    };
    if (target === undefined) return { ...blank, ...more, to: undefined };
    if (typeof target === "string") {
      const to = this.#stepRef(target, this.valueAt(owner.map, owner.key), from);
      return to === undefined ? undefined : { ...blank, ...more, to };
    }
    // With the way on written at the step itself, `only-for` speaks of the step.
    const onlyFor =
      target["only-for"] && target !== owner.map ? this.condition(target, "only-for", target["only-for"]) : undefined;
    const rest = { ...blank, ...more, say: target.say, onlyFor };
    if (target.again && target.then !== undefined)
      this.complain({
        rule: "invalid-shape",
        at: this.keyAt(target, "again"),
        message: "`then` and `again` stand together; only one can lead on",
        hint: "with `again`, the way on afterwards is its `else`",
      });
    if (target.again) {
      const to = this.#stepRef(target.again.step, this.valueAt(target.again, "step"), from);
      const otherwise = this.#stepRef(target.again.else, this.valueAt(target.again, "else"), from);
      if (to === undefined || otherwise === undefined) return undefined;
      return { ...rest, to, again: { to, atMost: target.again["at-most"], else: otherwise } };
    }
    if (target.then === undefined) return { ...rest, to: undefined };
    const to = this.#stepRef(target.then, this.valueAt(target, "then"), from);
    return to === undefined ? undefined : { ...rest, to };
  }

  #branches(map: Readonly<Record<string, F.Answer>>): (Branch | undefined)[] {
    return Object.entries(map).map(([id, answer]) =>
      this.#branch({ id, at: this.keyAt(map, id), map, key: id }, answer, "step"),
    );
  }
  #then(data: { then?: string; again?: F.Again }, at: Place): Branch | undefined {
    return this.#branch(
      { id: "then", at: data.then ? this.valueAt(data, "then") : at, map: data, key: "then" },
      data,
      "step",
    );
  }

  #notes(data: { safety?: F.SafetyNote[] }): Note[] {
    const list = data.safety;
    if (!list) return [];
    return list.flatMap((entry, index) => {
      const short = typeof entry === "string";
      const hazard = short
        ? this.ref("hazards", entry, this.valueAt(list, index))
        : this.ref("hazards", entry.hazard, this.valueAt(entry, "hazard"));
      return hazard ? [{ hazard, note: short ? undefined : entry.note }] : [];
    });
  }

  #leaves(data: { leaves?: F.Leaves }): { state: Ref; reason: string }[] {
    return Object.entries(data.leaves ?? {}).flatMap(([id, reason]) => {
      const state = this.ref("states", id, this.keyAt(data.leaves ?? {}, id));
      return state ? [{ state, reason }] : [];
    });
  }

  /** Everything but the branches. */
  #plain(id: string, kind: Step["kind"], at: Place, data: object, of: string | undefined): Step {
    const common = data as Common & Record<string, unknown>;
    if (common.picture && !this.#pictures.has(common.picture.file))
      this.complain({
        rule: "missing-picture",
        at: this.valueAt(common.picture, "file"),
        message: `the picture \`${common.picture.file}\` is not in the pictures folder`,
        ...hintFor(nearest(common.picture.file, this.#pictures)),
        about: id,
      });
    return {
      id,
      kind,
      of,
      isProof: false,
      at,
      title: String(common[kind] ?? ""),
      titleAt: this.valueAt(data, kind),
      how: common.how,
      why: common.why,
      minutes: common.minutes,
      tools: this.refs("tools", common.tools),
      parts: this.refs("parts", common.parts),
      needs: this.refs("states", common.needs),
      sets: this.refs("states", common.sets),
      clears: this.refs("states", common.clears),
      hazards: this.refs("hazards", common.hazards),
      notes: this.#notes(common),
      licence:
        common.licence === undefined ? undefined : this.ref("licences", common.licence, this.valueAt(data, "licence")),
      unlicensed:
        common.unlicensed === undefined
          ? undefined
          : this.#branch(
              { id: "unlicensed", at: this.valueAt(data, "unlicensed"), map: data, key: "unlicensed" },
              common.unlicensed,
              "step",
            ),
      onlyFor: common["only-for"] ? this.condition(data, "only-for", common["only-for"]) : undefined,
      picture: common.picture,
      normally: common.normally === undefined ? undefined : this.#normally(id, data, common.normally as F.Shown),
      branches: [],
      incomplete: false,
      readings: [],
      value: undefined,
      fact: undefined,
      routine: undefined,
      cause: undefined,
      say: undefined,
      stopKind: undefined,
      call: undefined,
      leaves: [],
    };
  }

  #add(step: Step, branches: readonly (Branch | undefined)[], more: Partial<Step> = {}): void {
    const known = branches.filter((branch) => branch !== undefined);
    const incomplete = known.length < branches.length || more.incomplete === true;
    if (incomplete) this.#incomplete = true;
    this.#steps.set(step.id, { ...step, ...more, branches: known, incomplete });
  }

  #step(id: string, data: StepData, at: Place): void {
    if ("look" in data && "answers" in data)
      this.#add(this.#plain(id, "look", at, data, undefined), this.#branches(data.answers as Record<string, F.Answer>));
    else if ("measure" in data) this.#measure(id, data, at, undefined, "step");
    else if ("do" in data) this.#add(this.#plain(id, "do", at, data, undefined), [this.#then(data as F.Do, at)]);
    else if ("sort" in data) this.#sort(id, data, at);
    else if ("use" in data) this.#use(id, data as F.Use, at);
    else if ("found" in data) this.#found(id, data, at);
    else if ("stop" in data) {
      const call = data.call === undefined ? undefined : this.ref("contacts", data.call, this.valueAt(data, "call"));
      this.#add(this.#plain(id, "stop", at, data, undefined), [], {
        stopKind: data.kind,
        call,
        leaves: this.#leaves(data),
      });
    }
  }

  #measure(
    id: string,
    data: F.Measure | F.ProveMeasure,
    at: Place,
    of: string | undefined,
    from: "step" | "proof",
  ): void {
    const { readings, value, ranges } = linkMeasure(this, data, {
      id,
      families: this.#families,
      steps: Array.isArray(this.#procedureFile.data.steps) ? {} : this.#procedureFile.data.steps,
    });
    const branches = Object.entries(data.ranges as Readonly<Record<string, F.Range>>).map(([key, range]) =>
      this.#branch({ id: key, at: this.keyAt(data.ranges, key), map: data.ranges, key }, range, from, {
        range: ranges?.get(key)?.range,
        ends: ranges?.get(key)?.ends,
      }),
    );
    this.#add(this.#plain(id, "measure", at, data, of), branches, {
      readings,
      value,
      isProof: from === "proof",
      incomplete: value === undefined || ranges === undefined,
    });
  }

  #sort(id: string, data: F.Sort, at: Place): void {
    const cases = data.cases as Readonly<Record<string, string>>;
    const branches = Object.entries(cases).map(([value, target]) =>
      this.#branch({ id: value, at: this.keyAt(cases, value), map: cases, key: value }, target, "step", { value }),
    );
    if (data.else !== undefined)
      branches.push(
        this.#branch({ id: "else", at: this.keyAt(data, "else"), map: data, key: "else" }, data.else, "step"),
      );
    this.#add(this.#plain(id, "sort", at, data, undefined), branches, { fact: data.sort.slice("equipment.".length) });
  }

  #use(id: string, data: F.Use, at: Place): void {
    const routine = this.ref("routines", data.use, this.valueAt(data, "use"));
    const declared = routine && this.#outcomesOf(routine.id);
    let branches: (Branch | undefined)[];
    if (data.outcomes) {
      const given = data.outcomes as Readonly<Record<string, F.Answer>>;
      branches = this.#branches(given);
      if (declared)
        for (const outcome of Object.keys(given))
          if (!declared.includes(outcome)) {
            this.#unknown(
              `outcome of \`${data.use}\` called`,
              outcome,
              this.keyAt(given, outcome),
              new Set(declared),
              declared.length === 1
                ? `it ends in no other way than \`${declared[0]}\`: write \`then:\` in place of \`outcomes:\``
                : undefined,
            );
            branches = branches.map((branch) => (branch?.id === outcome ? undefined : branch));
          }
      if (data.then !== undefined || data.again)
        this.complain({
          rule: "invalid-shape",
          at: this.keyAt(data, data.again ? "again" : "then"),
          message: "a `use` leads on by `outcomes` or by `then`, not by both",
          hint: "keep the outcomes",
        });
    } else {
      const [only, second] = declared ?? [];
      if (second !== undefined)
        this.complain({
          rule: "dead-end",
          at: this.valueAt(data, "use"),
          message: `\`${data.use}\` can end in ${declared?.map((name) => `\`${name}\``).join(" or ")}, but \`${id}\` doesn't say where each leads`,
          hint: "list them under `outcomes:`",
          about: id,
        });
      const then = this.#then(data, at);
      branches = [then && { ...then, id: only ?? DONE }];
      if (second !== undefined) branches.push(undefined);
    }
    const plain = this.#plain(id, "use", at, data, undefined);
    this.#add(plain, branches, { routine: declared ? routine : undefined, incomplete: declared === undefined });
  }

  #found(id: string, data: F.Found, at: Place): void {
    const cause = this.ref("causes", data.found, this.valueAt(data, "found"));
    const proofId = `${id}--prove`;
    const afterRemedy = data.prove ? proofId : data.then;
    let next: string | undefined = afterRemedy;
    let nextAt = data.prove ? this.keyAt(data, "prove") : data.then !== undefined ? this.valueAt(data, "then") : at;
    const known = data.then === undefined || data.prove ? afterRemedy : this.#stepRef(data.then, nextAt, "step");
    const step = this.#plain(id, "found", at, data, undefined);
    // Set first, so that the order of the map is the order on paper: found, remedy, proof.
    this.#steps.set(id, step);
    if (data.remedy !== undefined) {
      const remedy = typeof data.remedy === "string" ? [{ use: data.remedy }] : data.remedy;
      const where = typeof data.remedy === "string" ? this.valueAt(data, "remedy") : undefined;
      next = `${id}--1`;
      nextAt = this.keyAt(data, "remedy");
      this.#sequence(remedy, id, id, known === undefined && afterRemedy !== undefined ? null : known, where);
    } else next = known;
    if (data.prove && data.then !== undefined)
      this.complain({
        rule: "invalid-shape",
        at: this.keyAt(data, "then"),
        message: "a `found` step leads on by its proof or by `then`, not by both",
        hint: "delete `then`: the proof says where to go",
        about: id,
      });
    if (data.prove) this.#prove(proofId, data.prove, this.keyAt(data, "prove"), id);
    const branch: Branch | undefined =
      next === undefined
        ? data.then === undefined
          ? {
              id: "then",
              at,
              say: undefined,
              to: undefined,
              again: undefined,
              onlyFor: undefined,
              range: undefined,
              ends: undefined,
              value: undefined,
            }
          : undefined
        : {
            id: "then",
            at: nextAt,
            say: undefined,
            to: next,
            again: undefined,
            onlyFor: undefined,
            range: undefined,
            ends: undefined,
            value: undefined,
          };
    this.#add(step, [branch], { cause, say: data.say, leaves: this.#leaves(data) });
  }

  #prove(id: string, data: F.Prove, at: Place, of: string): void {
    if ("measure" in data) {
      this.#measure(id, data, at, of, "proof");
      return;
    }
    const branches = (["fixed", "not-fixed"] as const).map((key) =>
      this.#branch({ id: key, at: this.keyAt(data, key), map: data, key }, data[key], "proof"),
    );
    this.#add(this.#plain(id, "look", at, data, of), branches, { isProof: true });
  }

  /** Steps one after the other; `to` is where the last one leads: undefined if nobody says, null if what is said is not known. */
  #sequence(
    list: readonly (string | F.SequenceDo | F.SequenceUse)[],
    prefix: string,
    of: string | undefined,
    to: string | undefined | null,
    where?: Place,
  ): void {
    list.forEach((entry, index) => {
      const id = `${prefix}--${index + 1}`;
      const at = where ?? this.valueAt(list, index);
      const data = typeof entry === "string" ? { do: entry } : entry;
      const kind = "use" in data ? "use" : "do";
      const key = typeof entry === "string" || where ? at : this.keyAt(data, kind);
      const last = index === list.length - 1;
      const target = last ? to : `${prefix}--${index + 2}`;
      const then: Branch = {
        id: "then",
        at: key,
        say: undefined,
        to: target ?? undefined,
        again: undefined,
        onlyFor: undefined,
        range: undefined,
        ends: undefined,
        value: undefined,
      };
      const step = {
        ...this.#plain(id, kind, key, data, of),
        titleAt: where ?? (typeof entry === "string" ? at : this.valueAt(data, kind)),
      };
      if (!("use" in data)) {
        this.#add(step, [target === null ? undefined : then]);
        return;
      }
      const routine = this.ref("routines", data.use, step.titleAt);
      const declared = routine && this.#outcomesOf(routine.id);
      if (declared && declared.length > 1)
        this.complain({
          rule: "dead-end",
          at: step.titleAt,
          message: `\`${data.use}\` can end in ${declared.map((name) => `\`${name}\``).join(" or ")}, which a plain list can't tell apart`,
          hint: "make it a step of its own with `outcomes:`",
          about: id,
        });
      const isKnown = target !== null && (declared === undefined || declared.length === 1);
      this.#add(step, isKnown ? [{ ...then, id: declared?.[0] ?? DONE }] : [], {
        routine: declared?.length === 1 ? routine : undefined,
        incomplete: !isKnown || declared === undefined,
      });
    });
  }
}

function isCheckKind(kind: Step["kind"]): boolean {
  return kind === "look" || kind === "measure" || kind === "use";
}

function hintFor(near: string | undefined): { hint: string } {
  return { hint: near ? `\`${near}\` may be meant` : "put the file there, or correct the name" };
}
