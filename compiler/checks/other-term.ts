import { type Prose, phrasePattern, placeOf } from "../5-analyse/facts/prose.ts";
import { defineRule } from "../5-analyse/rule.ts";
import type { World } from "../model/base.ts";
import type { Finding } from "../model/complaint.ts";
import { spokenWords } from "../words/markdown.ts";

export default defineRule({
  name: "other-term",
  group: "prose",
  severity: "warning",
  summary: "A text uses another word for a thing than the rest of the base.",
  why: "Two words for one thing are read as two things, and the apprentice looks for the second.",
  more: `
The manifest lists what not to write and what to write for it: \`prose: {say-instead: {faucet: tap}}\`. Endings are
looked at as they stand, so give the plural too. What customers say is left as they say it, and so is code.
`,
  onTexts: otherTerms,
});

function* otherTerms(texts: readonly Prose[], { manifest }: World): Iterable<Omit<Finding, "rule">> {
  const terms = Object.entries(manifest?.data.prose?.["say-instead"] ?? {});
  if (terms.length === 0) return;
  for (const [avoided, wanted] of terms) {
    const pattern = phrasePattern([avoided]);
    for (const prose of texts)
      for (const [found] of spokenWords(prose.text).matchAll(pattern))
        yield {
          at: placeOf(prose, found),
          message: `this base does not say \`${found}\``,
          hint: `write \`${wanted}\``,
          about: avoided,
        };
  }
}
