import { figuresApart, figuresOf } from "../5-analyse/facts/figures.ts";
import { placeOf } from "../5-analyse/facts/prose.ts";
import { defineRule } from "../5-analyse/rule.ts";
import type { TranslatedText } from "../model/base.ts";
import type { Finding } from "../model/complaint.ts";
import { blocksOf, linkTargets, listItems } from "../words/markdown.ts";

export default defineRule({
  name: "translation-astray",
  group: "safety",
  severity: "error",
  summary: "A translation has another figure, unit, link or list than its source text.",
  why: "Nothing is proven of the words of a translation, so a wrong temperature or pressure there reaches the reader's hands.",
  more: `
Every number with its unit must stand in the translation as often as in the source text, and no other may; so must the
targets of links, and as many paragraphs and list items. The decimal mark may be a point or a comma, thousands may be
set apart by either or by a blank, and the blank before a unit may be one that doesn't break. Numbers that are
written out as words are not compared: write \`five minutes\` as words in both.
`,
  *onBase({ world }) {
    const language = world.manifest?.data.language ?? "en";
    for (const { texts, again } of world.translations.values())
      for (const one of [...texts.values(), ...again]) yield* faultsOf(one, language);
  },
});

function* faultsOf({ of, text, file, at }: TranslatedText, language: string): Iterable<Omit<Finding, "rule">> {
  const source = file.text.slice(at.start, at.end);
  const { lost, added } = figuresApart(figuresOf(of, language), figuresOf(text));
  for (let i = 0; i < Math.max(lost.length, added.length); i++) {
    const [missing, extra] = [lost[i]?.written, added[i]?.written];
    const place = extra === undefined ? at : placeOf({ text, at, source }, extra);
    if (extra === undefined)
      yield { at: place, message: `the source text says \`${missing}\`, and the translation does not`, hint: "add it" };
    else if (missing === undefined)
      yield {
        at: place,
        message: `the translation says \`${extra}\`, and the source text does not`,
        hint: "delete it",
      };
    else
      yield {
        at: place,
        message: `the translation says \`${extra}\` where the source text says \`${missing}\``,
        hint: `write \`${missing}\``,
      };
  }
  const [wanted, given] = [linkTargets(of), linkTargets(text)];
  for (const target of wanted.filter((one) => !given.includes(one)))
    yield { at, message: `the source text links to \`${target}\`, and the translation does not`, hint: "add the link" };
  for (const target of given.filter((one) => !wanted.includes(one)))
    yield {
      at: placeOf({ text, at, source }, target),
      message: `the translation links to \`${target}\`, and the source text does not`,
      hint: "link where the source text links",
    };
  const shape = (words: string) => [count(listItems(words), "list item"), count(blocksOf(words).length, "paragraph")];
  const [lines, others] = [shape(of), shape(text)];
  const differs = lines.findIndex((line, i) => line !== others[i]);
  if (differs >= 0)
    yield {
      at,
      message: `the source text has ${lines[differs]}, and the translation ${others[differs]}`,
      hint: "translate each of them, no more and no less",
    };
}

function count(number: number, what: string): string {
  return `${number} ${what}${number === 1 ? "" : "s"}`;
}
