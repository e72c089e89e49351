/** The formulas of the catalog, each read against its own inputs and constants. */
import type { Entry, Formula, FormulaExample, FormulaInput } from "../../model/base.ts";
import type * as F from "../../model/format.ts";
import { inputsOf } from "../../model/formula.ts";
import type { Place } from "../../model/source.ts";
import { readAmount, toSi, unitOf } from "../../model/units.ts";
import { nearest } from "../../words/nearest.ts";
import { linkAmount, linkUnit } from "../amount.ts";
import type { Linker } from "../linker.ts";
import { kindOf } from "./check.ts";
import { fitsUnit, linkFormulaText, type Named, nameHint } from "./link.ts";

/** In the place of a source: what everybody in the trade does and nobody has printed. */
const COMMON_PRACTICE = "common practice, no published source";

/** @returns undefined after a complaint about anything that the formula can't be computed without. */
export function linkCatalogFormula(linker: Linker, { id, at, entry }: Entry<"formulas">): Formula | undefined {
  const inputs = linkInputs(linker, entry);
  const constants = linkConstants(linker, entry);
  linkSource(linker, entry.source, linker.valueAt(entry, "source"));
  const { unit: symbol, ...named } = entry.gives as { unit: string; [name: string]: string };
  const unit = linkUnit(linker, symbol, linker.valueAt(entry.gives, "unit"));
  const [name, text = ""] = Object.entries(named)[0] ?? [];
  if (name === undefined) {
    linker.complain({
      rule: "invalid-formula",
      at: linker.keyAt(entry, "gives"),
      message: `the formula \`${id}\` does not say what it gives`,
      hint: "add the result's name and its expression: `gives: {flow: volume / time, unit: L/min}`",
      about: id,
    });
    return undefined;
  }
  if (!inputs || !constants || !unit) return undefined;
  const textAt = linker.valueAt(entry.gives, name);
  const names = new Map<string, Named>(constants);
  for (const input of inputs.values()) {
    const inputUnit = unitOf(input.unit);
    if (inputUnit) names.set(input.name, { kind: kindOf(inputUnit), expression: { kind: "input", name: input.name } });
  }
  const used = new Set<string>();
  const formula = linkFormulaText(
    linker,
    text,
    textAt,
    (one) => {
      used.add(one);
      return (
        names.get(one) ?? {
          message: `the formula speaks of \`${one}\`, which is none of its inputs and constants`,
          hint: nameHint(one, [...names.keys()]),
        }
      );
    },
    undefined,
  );
  if (!formula || !fitsUnit(linker, formula, text, textAt, unit)) return undefined;
  for (const one of names.keys())
    if (!used.has(one)) {
      const isInput = inputs.has(one);
      linker.complain({
        rule: "invalid-formula",
        at: linker.keyAt(isInput ? entry.inputs : (entry.constants ?? {}), one),
        message: `the formula \`${id}\` never uses its ${isInput ? "input" : "constant"} \`${one}\``,
        hint: `use it in \`gives\`, or delete it`,
        about: id,
      });
    }
  const examples = entry.examples.flatMap((example) => linkExample(linker, example, inputs, unit) ?? []);
  return {
    id,
    at,
    inputs: new Map([...inputs].filter(([one]) => inputsOf(formula.expression).includes(one))),
    name,
    unit: unit.symbol,
    expression: formula.expression,
    written: formula.written,
    examples,
  };
}

function linkInputs(linker: Linker, entry: F.Formula): ReadonlyMap<string, FormulaInput> | undefined {
  const inputs = new Map<string, FormulaInput>();
  let isKnown = true;
  for (const [name, input] of Object.entries(entry.inputs as Readonly<Record<string, F.FormulaInput>>)) {
    if (!linkUnit(linker, input.unit, linker.valueAt(input, "unit"))) isKnown = false;
    const between = linkBounds(linker, input, "between", name);
    if (!between) isKnown = false;
    inputs.set(name, {
      name,
      at: linker.keyAt(entry.inputs, name),
      ask: input.ask,
      unit: input.unit,
      between: between ?? [0, 0],
      typical: input.typical && linkBounds(linker, input, "typical", name),
    });
  }
  return isKnown ? inputs : undefined;
}

/** Two numbers, the lower first; else a complaint. */
export function linkBounds(
  linker: Linker,
  data: { between: number[]; typical?: number[] },
  key: "between" | "typical",
  about: string,
): readonly [number, number] | undefined {
  const [low = 0, high = 0] = data[key] ?? [];
  if (low < high) return [low, high];
  linker.complain({
    rule: "range-gap",
    at: linker.valueAt(data, key),
    message: `nothing can be read between ${low} and ${high}`,
    hint: "give the lowest number first, then the highest",
    about,
  });
  return undefined;
}

