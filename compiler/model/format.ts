/* Generated from schema/*.json by `npm run generate`. Don't edit. */
/**
 * The version of this format. Always 1.
 */
export type Format = 1;
/**
 * A name for use inside the base: small letters, digits and single hyphens, such as `drain-flow`.
 */
export type Id = string;
/**
 * Any of these.
 *
 * @minItems 1
 */
export type IdList = Id[];
/**
 * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
 */
export type Text = string;
/**
 * Warnings that are accepted in this file, each with its reason.
 *
 * @minItems 1
 */
export type Accept = {
  /**
   * The rule whose warning is accepted. Errors and everything about safety can't be accepted.
   */
  rule:
    | "better-order"
    | "branch-without-cause"
    | "case-unused"
    | "cause-not-covered"
    | "causes-alike"
    | "implausible-bounds"
    | "impossible-branch"
    | "long-sentence"
    | "other-term"
    | "stale-review"
    | "translation-missing"
    | "translation-unused"
    | "unit-style"
    | "unused-entry"
    | "vague-word";
  /**
   * A name for use inside the base: small letters, digits and single hyphens, such as `drain-flow`.
   */
  about?: string;
  /**
   * The reason, for the next reviewer.
   */
  because: string;
}[];
/**
 * Equipment families, by id.
 *
 * @minItems 1
 */
export type FamilyList = Id[];
/**
 * The value of an equipment fact: a word, a number, true or false.
 */
export type Fact = string | number | boolean;
/**
 * Any of these values.
 *
 * @minItems 1
 */
export type FactList = Fact[];
/**
 * A unit of measurement, such as L/min, gpm, psi, kPa, mg/L, °C, s, min, %, or 1 for a plain number. Hardness is in `mg/L CaCO3` or gpg, which the page turns into each other.
 */
export type Unit = string;
/**
 * A number, or a number with its unit: `5`, `5 %`, `0.2 L/min`. Without a unit, the unit of the value is meant.
 */
export type Amount = number | string;
/**
 * Ordinary algebra: + − × ÷ (also - * /), ^ ² ³, brackets, sqrt(x), root(x, 3), log10(x), round(x), min(a, b), max(a, b) and if(a > b, x, y). A hyphen inside a name belongs to it, so a minus has blanks around it.
 */
export type FormulaText = string;
/**
 * A caution shown before the step: the id of a hazard (its catalog precaution is shown), or an entry with a note of its own.
 */
export type SafetyNote = Id | SafetyEntry;
/**
 * Limits this to some kinds of equipment: a list of equipment families, or facts that the family must have, such as {drive: motor}. A `do` step that is not for a family is passed over for it.
 */
export type OnlyFor = FamilyList | FactConditions;
/**
 * Steps done one after the other. A plain sentence is a `do` step.
 *
 * @minItems 1
 * @maxItems 40
 */
export type Sequence = (Text | SequenceDo | SequenceUse)[];
/**
 * One step of a routine: look, measure, do, sort, use or stop.
 */
export type RoutineStep = Look | Measure | Do | Sort | Use | Stop;
/**
 * Where this answer leads: a step id, or an entry with the words of the answer and `then` (or `again`).
 */
export type Answer = Id | AnswerEntry;
/**
 * The id of an answer, a range or an outcome, or a list of several.
 */
export type Shown = Id | IdList;
/**
 * One step. Its kind is the word it begins with: look, measure, do, sort, use, found or stop.
 */
export type Step = Look | Measure | Do | Sort | Use | Found | Stop;
/**
 * How to mend it: the id of a routine, or steps in place, done one after the other.
 */
export type Remedy = Id | Sequence;
/**
 * The proof that the fault is gone: a look with `fixed` and `not-fixed`, or a measurement with ranges. Only a proof may lead to `done`.
 */
export type Prove = ProveLook | ProveMeasure;

/**
 * All kinds of files of a knowledge base.
 */
export interface FormatFiles {
  manifest: Manifest;
  catalog: Catalog;
  routine: Routine;
  tree: Tree;
  case: TrainingCase;
  translation: Translation;
}
/**
 * headwater.yaml: what this knowledge base is and the rules that hold for all of it.
 */
