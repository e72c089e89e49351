import { partsOf } from "../5-analyse/facts/parts.ts";
import { placeOfShown, shownOfWorld } from "../5-analyse/facts/shown.ts";
import { type BaseView, defineRule } from "../5-analyse/rule.ts";
import type { Translation } from "../model/base.ts";
import type { Place } from "../model/source.ts";
import { shortened } from "../words/markdown.ts";
import { nearest } from "../words/nearest.ts";

export default defineRule({
  name: "translation-unused",
  group: "prose",
  severity: "warning",
  summary: "A translation is of a text that the base does not have.",
  why: "The source text has changed, so the reader of the other language is shown no translation of what it says now.",
  more: `
A translation belongs to its source text to the letter. When a text is changed, look at its translation again: it may
no longer say the same. Then give it the new text as its key. Texts of trees that are not offered in the language yet
may be translated in advance.
`,
  *onBase(view) {
    const { world, used, trees } = view;
    // While some tree can't be read, nobody knows its texts.
    if (!used || world.translations.size === 0) return;
    const known = new Set([...shownOfWorld(world), ...trees.flatMap(({ texts }) => texts)].map(({ text }) => text));
    for (const translation of world.translations.values()) {
      const open = untranslated(translation, view);
      for (const { of, keyAt } of translation.texts.values()) {
        if (known.has(of)) continue;
        const near = nearest(of, open.keys());
        const there = near === undefined ? undefined : open.get(near)?.();
        yield {
          at: keyAt,
          message: `no text of the base is \`${shortened(of)}\``,
          ...(there && { related: [{ at: there, text: "has no translation" }] }),
          hint: near ? `\`${shortened(near)}\` may be meant` : "delete it, or copy the source text as it is now",
        };
      }
    }
  },
});

/** What a translation whose key has a slip may be meant for, with its place. */
function untranslated(
  { trees: offered, texts }: Translation,
  { world, trees }: BaseView,
): ReadonlyMap<string, () => Place> {
  const those = trees.filter(({ id }) => offered.some((tree) => tree.id === id));
  const open = new Map<string, () => Place>();
  const add = (text: string, place: () => Place): void => {
    if (!texts.has(text) && !open.has(text)) open.set(text, place);
  };
  for (const { text, at } of those.flatMap((tree) => tree.texts)) add(text, () => at);
  for (const shown of shownOfWorld(world, partsOf(those, world))) add(shown.text, () => placeOfShown(shown));
  return open;
}
