/** A formula's page: what it is for, the formula, a place for the calculator, worked examples, source. */
import { words } from "#words/formula";
import type { CompiledBase, CompiledFormula } from "../../../compiler/model/compiled.ts";
import type { Bounds } from "../measure/field.ts";
import { asPrinted, marked } from "../measure/units.ts";
import { bare, escapeText, idWords, upperFirst } from "./html.ts";
import { readingsHtml, unitAttributes, unitsAfter, writtenHtml } from "./measure.ts";
import { pairsFor, quantityFor } from "./units.ts";

/** What a calculator knows beside the words on its page. */
export interface Sums {
  readonly formula: string;
  readonly inputs: Readonly<Record<string, Bounds>>;
  readonly value: CompiledFormula["value"]["code"];
  readonly units: ReturnType<typeof pairsFor>;
}

export function formulaPageHtml(id: string, formula: CompiledFormula): string {
  const { value } = formula;
  const inputs = Object.values(formula.inputs);
  const result = quantityFor(value.unit);
  const sums: Sums = {
    formula: id,
    inputs: Object.fromEntries(
      Object.entries(formula.inputs).map(([name, { between, typical }]) => [name, [...between, ...(typical ?? [])]]),
    ) as unknown as Sums["inputs"],
    value: value.code,
    units: pairsFor([...inputs.map(({ unit }) => unit), value.unit]),
  };
  const name = upperFirst(escapeText(idWords(value.name)));
  const written = writtenHtml(value.written, (input) => ({ said: bare(formula.inputs[input]?.ask ?? input) }));
  const constants = formula.constants.map(
    (one) =>
      `<li><b>${escapeText(idWords(one.name))}</b>: ${escapeText(marked(one.value))}${one.why === undefined ? "" : `. ${one.why}`}</li>`,
  );
  return (
    `<section class="purpose" aria-labelledby="for_h"><h2 id="for_h">${words.for}</h2>${formula.for}<div class="limits-of">${words.limits(formula.limits)}</div></section>` +
    `<section aria-labelledby="sum_h"><h2 id="sum_h">${name}</h2>` +
    `<formula-sums><script type="application/json" data-sums>${JSON.stringify(sums).replaceAll("<", "\\u003c")}</script>` +
    `<div class="measure" data-value="${name}" ${unitAttributes(result)}>` +
    `<p class="formula">${name} = ${written}${unitsAfter(result)}</p>` +
    (constants.length === 0
      ? ""
      : `<div class="constants"><p><b>${words.constants}</b></p><ul>${constants.join("")}</ul></div>`) +
    `${readingsHtml(inputs, words.inputs)}</div></formula-sums></section>` +
    `<section aria-labelledby="examples_h"><h2 id="examples_h">${words.examples}</h2><ol class="examples">${formula.examples.map((_, index) => exampleHtml(formula, index)).join("")}</ol></section>` +
    `<section aria-labelledby="source_h"><h2 id="source_h">${words.source}</h2><p>${upperFirst(formula.source)}</p></section>`
  );
}

function exampleHtml(formula: CompiledFormula, index: number): string {
  const example = formula.examples[index];
  if (!example) return "";
  const given = Object.entries(formula.inputs).flatMap(([name, { ask, unit }]) => {
    const amount = example.given[name];
    if (amount === undefined) return [];
    const written = example.written[name] ?? "";
    const [, number = "", symbol] = /^(\S+)(?: (.+))?$/.exec(written) ?? [];
    const { own, other } = quantityFor(unit);
    // In a unit that the calculator doesn't have (bar, where it has psi and kPa), it is filled in converted.
    const isHad = symbol !== undefined && (symbol === own || symbol === other);
    const linked = isHad ? `${marked(number)} ${symbol}` : `${marked(String(Number(amount.toPrecision(12))))} ${own}`;
    return [{ name, ask, shown: unbroken(written), linked }];
  });
  const query = new URLSearchParams(given.map(({ name, linked }) => [name, linked]));
  const rows = given.map(({ ask, shown }) => `<li>${ask}: <b>${escapeText(shown)}</b></li>`);
  return (
    `<li data-example="${index}"><ul>${rows.join("")}</ul>` +
    `<p>${words.gives(escapeText(unbroken(example.gives)), escapeText(marked(example.within)))}</p>` +
    `<p class="source">${words.sourceOf(example.source)}</p>` +
    `<a class="fill" data-fill href="?${escapeText(query.toString())}">${words.fillIn(index + 1)}</a></li>`
  );
}

/** With the sign of print, and in one piece. */
function unbroken(written: string): string {
  return asPrinted(written).replaceAll(" ", "\u00a0");
}

export function formulaIndexHtml(base: CompiledBase): string {
  const rows = Object.entries(base.formulas).map(
    ([id, formula]) =>
      `<li><h2><a class="go" href="formulas/${id}.html">${bare(formula.title)}</a></h2><div class="says">${formula.for}</div></li>`,
  );
  return rows.length === 0 ? `<p>${words.none}</p>` : `<ul class="symptoms formulas">${rows.join("")}</ul>`;
}