export interface Manifest {
  format: Format;
  /**
   * The id of this knowledge base.
   */
  base: string;
  /**
   * Its name, shown on every page.
   */
  title: string;
  /**
   * Who keeps it.
   */
  owner: string;
  /**
   * The language of the texts, such as en or en-CA.
   */
  language: string;
  /**
   * Further languages, each with the ids of the trees that are offered in it. Their texts stand in translations/<language>/.
   */
  translations?: {
    [k: string]: IdList;
  };
  /**
   * Shown on every tree: which codes, manuals and licences come before this procedure.
   */
  notice: string;
  /**
   * The areas of work, by id, with their names.
   */
  areas: {
    [k: string]: Text;
  };
  /**
   * Where the built site is found, such as https://steps.example/walk/. Printed procedures then carry a code that leads back to their page.
   */
  address?: string;
  /**
   * A name for use inside the base: small letters, digits and single hyphens, such as `drain-flow`.
   */
  "unknown-equipment"?: string;
  /**
   * After how many days a review is stale. 365 when left out.
   */
  "review-every"?: number;
  /**
   * How texts are to be written in this base. Broken rules are warnings.
   */
  prose?: {
    /**
     * The longest sentence allowed, in words. 25 when left out.
     */
    "words-in-a-sentence"?: number;
    /**
     * Phrases that leave the reader guessing, besides those that are known for English.
     */
    vague?: Text[];
    /**
     * Phrases of the known list that this base allows.
     */
    allow?: Text[];
    /**
     * What not to write, with the word that this base uses for it.
     */
    "say-instead"?: {
      [k: string]: Text;
    };
  };
  accept?: Accept;
}
/**
 * catalog/*.yaml: entries that trees and routines refer to by id. A catalog may be spread over any number of files.
 */
export interface Catalog {
  format: Format;
  /**
   * What goes wrong, as the customer tells it.
   */
  symptoms?: {
    [k: string]: Symptom;
  };
  /**
   * What is really wrong.
   */
  causes?: {
    [k: string]: Cause;
  };
  /**
   * The kinds of equipment.
   */
  equipment?: {
    [k: string]: Family;
  };
  /**
   * What can be true of the house or the unit while work goes on.
   */
  states?: {
    [k: string]: State;
  };
  /**
   * What can hurt.
   */
  hazards?: {
    [k: string]: Hazard;
  };
  /**
   * Tools.
   */
  tools?: {
    [k: string]: Tool;
  };
  /**
   * Parts.
   */
  parts?: {
    [k: string]: Part;
  };
  /**
   * People to call, by role.
   */
  contacts?: {
    [k: string]: Contact;
  };
  /**
   * Trades and qualifications that some work is reserved for.
   */
  licences?: {
    [k: string]: Licence;
  };
  /**
   * Publications that figures come from.
   */
  sources?: {
    [k: string]: Source;
  };
  /**
   * Formulas of the trade, for trees and for a page each with a calculator.
   */
  formulas?: {
    [k: string]: Formula;
  };
  accept?: Accept;
}
export interface Symptom {
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  title: string;
  /**
   * What customers say, in their words. The symptom is found by these.
   *
   * @minItems 1
   */
  says: Text[];
  /**
   * A name for use inside the base: small letters, digits and single hyphens, such as `drain-flow`.
   */
  area: string;
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  what?: string;
  /**
   * How somebody at the house can notice it. The home page can be narrowed to one of these.
   *
   * @minItems 1
   */
  by?: ("sees" | "hears" | "smells" | "tastes" | "measures")[];
  /**
   * The equipment on which it can be met: a list of families, or facts that the family must have. Left out: all families of its area. Those that a tree for it serves always belong to them. Coverage is counted for these.
   */
  "seen-on"?: FamilyList | FactConditions;
}
/**
 * Facts that the family must have; a list means any of these.
 */
