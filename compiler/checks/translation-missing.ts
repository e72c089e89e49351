import { partsOf } from "../5-analyse/facts/parts.ts";
import { placeOfShown, shownOfWorld } from "../5-analyse/facts/shown.ts";
import { type BaseView, defineRule, type PlacedText } from "../5-analyse/rule.ts";
import type { Translation } from "../model/base.ts";
import type { Finding } from "../model/complaint.ts";
import { INTERFACE_LANGUAGES } from "../model/languages.ts";
import { shortened } from "../words/markdown.ts";

export default defineRule({
  name: "translation-missing",
  group: "prose",
  severity: "warning",
  summary: "A text of a tree that is offered in a further language has no translation.",
  why: "The reader meets a sentence in a language that he may not know, in the middle of a procedure.",
  more: `
The manifest's \`translations\` says which trees are offered in which language. What counts is every text that their pages
show: their own, those of the routines and catalog entries that they use, the manifest's. Each is complained of once,
where it stands first. A page shows the source text until there is a translation. Answers without words of their own are
shown by their ids, and translated by them: \`Not fixed\`. The owner's name and published sources may stay as they are.

A translation belongs to the source text as it is: when that changes, the translation is missing and the old one unused.
A language that the pages themselves don't speak is complained of as well; then their own words are English.
`,
  *onBase(view) {
    for (const translation of view.world.translations.values()) {
      const { language, at } = translation;
      const [primary] = language.split("-");
      if (!INTERFACE_LANGUAGES.some((known) => known === primary))
        yield {
          at,
          message: `the pages have no words of their own in \`${language}\`, so these will be English`,
          hint: `known are ${INTERFACE_LANGUAGES.map((known) => `\`${known}\``).join(" and ")}`,
          about: language.toLowerCase(),
        };
      yield* missing(translation, view);
    }
  },
});

function* missing(
  { language, trees, texts }: Translation,
  { world, trees: all }: BaseView,
): Iterable<Omit<Finding, "rule">> {
  const offered = all.filter(({ id }) => trees.some((tree) => tree.id === id));
  const found = new Map<string, { readonly first: () => Pick<PlacedText, "at" | "about">; count: number }>();
  const look = (text: string, first: () => Pick<PlacedText, "at" | "about">): void => {
    if (texts.has(text)) return;
    const earlier = found.get(text);
    if (earlier) earlier.count += 1;
    else found.set(text, { first, count: 1 });
  };
  for (const shown of offered.flatMap((tree) => tree.texts)) look(shown.text, () => shown);
  for (const shown of shownOfWorld(world, partsOf(offered, world)))
    if (!shown.isName) look(shown.text, () => ({ at: placeOfShown(shown), about: shown.about }));
  for (const [text, { first, count }] of found) {
    const { at, about } = first();
    yield {
      at,
      message: `\`${shortened(text)}\` has no translation into \`${language}\`${count > 1 ? `; it stands in ${count} places` : ""}`,
      hint: `add it under \`texts:\` in a file below translations/${language}/`,
      about,
    };
  }
}
