import { defineRule } from "../5-analyse/rule.ts";
import { shortened } from "../words/markdown.ts";

export default defineRule({
  name: "translation-twice",
  group: "prose",
  severity: "error",
  summary: "A text has two different translations into one language.",
  why: "The same words of the base would be one thing on one page and another elsewhere, or whichever file comes first.",
  more: `
One translation serves every place that says the same. The files of a language are read as one; a text that is
translated alike in two of them does no harm. Where one source text must be said in two ways, its places don't mean the
same: word them apart in the base.
`,
  *onBase({ world }) {
    for (const { language, texts, again } of world.translations.values())
      for (const { of, keyAt } of again) {
        const first = texts.get(of);
        yield {
          at: keyAt,
          message: `\`${shortened(of)}\` has another translation into \`${language}\` already`,
          ...(first && { related: [{ at: first.keyAt, text: "the first one" }] }),
          hint: "keep one of the two",
        };
      }
  },
});