export interface FactConditions {
  [k: string]: Fact | FactList;
}
export interface Cause {
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  title: string;
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  what: string;
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  consequence?: string;
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  remedy?: string;
  /**
   * The symptoms it can produce.
   *
   * @minItems 1
   */
  symptoms: Id[];
}
export interface Family {
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  title: string;
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  what?: string;
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  looks: string;
  /**
   * A name for use inside the base: small letters, digits and single hyphens, such as `drain-flow`.
   */
  area: string;
  /**
   * What changes the work, such as {drive: motor, pistons: 2}. Steps sort by these.
   */
  facts: {
    [k: string]: Fact;
  };
}
export interface State {
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  title: string;
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  means: string;
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  without: string;
  /**
   * Hazards that are raised by a step that brings this state about.
   */
  raises?: Id[];
  /**
   * Whether it must be cleared at the end of a visit. True when left out.
   */
  "must-clear"?: boolean;
  /**
   * A name for use inside the base: small letters, digits and single hyphens, such as `drain-flow`.
   */
  licence?: string;
}
export interface Hazard {
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  title: string;
  /**
   * The signal word of ANSI Z535.6. danger: will kill or seriously injure. warning: could. caution: could injure lightly. notice: damage only.
   */
  signal: "danger" | "warning" | "caution" | "notice";
  /**
   * The worst that can come of it. With `chance` it decides the signal word by ANSI Z535.6.
   */
  harm?: "death" | "serious-injury" | "minor-injury" | "damage";
  /**
   * Whether it will come, if not avoided, or could. could when left out.
   */
  chance?: "will" | "could";
  /**
   * The code of the ISO 7010 sign, such as W012 for electricity.
   */
  sign?: string;
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  consequence: string;
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  precaution: string;
  /**
   * Words in a step's text that raise this hazard. Whole words; a star at the end matches any ending.
   */
  words?: string[];
  /**
   * A measurement that can read more than this raises the hazard, such as 49 °C for scalding water.
   */
  above?: string;
}
export interface Tool {
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  title: string;
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  what?: string;
  /**
   * Hazards that come with using it.
   */
  raises?: Id[];
  /**
   * A name for use inside the base: small letters, digits and single hyphens, such as `drain-flow`.
   */
  licence?: string;
}
export interface Part {
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  title: string;
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  what?: string;
  /**
   * Hazards that come with handling it.
   */
  raises?: Id[];
  /**
   * A name for use inside the base: small letters, digits and single hyphens, such as `drain-flow`.
   */
  licence?: string;
}
export interface Contact {
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  title: string;
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  reach?: string;
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  when?: string;
  /**
   * The licences this person holds.
   */
  holds?: Id[];
}
export interface Licence {
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  title: string;
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  what?: string;
}
export interface Source {
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  title: string;
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  by?: string;
  /**
   * The year of the edition.
   */
  year?: number;
}
export interface Formula {
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  title: string;
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  for: string;
  /**
   * What goes in, by name.
   */
  inputs: {
    [k: string]: FormulaInput;
  };
  /**
   * Fixed amounts that the formula names, such as {air: 14.7 psi}. A constant of one unit makes a plain number: `log10(solids / one)` with {one: 1 mg/L}.
   */
  constants?: {
    /**
     * An amount, or an entry with the amount and where it comes from.
     */
    [k: string]: Amount | FormulaConstant;
  };
  /**
   * The result: its name with the formula over inputs and constants, and its unit, as in a tree's `value`.
   */
  gives: {
    /**
     * A unit of measurement, such as L/min, gpm, psi, kPa, mg/L, °C, s, min, %, or 1 for a plain number. Hardness is in `mg/L CaCO3` or gpg, which the page turns into each other.
     */
    unit: string;
    [k: string]: FormulaText;
  };
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  limits: string;
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  source: string;
  /**
   * Worked examples, two or more. The compiler computes each of them at every check.
   *
   * @minItems 2
   * @maxItems 20
   */
  examples: FormulaExample[];
}
/**
 * One number that goes in.
 */
export interface FormulaInput {
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  ask: string;
  unit: Unit;
  /**
   * The lowest and the highest number that make sense, in this unit. Anything else is refused.
   *
   * @minItems 2
   * @maxItems 2
   */
  between: number[];
  /**
   * What is usual, in this unit. Anything else is asked about once.
   *
   * @minItems 2
   * @maxItems 2
   */
  typical?: number[];
}
/**
 * A fixed amount and where it comes from.
 */
export interface FormulaConstant {
  /**
   * A number, or a number with its unit: `5`, `5 %`, `0.2 L/min`. Without a unit, the unit of the value is meant.
   */
  value: number | string;
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  why?: string;
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  source?: string;
}
/**
 * One worked example.
 */
export interface FormulaExample {
  /**
   * An amount for every input. Without a unit, the unit of the input is meant.
   */
  given: {
    [k: string]: Amount;
  };
  /**
   * A number, or a number with its unit: `5`, `5 %`, `0.2 L/min`. Without a unit, the unit of the value is meant.
   */
  gives: number | string;
  /**
   * A number, or a number with its unit: `5`, `5 %`, `0.2 L/min`. Without a unit, the unit of the value is meant.
   */
  within: number | string;
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  source: string;
}
/**
 * A sequence used by many trees, with named outcomes.
 */
