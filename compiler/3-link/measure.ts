/** Readings, value and ranges of a measurement, in one unit. */
import type { Ends, FactUse, Formula, GivenInput, ReadInput, Reading, Value, Written } from "../model/base.ts";
import type * as F from "../model/format.ts";
import { type Expression, substitute } from "../model/formula.ts";
import type { Place } from "../model/source.ts";
import { readAmount, toSi, type Unit, unitOf } from "../model/units.ts";
import { nearest } from "../words/nearest.ts";
import { linkAmount, linkUnit } from "./amount.ts";
import { linkBounds } from "./formula/catalog.ts";
import { kindOf } from "./formula/check.ts";
import { fitsUnit, type LinkedFormula, type Lookup, linkFormulaText, nameHint } from "./formula/link.ts";
import type { Linker } from "./linker.ts";

export interface LinkedMeasure {
  readonly readings: readonly Reading[];
  /** Undefined when a unit or the formula is at fault; complaints say why. */
  readonly value: Value | undefined;
  /** By range id, in the value's unit: from included, below not, infinite where left out. */
  readonly ranges: ReadonlyMap<string, LinkedRange> | undefined;
}
type LinkedRange =
  | { readonly range: { readonly from: number; readonly below: number }; readonly ends: undefined }
  | { readonly range: undefined; readonly ends: Ends };

type Data = F.Measure | F.ProveMeasure;
type Asked = Pick<F.Reading, "ask" | "unit" | "between" | "typical">;

/** What a measurement may name beside its own readings. */
export interface Surroundings {
  /** The id of the measurement itself. */
  readonly id: string;
  /** Families whose facts its formulas may use. */
  readonly families: readonly string[];
  /** The data of every step of the procedure, by id. */
  readonly steps: Readonly<Record<string, object>>;
}

export function linkMeasure(linker: Linker, data: Data, around: Surroundings): LinkedMeasure {
  const asked = readingsAsked(linker, data);
  let isKnown = true;
  const readings = [...asked].map(([id, reading]): Reading => {
    const isOwn = Object.hasOwn(data.readings ?? {}, id);
    if (isOwn && !linkUnit(linker, reading.unit, linker.valueAt(reading, "unit"))) isKnown = false;
    const between = isOwn ? linkBounds(linker, reading, "between", id) : (reading.between as [number, number]);
    const typical = reading.typical && linkBounds(linker, reading, "typical", id);
    return { id, ask: reading.ask, unit: reading.unit, between: between ?? [0, 0], typical };
  });
  if (!isKnown) return { readings, value: undefined, ranges: undefined };
  const value = new ValueLinker(linker, data, readings, around).link();
  const unit = value && unitOf(value.unit);
  return { readings, value, ranges: unit && linkRanges(linker, data, unit, around.families) };
}

/** The readings as they are declared, and behind them those inputs of a catalog formula that nothing else is given for. */
function readingsAsked(linker: Linker, data: Data): ReadonlyMap<string, Asked> {
  const asked = new Map<string, Asked>(Object.entries(data.readings ?? {}));
  const formula = data.value?.use === undefined ? undefined : linker.names.formulas.get(data.value.use);
  for (const { name, ask, unit, between, typical } of formula?.inputs.values() ?? [])
    if (!asked.has(name) && !Object.hasOwn(data.value?.with ?? {}, name))
      asked.set(name, { ask, unit, between: [...between], ...(typical ? { typical: [...typical] } : {}) });
  return asked;
}

class ValueLinker {
  readonly #linker: Linker;
  readonly #data: Data;
  readonly #readings: readonly Reading[];
  readonly #around: Surroundings;
  readonly #inputs = new Map<string, ReadInput>();

  constructor(linker: Linker, data: Data, readings: readonly Reading[], around: Surroundings) {
    this.#linker = linker;
    this.#data = data;
    this.#readings = readings;
    this.#around = around;
  }

