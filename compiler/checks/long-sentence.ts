import { type Prose, placeOf } from "../5-analyse/facts/prose.ts";
import { defineRule } from "../5-analyse/rule.ts";
import type { World } from "../model/base.ts";
import type { Finding } from "../model/complaint.ts";
import { plainText, sentencesOf } from "../words/markdown.ts";

/** ASD-STE100 (Simplified Technical English), rule 6.3 on descriptive texts, from memory; 20 for instructions there. */
const MOST_WORDS = 25;

export default defineRule({
  name: "long-sentence",
  group: "prose",
  severity: "warning",
  summary: "A sentence has more words than the reader can hold.",
  why: "Somebody with wet hands reads a sentence once; its end is forgotten before the tool is picked up.",
  more: `
Counted are the words of each sentence in titles, instructions, answers, reasons and cautions. The manifest says how many
are allowed (\`prose: {words-in-a-sentence: 20}\`; 25 when left out). Sayings of customers are left as they are.
`,
  onTexts: tooLong,
});

function* tooLong(texts: readonly Prose[], { manifest }: World): Iterable<Omit<Finding, "rule">> {
  const most = manifest?.data.prose?.["words-in-a-sentence"] ?? MOST_WORDS;
  for (const prose of texts) {
    // The whole text is counted first: hardly any needs to be cut into sentences.
    if (prose.text.length <= 2 * most || wordsOf(plainText(prose.text)) <= most) continue;
    for (const sentence of sentencesOf(prose.text, manifest?.data.language ?? "en")) {
      const words = wordsOf(sentence);
      if (words <= most) continue;
      const beginning = sentence.replaceAll("`", "").split(/\s+/).slice(0, 6).join(" ");
      yield {
        at: placeOf(prose, beginning),
        message: `a sentence of ${words} words; ${most} are allowed: \`${beginning} ...\``,
        hint: "make two of it, each with one action",
      };
    }
  }
}

/** A figure with its unit is read as one word or two; a hyphened word is one. */
function wordsOf(text: string): number {
  return text.match(/[\p{L}\p{N}][^\s]*/gu)?.length ?? 0;
}