export interface Routine {
  format: Format;
  /**
   * A name for use inside the base: small letters, digits and single hyphens, such as `drain-flow`.
   */
  routine: string;
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  title: string;
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  summary?: string;
  reviewed: Reviewed;
  /**
   * States that must hold before the routine begins.
   */
  needs?: Id[];
  /**
   * Cautions that hold for the whole routine, shown at its beginning.
   *
   * @minItems 1
   */
  safety?: SafetyNote[];
  /**
   * The ways this routine can end, each with a few words. Left out, it has the single outcome `done`.
   */
  outcomes?: {
    [k: string]: Text | OutcomeEntry;
  };
  /**
   * A name for use inside the base: small letters, digits and single hyphens, such as `drain-flow`.
   */
  start?: string;
  /**
   * Steps by id; or a list, done from top to bottom, that ends in `done`.
   */
  steps: Sequence | RoutineSteps;
  accept?: Accept;
}
/**
 * The last review by somebody who does this work.
 */
export interface Reviewed {
  /**
   * The day of the last review.
   */
  on: string;
  /**
   * Who reviewed it: a role is enough.
   */
  by: string;
}
/**
 * A caution with words of its own.
 */
export interface SafetyEntry {
  /**
   * A name for use inside the base: small letters, digits and single hyphens, such as `drain-flow`.
   */
  hazard: string;
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  note?: string;
}
/**
 * An outcome in full.
 */
export interface OutcomeEntry {
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  say: string;
}
/**
 * Something to do, in a sequence.
 */
export interface SequenceDo {
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  do: string;
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  how?: string;
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  why?: string;
  /**
   * How long the step takes, in minutes.
   */
  minutes?: number;
  /**
   * Tools needed, from the catalog.
   */
  tools?: Id[];
  /**
   * Parts used, from the catalog.
   */
  parts?: Id[];
  /**
   * States that must hold before this step: on every way that leads here.
   */
  needs?: Id[];
  /**
   * States that hold after this step.
   */
  sets?: Id[];
  /**
   * States that no longer hold after this step.
   */
  clears?: Id[];
  /**
   * Hazards of this step. Those that its states, tools, parts and words raise need not be repeated.
   */
  hazards?: Id[];
  /**
   * A name for use inside the base: small letters, digits and single hyphens, such as `drain-flow`.
   */
  licence?: string;
  /**
   * A name for use inside the base: small letters, digits and single hyphens, such as `drain-flow`.
   */
  unlicensed?: string;
  /**
   * Cautions, shown before the step.
   *
   * @minItems 1
   */
  safety?: SafetyNote[];
  "only-for"?: OnlyFor;
  picture?: Picture;
}
/**
 * A drawing for this step.
 */
export interface Picture {
  /**
   * A file in the base's `pictures` folder.
   */
  file: string;
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  alt: string;
}
/**
 * A routine, in a sequence.
 */
export interface SequenceUse {
  /**
   * A name for use inside the base: small letters, digits and single hyphens, such as `drain-flow`.
   */
  use: string;
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  how?: string;
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  why?: string;
  /**
   * How long the step takes, in minutes.
   */
  minutes?: number;
  /**
   * Tools needed, from the catalog.
   */
  tools?: Id[];
  /**
   * Parts used, from the catalog.
   */
  parts?: Id[];
  /**
   * States that must hold before this step: on every way that leads here.
   */
  needs?: Id[];
  /**
   * States that hold after this step.
   */
  sets?: Id[];
  /**
   * States that no longer hold after this step.
   */
  clears?: Id[];
  /**
   * Hazards of this step. Those that its states, tools, parts and words raise need not be repeated.
   */
  hazards?: Id[];
  /**
   * A name for use inside the base: small letters, digits and single hyphens, such as `drain-flow`.
   */
  licence?: string;
  /**
   * A name for use inside the base: small letters, digits and single hyphens, such as `drain-flow`.
   */
  unlicensed?: string;
  /**
   * Cautions, shown before the step.
   *
   * @minItems 1
   */
  safety?: SafetyNote[];
  "only-for"?: OnlyFor;
}
/**
 * Steps by id.
 */
export interface RoutineSteps {
  [k: string]: RoutineStep;
}
/**
 * A check by the senses: the reader looks and picks an answer.
 */