function linkConstants(linker: Linker, entry: F.Formula): ReadonlyMap<string, Named> | undefined {
  const constants = new Map<string, Named>();
  let isKnown = true;
  for (const [name, constant] of Object.entries(entry.constants ?? {})) {
    const isShort = typeof constant !== "object";
    const amount = isShort ? constant : constant.value;
    const at = isShort ? linker.valueAt(entry.constants ?? {}, name) : linker.valueAt(constant, "value");
    if (!isShort && constant.source !== undefined)
      linkSource(linker, constant.source, linker.valueAt(constant, "source"));
    const read = typeof amount === "number" ? { number: amount, symbol: "1" } : readAmount(amount);
    const unit = read && linkUnit(linker, read.symbol || "1", at);
    if (!read || !unit) {
      isKnown = false;
      continue;
    }
    constants.set(name, {
      kind: kindOf(unit),
      expression: { kind: "number", value: toSi(read.number, unit) },
      shown: String(amount).replace("-", "−"),
    });
  }
  return isKnown ? constants : undefined;
}

/** A source of the catalog by its id, or words. Something that is written like an id is meant as one. */
function linkSource(linker: Linker, source: string, at: Place): void {
  if (source !== COMMON_PRACTICE && /^[a-z0-9]+(-[a-z0-9]+)*$/.test(source)) linker.ref("sources", source, at);
}

function linkExample(
  linker: Linker,
  example: F.FormulaExample,
  inputs: ReadonlyMap<string, FormulaInput>,
  unit: { symbol: string; factor: number },
): FormulaExample | undefined {
  linkSource(linker, example.source, linker.valueAt(example, "source"));
  const given = new Map<string, number>();
  let isKnown = true;
  for (const [name, amount] of Object.entries(example.given as Readonly<Record<string, number | string>>)) {
    const input = inputs.get(name);
    const inputUnit = input && unitOf(input.unit);
    if (!inputUnit) {
      const near = nearest(name, inputs.keys());
      linker.complain({
        rule: "example-fails",
        at: linker.keyAt(example.given, name),
        message: `the example gives \`${name}\`, which is no input of the formula`,
        hint: near
          ? `\`${near}\` may be meant`
          : `its inputs are ${[...inputs.keys()].map((one) => `\`${one}\``).join(", ")}`,
      });
      isKnown = false;
      continue;
    }
    const number = linkAmount(linker, amount, linker.valueAt(example.given, name), inputUnit);
    if (number === undefined) isKnown = false;
    else given.set(name, number);
  }
  const lacking = [...inputs.keys()].filter((name) => !(name in example.given));
  if (lacking.length > 0 && isKnown) {
    linker.complain({
      rule: "example-fails",
      at: linker.keyAt(example, "given"),
      message: `the example does not give ${lacking.map((name) => `\`${name}\``).join(", ")}`,
      hint: "give an amount for every input",
    });
    isKnown = false;
  }
  const resultUnit = unitOf(unit.symbol);
  const gives = resultUnit && linkAmount(linker, example.gives, linker.valueAt(example, "gives"), resultUnit);
  const within = gives === undefined ? undefined : linkTolerance(linker, example, gives, unit);
  return isKnown && gives !== undefined && within !== undefined
    ? { at: linker.valueAt(example, "gives"), givenAt: linker.keyAt(example, "given"), given, gives, within }
    : undefined;
}

/** A share of the expected value in %, or an amount in the result's unit or one that can be turned into it. */
function linkTolerance(
  linker: Linker,
  example: F.FormulaExample,
  gives: number,
  unit: { symbol: string; factor: number },
): number | undefined {
  const { within } = example;
  if (typeof within === "number") return within;
  const amount = readAmount(within);
  if (amount?.symbol === "%") return (amount.number / 100) * Math.abs(gives);
  const own = unitOf(unit.symbol);
  const at = linker.valueAt(example, "within");
  const given = amount && (amount.symbol === "" ? own : linkUnit(linker, amount.symbol, at));
  if (!amount || !given || !own) return undefined;
  if (linkAmount(linker, within, at, own) === undefined) return undefined;
  // A tolerance is a difference, so the zero of a temperature scale has no part in it.
  return (amount.number * given.factor) / own.factor;
}
