/** What the formulas of trees and of the catalog have in common: text, names and place to an expression. */
import type { FactUse, Written } from "../../model/base.ts";
import type { Expression } from "../../model/formula.ts";
import type { Place } from "../../model/source.ts";
import { factAmount, sameDimension, type Unit, unitOf } from "../../model/units.ts";
import { nearest } from "../../words/nearest.ts";
import type { Linker } from "../linker.ts";
import { type Checked, checkFormula, conversion, type Kind, kindOf, kindWords } from "./check.ts";
import { noUnits, readFormula } from "./syntax.ts";

/** A name that a formula may use. */
export interface Named {
  readonly kind: Kind;
  readonly expression: Expression;
  /** How it is shown where the formula is shown; the input's name when left out. */
  readonly shown?: string;
}

export interface LinkedFormula extends Checked {
  readonly written: Written;
  readonly facts: readonly FactUse[];
}

/** What a name stands for, or why it stands for nothing: the finding's message and hint. */
export type Lookup = (name: string, at: Place) => Named | { readonly message: string; readonly hint: string };

/**
 * @param at Where the text stands.
 * @param families Those whose facts the formula may use; undefined where there is no equipment to ask.
 * @returns undefined after a complaint.
 */
export function linkFormulaText(
  linker: Linker,
  text: string,
  at: Place,
  lookup: Lookup,
  families: readonly string[] | undefined,
): LinkedFormula | undefined {
  const syntax = readFormula(text);
  if ("fault" in syntax) {
    const { message, hint } = syntax.fault;
    linker.complain({ rule: "invalid-formula", at: linker.partOf(at, text, syntax.fault), message, hint });
    return undefined;
  }
  const facts: FactUse[] = [];
  const written: (string | { input: string })[] = [];
  let told = 0;
  const checked = checkFormula(syntax, text, {
    placeOf: (extent) => linker.partOf(at, text, extent),
    tell: ({ rule, message, hint, ...extent }) =>
      linker.complain({ rule, at: linker.partOf(at, text, extent), message, hint }),
    named: (name, extent) => {
      const place = linker.partOf(at, text, extent);
      const fact = families && /^equipment\.(.+)$/.exec(name)?.[1];
      const named = fact === undefined ? lookup(name, place) : lookUpFact(linker, fact, families ?? [], place);
      if (!named) return undefined;
      if ("message" in named) {
        linker.complain({ rule: "invalid-formula", at: place, ...named });
        return undefined;
      }
      if (fact !== undefined) facts.push({ fact, at: place });
      written.push(signs(text.slice(told, extent.start)), named.shown ?? { input: name });
      told = extent.end;
      return { kind: named.kind, expression: named.expression };
    },
  });
  if (!checked) return undefined;
  written.push(signs(text.slice(told)));
  return { ...checked, written: written.filter((part) => part !== ""), facts };
}

/** With the signs of print. */
function signs(text: string): string {
  return text
    .replaceAll("*", "×")
    .replaceAll("/", "÷")
    .replaceAll("-", "−")
    .replaceAll("<=", "≤")
    .replaceAll(">=", "≥");
}

/** A fact as an input; its dimension is that which the families concerned give it. A family without it is told of later. */
function lookUpFact(
  linker: Linker,
  fact: string,
  families: readonly string[],
  at: Place,
): Named | { message: string; hint: string } | undefined {
  const equipment = families.flatMap((id) => linker.names.catalogs.equipment.get(id) ?? []);
  const having = equipment.flatMap(({ id, entry }) => {
    const amount = Object.hasOwn(entry.facts, fact) ? factAmount(entry.facts[fact]) : undefined;
    return amount ? [{ id, unit: amount.unit }] : [];
  });
  const [first] = having;
  if (!first) {
    const near = nearest(fact, new Set(equipment.flatMap(({ entry }) => Object.keys(entry.facts))));
    return {
      message: `no equipment served here has an amount as its fact \`${fact}\``,
      hint:
        near && near !== fact
          ? `\`equipment.${near}\` may be meant`
          : "add it under `facts:` of the equipment, as a number or an amount such as `6 L/min`",
    };
  }
  const kind = kindOf(first.unit);
  const other = having.find(({ unit }) => !sameKind(kindOf(unit), kind));
  if (other) {
    linker.complain({
      rule: "unit-mismatch",
      at,
      message: `\`equipment.${fact}\` is ${kindWords(kind)} for \`${first.id}\` and ${kindWords(kindOf(other.unit))} for \`${other.id}\``,
      hint: `give it in \`${first.unit.symbol}\` for both`,
    });
    return undefined;
  }
  return { kind, expression: { kind: "input", name: `equipment.${fact}` } };
}

function sameKind(a: Kind, b: Kind): boolean {
  return a.is === b.is && sameDimension(a.dimension, b.dimension);
}

/** Complains where a formula does not give what its unit is for. */
export function fitsUnit(linker: Linker, formula: Checked, text: string, at: Place, unit: Unit): boolean {
  if (sameKind(formula.kind, kindOf(unit))) return true;
  if (formula.kind.is === "comparison")
    linker.complain({
      rule: "invalid-formula",
      at,
      message: `\`${text}\` is a comparison, which is no number`,
      hint: "write `if(a > b, x, y)`, or let the ranges compare",
    });
  else
    linker.complain({
      rule: "unit-mismatch",
      at,
      message: `\`${text}\` gives ${kindWords(formula.kind)}, but its unit \`${unit.symbol}\` is for ${kindWords(kindOf(unit))}`,
      hint: conversion(formula.kind, kindOf(unit), "it"),
    });
  return false;
}

/** Hint for a name that is not known: the nearest one, blanks for a minus that was read as a hyphen, else all of them. */
export function nameHint(name: string, known: readonly string[]): string {
  const near = nearest(name, known);
  if (near) return `\`${near}\` may be meant`;
  const parts = name.split("-");
  for (let i = 1; i < parts.length; i++) {
    const [left, right] = [parts.slice(0, i).join("-"), parts.slice(i).join("-")];
    const isValue = (part: string): boolean => known.includes(part) || /^\d+$/.test(part);
    if (isValue(left) && isValue(right)) return `a minus has blanks around it: \`${left} - ${right}\``;
  }
  if (unitOf(name)) return noUnits;
  return known.length === 0 ? "give a reading this name" : `it can use ${known.map((id) => `\`${id}\``).join(", ")}`;
}