export interface Look {
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  look: string;
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  how?: string;
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  why?: string;
  /**
   * How long the step takes, in minutes.
   */
  minutes?: number;
  /**
   * Tools needed, from the catalog.
   */
  tools?: Id[];
  /**
   * Parts used, from the catalog.
   */
  parts?: Id[];
  /**
   * States that must hold before this step: on every way that leads here.
   */
  needs?: Id[];
  /**
   * States that hold after this step.
   */
  sets?: Id[];
  /**
   * States that no longer hold after this step.
   */
  clears?: Id[];
  /**
   * Hazards of this step. Those that its states, tools, parts and words raise need not be repeated.
   */
  hazards?: Id[];
  /**
   * A name for use inside the base: small letters, digits and single hyphens, such as `drain-flow`.
   */
  licence?: string;
  /**
   * A name for use inside the base: small letters, digits and single hyphens, such as `drain-flow`.
   */
  unlicensed?: string;
  /**
   * Cautions, shown before the step.
   *
   * @minItems 1
   */
  safety?: SafetyNote[];
  "only-for"?: OnlyFor;
  picture?: Picture;
  /**
   * What every cause shows here unless its own `shows` says otherwise: the id of an answer, range or outcome, or a list of several. Only in a tree.
   */
  normally?: Id | IdList;
  answers: Answers;
}
/**
 * The possible answers. At least one.
 */
export interface Answers {
  [k: string]: Answer;
}
/**
 * An answer in full.
 */
export interface AnswerEntry {
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  say?: string;
  /**
   * A name for use inside the base: small letters, digits and single hyphens, such as `drain-flow`.
   */
  then?: string;
  again?: Again;
  "only-for"?: OnlyFor;
}
/**
 * A bounded repeat: the only way in which a step may lead back to an earlier one.
 */
export interface Again {
  /**
   * A name for use inside the base: small letters, digits and single hyphens, such as `drain-flow`.
   */
  step: string;
  /**
   * How often the reader may be sent back from here on one visit.
   */
  "at-most": number;
  /**
   * A name for use inside the base: small letters, digits and single hyphens, such as `drain-flow`.
   */
  else: string;
}
/**
 * A check by measuring: the reader types readings, the value is computed and compared with the ranges.
 */
export interface Measure {
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  measure: string;
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  how?: string;
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  why?: string;
  /**
   * How long the step takes, in minutes.
   */
  minutes?: number;
  /**
   * Tools needed, from the catalog.
   */
  tools?: Id[];
  /**
   * Parts used, from the catalog.
   */
  parts?: Id[];
  /**
   * States that must hold before this step: on every way that leads here.
   */
  needs?: Id[];
  /**
   * States that hold after this step.
   */
  sets?: Id[];
  /**
   * States that no longer hold after this step.
   */
  clears?: Id[];
  /**
   * Hazards of this step. Those that its states, tools, parts and words raise need not be repeated.
   */
  hazards?: Id[];
  /**
   * A name for use inside the base: small letters, digits and single hyphens, such as `drain-flow`.
   */
  licence?: string;
  /**
   * A name for use inside the base: small letters, digits and single hyphens, such as `drain-flow`.
   */
  unlicensed?: string;
  /**
   * Cautions, shown before the step.
   *
   * @minItems 1
   */
  safety?: SafetyNote[];
  "only-for"?: OnlyFor;
  picture?: Picture;
  readings?: Readings;
  value?: Value;
  /**
   * What every cause shows here unless its own `shows` says otherwise: the id of an answer, range or outcome, or a list of several. Only in a tree.
   */
  normally?: Id | IdList;
  ranges: Ranges;
}
/**
 * The numbers to type in, by name. May be left out where the value uses a formula of the catalog: then its inputs are asked for.
 */
export interface Readings {
  [k: string]: Reading;
}
/**
 * One number that the reader types in.
 */
export interface Reading {
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  ask: string;
  unit: Unit;
  /**
   * The lowest and the highest number that can be read at all, in this unit. Anything else is refused.
   *
   * @minItems 2
   * @maxItems 2
   */
  between: number[];
  /**
   * What is usual, in this unit. Anything else is asked about once.
   *
   * @minItems 2
   * @maxItems 2
   */
  typical?: number[];
}
/**
 * What is computed from the readings and compared with the ranges. Either a name with a formula and the unit of the result (`{leakage: treated ÷ raw, unit: "%"}`), or a formula of the catalog (`{use: container-flow, with: {volume: caught}}`). Needed only with more than one reading. A formula may name readings of this step, `step-id.reading` of an earlier step that every way passes, and `equipment.fact` where the fact is a number or an amount. All is computed in SI, so units need no factors. A temperature in °C or °F is a point on a scale: two may be subtracted or compared, and a difference in K, Δ°C or Δ°F may be added; nothing else.
 */