  link(): Value | undefined {
    const { value } = this.#data;
    if (value?.use !== undefined) return this.#byFormula(value, value.use);
    const at = this.#linker.keyAt(this.#data, "readings");
    if (value) return this.#byExpression(value);
    const [first, second] = this.#readings;
    if (!first) {
      this.#linker.complain({
        rule: "invalid-shape",
        at: this.#linker.valueAt(this.#data, "measure"),
        message: "this measurement has no readings",
        hint: "add `readings:`, such as `readings: {inlet: {ask: Inlet gauge, unit: psi, between: [0, 120]}}`, or `value: {use: ...}` with a formula that asks for its inputs",
        about: this.#around.id,
      });
      return undefined;
    }
    if (second) {
      this.#linker.complain({
        rule: "invalid-formula",
        at,
        message: "with more than one reading, the ranges need to know what is computed",
        hint: "add `value: {name: a / b, unit: ...}`",
      });
      return undefined;
    }
    const { id, unit, between, typical } = first;
    return {
      name: id,
      unit,
      at,
      expression: { kind: "input", name: id },
      inputs: new Map([[id, { unit, between, typical, step: undefined, at }]]),
      facts: [],
      written: [{ input: id }],
      use: undefined,
    };
  }

  #byExpression(value: F.Value): Value | undefined {
    const linker = this.#linker;
    const { unit: symbol, with: given, ...named } = value;
    if (given !== undefined)
      linker.complain({
        rule: "invalid-shape",
        at: linker.keyAt(value, "with"),
        message: "`with` has no meaning without `use`",
        hint: "add `use:` with a formula of the catalog, or delete it",
      });
    const [name, second] = Object.keys(named);
    if (name === undefined || second !== undefined || symbol === undefined) {
      linker.complain({
        rule: "invalid-shape",
        at: second === undefined ? linker.keyAt(this.#data, "value") : linker.keyAt(value, second),
        message:
          symbol === undefined
            ? "`value` lacks `unit`"
            : second === undefined
              ? "`value` lacks a name with a formula"
              : "`value` can compute one thing only",
        hint: "write `value: {flow: caught / time, unit: L/min}`, or `value: {use: ...}` with a formula of the catalog",
      });
      return undefined;
    }
    const unit = linkUnit(linker, symbol, linker.valueAt(value, "unit"));
    const text = String(named[name]);
    const at = linker.valueAt(value, name);
    const formula = unit && this.#read(text, at);
    if (!formula || !fitsUnit(linker, formula, text, at, unit)) return undefined;
    const { expression, facts, written } = formula;
    return { name, unit: symbol, at, expression, inputs: this.#inputs, facts, written, use: undefined };
  }

  #byFormula(value: F.Value, id: string): Value | undefined {
    const linker = this.#linker;
    const at = linker.valueAt(value, "use");
    const { unit: symbol, use: _, with: given = {}, ...named } = value;
    for (const name of Object.keys(named))
      linker.complain({
        rule: "invalid-shape",
        at: linker.keyAt(value, name),
        message: `\`${name}\` stands beside \`use\`; the result has the formula's own name`,
        hint: "keep one of the two",
      });
    if (!linker.ref("formulas", id, at) || Object.keys(named).length > 0) return undefined;
    const formula = linker.names.formulas.get(id);
    const unit = symbol === undefined ? undefined : linkUnit(linker, symbol, linker.valueAt(value, "unit"));
    if (!formula || (symbol !== undefined && !unit)) return undefined;
    this.#unusedReadings(formula, given);
    const bound = this.#bind(formula, given);
    const own = unitOf(formula.unit);
    if (!bound || !own) return undefined;
    const expression = substitute(formula.expression, (name) => bound.get(name)?.expression);
    if (unit && !fitsUnit(linker, { expression, kind: kindOf(own) }, formula.name, linker.valueAt(value, "unit"), unit))
      return undefined;
    return {
      name: formula.name,
      unit: unit?.symbol ?? formula.unit,
      at,
      expression: placed(expression, at),
      inputs: this.#inputs,
      facts: [...bound.values()].flatMap(({ facts }) => facts),
      written: formula.written.flatMap((part): Written => {
        if (typeof part === "string") return [part];
        const by = bound.get(part.input)?.written ?? [part];
        return by.length > 1 ? ["(", ...by, ")"] : by;
      }),
      use: {
        formula: id,
        given: [...bound].flatMap(([name, one]): GivenInput[] => {
          const input = formula.inputs.get(name);
          return input ? [{ input, expression: one.expression, at: one.at }] : [];
        }),
      },
    };
  }

  /** A declared reading that the formula has no use for is most likely a misspelt input. */
  #unusedReadings(formula: Formula, given: Readonly<Record<string, number | string>>): void {
    const linker = this.#linker;
    const inWith = Object.values(given).join(" ");
    for (const id of Object.keys(this.#data.readings ?? {})) {
      if (formula.inputs.has(id) && !Object.hasOwn(given, id)) continue;
      if (new RegExp(`(?<![\\w.-])${id}(?![\\w-])`).test(inWith)) continue;
      const near = nearest(id, formula.inputs.keys());
      linker.complain({
        rule: "invalid-formula",
        at: linker.keyAt(this.#data.readings ?? {}, id),
        message: `the formula \`${formula.id}\` has no use for the reading \`${id}\``,
        hint: near
          ? `\`${near}\` may be meant`
          : `say by \`with\` which input it is: ${[...formula.inputs.keys()].map((name) => `\`${name}\``).join(", ")}`,
        about: this.#around.id,
      });
    }
  }

  /** What stands for each input; undefined after a complaint. */
  #bind(
    formula: Formula,
    given: Readonly<Record<string, number | string>>,
  ): ReadonlyMap<string, Omit<LinkedFormula, "kind"> & { readonly at: Place }> | undefined {
    const linker = this.#linker;
    const bound = new Map<string, LinkedFormula & { at: Place }>();
    let isKnown = true;
    for (const name of Object.keys(given))
      if (!formula.inputs.has(name)) {
        linker.complain({
          rule: "invalid-formula",
          at: linker.keyAt(given, name),
          message: `the formula \`${formula.id}\` has no input \`${name}\``,
          hint: nameHint(name, [...formula.inputs.keys()]),
        });
        isKnown = false;
      }
    for (const { name, unit } of formula.inputs.values()) {
      const inputUnit = unitOf(unit);
      if (!inputUnit) return undefined;
      const isGiven = Object.hasOwn(given, name);
      const by = isGiven ? (given[name] ?? name) : name;
      const at = isGiven
        ? linker.valueAt(given, name)
        : Object.hasOwn(this.#data.readings ?? {}, name)
          ? linker.keyAt(this.#data.readings ?? {}, name)
          : linker.valueAt(this.#data.value ?? {}, "use");
      const one = this.#given(by, at, inputUnit);
      if (one) bound.set(name, { ...one, at });
      else isKnown = false;
    }
    return isKnown ? bound : undefined;
  }

  #given(by: number | string, at: Place, unit: Unit): LinkedFormula | undefined {
    const amount = typeof by === "number" ? { number: by, symbol: "" } : readAmount(by);
    if (amount && (amount.symbol === "" || unitOf(amount.symbol))) {
      const number = linkAmount(this.#linker, by, at, unit);
      if (number === undefined) return undefined;
      const shown = `${amount.number} ${amount.symbol || unit.symbol}`.replace("-", "−").replace(/ 1$/, "");
      return {
        expression: { kind: "number", value: toSi(number, unit) },
        kind: kindOf(unit),
        written: [shown],
        facts: [],
      };
    }
    const formula = this.#read(String(by), at);
    return formula && fitsUnit(this.#linker, formula, String(by), at, unit) ? formula : undefined;
  }

  #read(text: string, at: Place): LinkedFormula | undefined {
    return linkFormulaText(this.#linker, text, at, this.#lookUp, this.#around.families);
  }

  readonly #lookUp: Lookup = (name, at) => {
    const own = this.#readings.find(({ id }) => id === name);
    if (own) {
      const { unit, between, typical } = own;
      return this.#input(name, { unit, between, typical, step: undefined, at });
    }
    const [step = "", reading] = name.split(".");
    const known = this.#readings.map(({ id }) => id);
    if (reading === undefined)
      return {
        message: `the formula speaks of \`${name}\`, which is no reading of this step`,
        hint: nameHint(name, known),
      };
    return this.#earlier(step, reading, at);
  };

  #earlier(step: string, reading: string, at: Place): ReturnType<Lookup> {
    const { id, steps } = this.#around;
    const data = Object.hasOwn(steps, step) ? (steps[step] as Partial<Data>) : undefined;
    if (!data || step === id || !("measure" in data)) {
      const measured = Object.keys(steps).filter((one) => one !== id && "measure" in (steps[one] ?? {}));
      const near = nearest(step, measured);
      return {
        message:
          step === id
            ? `\`${step}\` is this step itself`
            : data
              ? `\`${step}\` measures nothing, so it has no reading \`${reading}\``
              : `there is no step \`${step}\` to have a reading \`${reading}\``,
        hint:
          step === id
            ? `name the reading alone: \`${reading}\``
            : near
              ? `\`${near}\` may be meant`
              : "name an earlier measurement",
      };
    }
    const asked = readingsAsked(this.#linker, data as Data);
    const found = asked.get(reading);
    if (!found)
      return {
        message: `\`${step}\` has no reading \`${reading}\``,
        hint: nameHint(reading, [...asked.keys()]),
      };
    const [low = 0, high = 0] = found.between;
    return this.#input(`${step}.${reading}`, { unit: found.unit, between: [low, high], typical: undefined, step, at });
  }

  #input(name: string, input: ReadInput): ReturnType<Lookup> {
    const unit = unitOf(input.unit);
    if (!unit)
      return { message: `the unit of \`${name}\` is not known`, hint: "correct the unit of that reading first" };
    if (!this.#inputs.has(name)) this.#inputs.set(name, input);
    return { kind: kindOf(unit), expression: { kind: "input", name } };
  }
}

/** All of a formula of the catalog happens, for a tree, where the tree uses it. */
function placed(expression: Expression, at: Place): Expression {
  return expression.kind === "operation"
    ? { ...expression, at, operands: expression.operands.map((operand) => placed(operand, at)) }
    : expression;
}

function linkRanges(
  linker: Linker,
  data: Data,
  unit: Unit,
  families: readonly string[],
): ReadonlyMap<string, LinkedRange> | undefined {
  const ranges = new Map<string, LinkedRange>();
  let isKnown = true;
  for (const [id, range] of Object.entries(data.ranges as Readonly<Record<string, F.Range>>)) {
    const from = linkEnd(linker, range, "from", unit, families);
    const below = linkEnd(linker, range, "below", unit, families);
    if (!from || !below) {
      isKnown = false;
      continue;
    }
    const facts: readonly FactUse[] = [...from.facts, ...below.facts];
    if (facts.length > 0)
      ranges.set(id, {
        range: undefined,
        ends: { from: from.end, below: below.end, unit: unit.symbol, facts },
      });
    else
      ranges.set(id, {
        range: { from: from.number ?? Number.NEGATIVE_INFINITY, below: below.number ?? Number.POSITIVE_INFINITY },
        ends: undefined,
      });
  }
  return isKnown ? ranges : undefined;
}

/** An end as a number in the value's unit and as an expression in SI; both undefined where it is left out. */
function linkEnd(
  linker: Linker,
  range: F.Range,
  key: "from" | "below",
  unit: Unit,
  families: readonly string[],
): { number: number | undefined; end: Expression | undefined; facts: readonly FactUse[] } | undefined {
  const given = range[key];
  if (given === undefined) return { number: undefined, end: undefined, facts: [] };
  const at = linker.valueAt(range, key);
  if (typeof given === "string" && given.includes("equipment.")) {
    const lookup: Lookup = (name) => ({
      message: `the end of a range can't depend on \`${name}\``,
      hint: "use facts of the equipment and numbers alone; what is read belongs into `value`",
    });
    const formula = linkFormulaText(linker, given, at, lookup, families);
    if (!formula || !fitsUnit(linker, formula, given, at, unit)) return undefined;
    return { number: undefined, end: formula.expression, facts: formula.facts };
  }
  const number = linkAmount(linker, given, at, unit);
  return number === undefined ? undefined : { number, end: { kind: "number", value: toSi(number, unit) }, facts: [] };
}
