/** The languages in which a base has a site, and which pages it has in each. */

import { partsOf } from "../5-analyse/facts/parts.ts";
import type { Procedure, World } from "../model/base.ts";
import type { CompiledLanguage } from "../model/compiled.ts";
import type { Tree } from "../model/format.ts";

/**
 * @param own The language whose site links to the others; undefined for that of the base itself.
 * @returns the others, the language of the base first.
 */
export function languagesOf(
  { manifest, translations, ...world }: World,
  trees: readonly Procedure[],
  own: string | undefined,
): CompiledLanguage[] {
  const main = manifest?.data.language ?? "en";
  const root = own === undefined ? "" : "../";
  const others = [...translations.values()].filter(({ language }) => language !== own);
  return [
    ...(own === undefined ? [] : [{ code: main, title: ownName(main), path: root }]),
    ...others.map(({ language, trees: offered }) => {
      const there = trees.filter(({ id }) => offered.some((tree) => tree.id === id));
      const uses = there.map(({ serves, mentions }) => ({ serves: serves.map(({ id }) => id), mentions }));
      const parts = partsOf(uses, { manifest, translations, ...world });
      return {
        code: language,
        title: ownName(language),
        path: `${root}${language}/`,
        pages: {
          trees: there.map(({ id }) => id),
          symptoms: [...new Set(there.map(({ data }) => (data as Tree).symptom))],
          formulas: [...world.formulas.keys()].filter((id) => parts.has(`formulas/${id}`)),
        },
      };
    }),
  ];
}

/** What its speakers call it, as a heading would have it. */
function ownName(language: string): string {
  const name = new Intl.DisplayNames(language, { type: "language" }).of(language) ?? language;
  return name.charAt(0).toLocaleUpperCase(language) + name.slice(1);
}