export interface Value {
  /**
   * A unit of measurement, such as L/min, gpm, psi, kPa, mg/L, °C, s, min, %, or 1 for a plain number. Hardness is in `mg/L CaCO3` or gpg, which the page turns into each other.
   */
  unit?: string;
  /**
   * A name for use inside the base: small letters, digits and single hyphens, such as `drain-flow`.
   */
  use?: string;
  /**
   * What stands for the formula's inputs: a reading, an amount, a fact or a formula over them. An input that is left out is the reading of the same name, or else asked of the reader as the formula asks it.
   */
  with?: {
    /**
     * A reading's name, an amount, `equipment.fact`, or a formula over them.
     */
    [k: string]: number | string;
  };
  [k: string]:
    | FormulaText
    | {
        /**
         * A reading's name, an amount, `equipment.fact`, or a formula over them.
         */
        [k: string]: number | string;
      }
    | undefined;
}
/**
 * What the value means and where it leads. The ranges may neither overlap nor leave a gap.
 */
export interface Ranges {
  [k: string]: Range;
}
/**
 * One range of the measured value and where it leads.
 */
export interface Range {
  /**
   * The lowest value of this range; it belongs to the range. Left out, everything below the upper end.
   */
  from?: number | string;
  /**
   * The end of this range; it does not belong to it. Left out, everything from the lower end up.
   */
  below?: number | string;
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  say?: string;
  /**
   * A name for use inside the base: small letters, digits and single hyphens, such as `drain-flow`.
   */
  then?: string;
  again?: Again;
  "only-for"?: OnlyFor;
}
/**
 * Something to do.
 */
export interface Do {
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  do: string;
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  how?: string;
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  why?: string;
  /**
   * How long the step takes, in minutes.
   */
  minutes?: number;
  /**
   * Tools needed, from the catalog.
   */
  tools?: Id[];
  /**
   * Parts used, from the catalog.
   */
  parts?: Id[];
  /**
   * States that must hold before this step: on every way that leads here.
   */
  needs?: Id[];
  /**
   * States that hold after this step.
   */
  sets?: Id[];
  /**
   * States that no longer hold after this step.
   */
  clears?: Id[];
  /**
   * Hazards of this step. Those that its states, tools, parts and words raise need not be repeated.
   */
  hazards?: Id[];
  /**
   * A name for use inside the base: small letters, digits and single hyphens, such as `drain-flow`.
   */
  licence?: string;
  /**
   * A name for use inside the base: small letters, digits and single hyphens, such as `drain-flow`.
   */
  unlicensed?: string;
  /**
   * Cautions, shown before the step.
   *
   * @minItems 1
   */
  safety?: SafetyNote[];
  "only-for"?: OnlyFor;
  picture?: Picture;
  /**
   * A name for use inside the base: small letters, digits and single hyphens, such as `drain-flow`.
   */
  then?: string;
  again?: Again;
}
/**
 * A branch decided from the facts of the equipment.
 */
export interface Sort {
  /**
   * The equipment fact that decides, such as equipment.drive. The reader is not asked.
   */
  sort: string;
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  why?: string;
  "only-for"?: OnlyFor;
  /**
   * The values of the fact and the steps they lead to.
   */
  cases: {
    [k: string]: Id;
  };
  /**
   * A name for use inside the base: small letters, digits and single hyphens, such as `drain-flow`.
   */
  else?: string;
}
/**
 * Go through a routine and come back with one of its outcomes.
 */
