import { type Prose, placeOf } from "../5-analyse/facts/prose.ts";
import { defineRule } from "../5-analyse/rule.ts";
import type { Finding } from "../model/complaint.ts";
import { unitOf, unitSymbols } from "../model/units.ts";
import { plainText } from "../words/markdown.ts";

/** Spellings that NIST SP 811 names as wrong or that abbreviate a unit without being its symbol. */
const abbreviations: Readonly<Record<string, string>> = {
  l: "L",
  ltr: "L",
  sec: "s",
  secs: "s",
  mins: "min",
  hr: "h",
  hrs: "h",
  lbs: "lb",
  kgs: "kg",
  gals: "gal",
  degc: "°C",
  degf: "°F",
  ºc: "°C",
  ºf: "°F",
};

/** Symbols by their lower case, where that belongs to one alone: `ms` could be a second or a siemens. */
const byLowerCase = new Map<string, string | undefined>(Object.entries(abbreviations));
for (const symbol of unitSymbols) {
  const lower = symbol.toLowerCase();
  if (symbol.length > 1) byLowerCase.set(lower, byLowerCase.has(lower) ? undefined : symbol);
}

/** A figure, what stands between, and what may be a unit; ordinary words are long and hold no symbol by chance. */
const figure =
  /(?<![\p{L}\p{N}.,#-])(\d[\d.,]*)([ \u00a0\u202f]?)([%°º]?[A-Za-zµΩ]{0,5}(?:\/[A-Za-zµ]{1,4})?)(?![\p{L}\p{N}])/gu;

export default defineRule({
  name: "unit-style",
  group: "prose",
  severity: "warning",
  summary: "A figure's unit is not written as the page writes it elsewhere.",
  why: "A unit that looks different on two lines is taken for another one, and 5ml is read as 5 mL or 5 L.",
  more: `
After NIST SP 811, sections 6 and 7.2: a blank between figure and unit, the symbol's own letters (\`psi\`, \`L/min\`,
\`°C\`), no plural. Units written out (\`ten minutes\`) are left alone.
`,
  onTexts: oddUnits,
});

function* oddUnits(texts: readonly Prose[]): Iterable<Omit<Finding, "rule">> {
  for (const prose of texts) {
    if (!/\d/.test(prose.text)) continue;
    for (const [found, number = "", gap = "", symbol = ""] of plainText(prose.text).matchAll(figure)) {
      if (symbol === "") continue;
      const right = unitOf(symbol) ? symbol : spelt(symbol);
      if (right === undefined || (right === symbol && gap !== "")) continue;
      yield {
        at: placeOf(prose, found),
        message:
          right === symbol
            ? `no blank before the unit in \`${found}\``
            : `\`${symbol}\` is not how the unit is written`,
        hint: `write \`${number} ${right}\``,
        about: symbol,
      };
    }
  }
}

/** The symbol that a spelling stands for, part by part. */
function spelt(symbol: string): string | undefined {
  const parts = symbol.split("/").map((part) => (unitOf(part) ? part : byLowerCase.get(part.toLowerCase())));
  return parts.includes(undefined) ? undefined : parts.join("/");
}