export interface Use {
  /**
   * A name for use inside the base: small letters, digits and single hyphens, such as `drain-flow`.
   */
  use: string;
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  how?: string;
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  why?: string;
  /**
   * How long the step takes, in minutes.
   */
  minutes?: number;
  /**
   * Tools needed, from the catalog.
   */
  tools?: Id[];
  /**
   * Parts used, from the catalog.
   */
  parts?: Id[];
  /**
   * States that must hold before this step: on every way that leads here.
   */
  needs?: Id[];
  /**
   * States that hold after this step.
   */
  sets?: Id[];
  /**
   * States that no longer hold after this step.
   */
  clears?: Id[];
  /**
   * Hazards of this step. Those that its states, tools, parts and words raise need not be repeated.
   */
  hazards?: Id[];
  /**
   * A name for use inside the base: small letters, digits and single hyphens, such as `drain-flow`.
   */
  licence?: string;
  /**
   * A name for use inside the base: small letters, digits and single hyphens, such as `drain-flow`.
   */
  unlicensed?: string;
  /**
   * Cautions, shown before the step.
   *
   * @minItems 1
   */
  safety?: SafetyNote[];
  "only-for"?: OnlyFor;
  /**
   * What every cause shows here unless its own `shows` says otherwise: the id of an answer, range or outcome, or a list of several. Only in a tree.
   */
  normally?: Id | IdList;
  /**
   * Where each outcome of the routine leads.
   */
  outcomes?: {
    [k: string]: Answer;
  };
  /**
   * A name for use inside the base: small letters, digits and single hyphens, such as `drain-flow`.
   */
  then?: string;
  again?: Again;
}
/**
 * An end without a repair.
 */
export interface Stop {
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  stop: string;
  /**
   * normal: nothing is wrong. elsewhere: the cause is not in this equipment. hand-over: somebody else must go on.
   */
  kind: "normal" | "elsewhere" | "hand-over";
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  how?: string;
  /**
   * A name for use inside the base: small letters, digits and single hyphens, such as `drain-flow`.
   */
  call?: string;
  /**
   * Hazards of this step. Those that its states, tools, parts and words raise need not be repeated.
   */
  hazards?: Id[];
  /**
   * Cautions that stay true at this end.
   *
   * @minItems 1
   */
  safety?: SafetyNote[];
  "only-for"?: OnlyFor;
  leaves?: Leaves;
  picture?: Picture;
}
/**
 * States that stay on after this end, each with its reason and what the customer was told.
 */
export interface Leaves {
  [k: string]: Text;
}
/**
 * The procedure for one symptom, from the complaint to a cause, a normal condition or a hand-over.
 */
export interface Tree {
  format: Format;
  /**
   * A name for use inside the base: small letters, digits and single hyphens, such as `drain-flow`.
   */
  tree: string;
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  title: string;
  /**
   * A name for use inside the base: small letters, digits and single hyphens, such as `drain-flow`.
   */
  symptom: string;
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  summary?: string;
  /**
   * The equipment families this tree is written for. It is checked once for each.
   *
   * @minItems 1
   */
  serves: Id[];
  reviewed: Reviewed;
  /**
   * A name for use inside the base: small letters, digits and single hyphens, such as `drain-flow`.
   */
  start: string;
  /**
   * Cautions that hold for the whole tree, shown at its beginning.
   *
   * @minItems 1
   */
  safety?: SafetyNote[];
  /**
   * The causes this tree can tell apart. Each is followed through the tree, for every kind of equipment.
   */
  causes?: {
    /**
     * A cause as this tree sees it.
     */
    [k: string]: {
      /**
       * How often this cause is the one, relative to the others of this tree.
       */
      likelihood: number;
      /**
       * What this cause shows at each check: the id of the answer, range or outcome (or several). At a check that is not named it shows what the check shows `normally`, else it may show anything.
       */
      shows?: {
        [k: string]: Shown;
      };
      "only-for"?: OnlyFor;
      /**
       * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
       */
      basis?: string;
    };
  };
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  "keep-order"?: string;
  /**
   * The steps, by id. Their order in the file is the order on paper.
   */
  steps: {
    [k: string]: Step;
  };
  accept?: Accept;
}
/**
 * The cause is found: remedy and proof.
 */
export interface Found {
  /**
   * A name for use inside the base: small letters, digits and single hyphens, such as `drain-flow`.
   */
  found: string;
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  say?: string;
  "only-for"?: OnlyFor;
  /**
   * Parts for the remedy, from the catalog.
   */
  parts?: Id[];
  /**
   * Tools for the remedy, from the catalog.
   */
  tools?: Id[];
  remedy?: Remedy;
  prove?: Prove;
  /**
   * A name for use inside the base: small letters, digits and single hyphens, such as `drain-flow`.
   */
  then?: string;
  leaves?: Leaves;
  picture?: Picture;
}
/**
 * A proof by looking.
 */
export interface ProveLook {
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  look: string;
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  how?: string;
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  why?: string;
  /**
   * How long the step takes, in minutes.
   */
  minutes?: number;
  /**
   * Tools needed, from the catalog.
   */
  tools?: Id[];
  /**
   * Parts used, from the catalog.
   */
  parts?: Id[];
  /**
   * States that must hold before this step: on every way that leads here.
   */
  needs?: Id[];
  /**
   * States that hold after this step.
   */
  sets?: Id[];
  /**
   * States that no longer hold after this step.
   */
  clears?: Id[];
  /**
   * Hazards of this step. Those that its states, tools, parts and words raise need not be repeated.
   */
  hazards?: Id[];
  /**
   * Cautions, shown before the step.
   *
   * @minItems 1
   */
  safety?: SafetyNote[];
  picture?: Picture;
  /**
   * Where `yes, it is gone` leads: normally `done`.
   */
  fixed: Id | ProveEntry;
  /**
   * Where `no` leads: on to the next cause, or to a hand-over.
   */
  "not-fixed": Id | ProveEntry;
}
/**
 * Where a proof leads, in full.
 */
export interface ProveEntry {
  /**
   * A name for use inside the base: small letters, digits and single hyphens, such as `drain-flow`.
   */
  then?: string;
  again?: Again;
}
/**
 * A proof by measuring; a range may lead to `done`.
 */
export interface ProveMeasure {
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  measure: string;
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  how?: string;
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  why?: string;
  /**
   * How long the step takes, in minutes.
   */
  minutes?: number;
  /**
   * Tools needed, from the catalog.
   */
  tools?: Id[];
  /**
   * Parts used, from the catalog.
   */
  parts?: Id[];
  /**
   * States that must hold before this step: on every way that leads here.
   */
  needs?: Id[];
  /**
   * States that hold after this step.
   */
  sets?: Id[];
  /**
   * States that no longer hold after this step.
   */
  clears?: Id[];
  /**
   * Hazards of this step. Those that its states, tools, parts and words raise need not be repeated.
   */
  hazards?: Id[];
  /**
   * Cautions, shown before the step.
   *
   * @minItems 1
   */
  safety?: SafetyNote[];
  picture?: Picture;
  readings?: Readings1;
  value?: Value;
  ranges: Ranges;
}
/**
 * The numbers to type in, by name. May be left out where the value uses a formula of the catalog: then its inputs are asked for.
 */
export interface Readings1 {
  [k: string]: Reading;
}
/**
 * An invented visit with a known fault: what the customer says, and what each check would show. The compiler walks it through its tree.
 */
export interface TrainingCase {
  format: Format;
  /**
   * A name for use inside the base: small letters, digits and single hyphens, such as `drain-flow`.
   */
  case: string;
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  title: string;
  /**
   * A name for use inside the base: small letters, digits and single hyphens, such as `drain-flow`.
   */
  tree: string;
  /**
   * A name for use inside the base: small letters, digits and single hyphens, such as `drain-flow`.
   */
  family: string;
  /**
   * True where the symptom misleads, nothing is broken, or there are two faults.
   */
  tricky?: boolean;
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  told: string;
  /**
   * The causes that are really there, in the order in which the tree must name them. None where the tree must end at a stop.
   */
  hidden: Id[];
  /**
   * A name for use inside the base: small letters, digits and single hyphens, such as `drain-flow`.
   */
  ends?: string;
  shows: Shows;
  /**
   * By a cause: what checks show from its repair on, where that differs.
   */
  after?: {
    [k: string]: Shows1;
  };
  /**
   * What is read off at a measurement: each with its unit. They must lie in the range that is shown.
   */
  readings?: {
    [k: string]: {
      [k: string]: Amount;
    };
  };
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  "good-run": string;
  /**
   * Words for the reader. CommonMark is understood (emphasis, lists, `code`, links); raw HTML is refused.
   */
  "watch-for": string;
  accept?: Accept;
}
/**
 * What each check shows: the id of the answer, range or outcome; a list where the check is made again and shows something else.
 */
export interface Shows {
  [k: string]: Id | IdList;
}
export interface Shows1 {
  [k: string]: Id | IdList;
}
/**
 * Texts of the base in another language. A text that stands in several places is translated once.
 */
export interface Translation {
  format: Format;
  /**
   * A language as BCP 47 writes it: two or three small letters, and a country where that matters.
   */
  language: string;
  /**
   * By the text exactly as it stands in the base: what it is in this language. An answer without words of its own is known by its id as words, such as Not fixed.
   */
  texts: {
    [k: string]: Text;
  };
  accept?: Accept;
}
