/** What the search of a page knows, from the compiled base: read when the site is made. */
import { words } from "#words/home";
import type { CompiledBase, CompiledFormula, CompiledTree } from "../../../compiler/model/compiled.ts";
import { idWords, plain } from "../render/html.ts";
import { usesOfParts } from "./parts.ts";
import { type Entry, indexOf } from "./terms.ts";

/** An entry for each tree, and for each symptom that has none yet. */
export function symptomEntries(base: CompiledBase): Entry[] {
  const trees = new Map(base.trees.map((tree) => [tree.id, tree]));
  const wanted = new Map<CompiledTree, [part: string, causes: ReadonlySet<string>][]>();
  for (const [part, uses] of usesOfParts(base))
    for (const [tree, causes] of uses) wanted.set(tree, [...(wanted.get(tree) ?? []), [part, causes]]);
  const causeTitle = (id: string): string => plain(base.causes[id]?.title ?? id);
  const partTitle = (id: string): string => plain(base.parts[id]?.title ?? id);

  return Object.entries(base.symptoms).flatMap(([id, { title, says, area, trees: ids }]): Entry[] => {
    const own = ids.flatMap((one) => trees.get(one) ?? []);
    const symptom = plain(title);
    if (own.length === 0) {
      const href = `symptoms/${id}.html`;
      const note = words.noTree;
      return [{ id, href, title: symptom, note, says, causes: [], parts: [], more: plain(base.areas[area] ?? "") }];
    }
    return own.map((tree) => ({
      id: tree.id,
      href: `trees/${tree.id}.html`,
      // Where a symptom has several trees, each goes by its own title.
      title: own.length > 1 ? plain(tree.title) : symptom,
      note: own.length > 1 ? symptom : "",
      says,
      causes: Object.keys(tree.causes).map(causeTitle),
      parts: (wanted.get(tree) ?? []).map(([part]) => partTitle(part)),
      more: [
        plain(tree.title),
        plain(base.areas[area] ?? ""),
        ...tree.serves.map((family) => plain(base.families[family]?.title ?? "")),
      ].join("\n"),
    }));
  });
}

export function formulaEntries(base: CompiledBase): Entry[] {
  return Object.entries(base.formulas).map(([id, formula]) => ({
    id,
    href: `formulas/${id}.html`,
    title: plain(formula.title),
    note: plain(formula.for),
    says: [],
    causes: [],
    parts: [],
    more: moreOf(formula),
  }));
}

/** What it is for, what comes out and what goes in: words that find a formula. */
function moreOf({ for: use, inputs, value }: CompiledFormula): string {
  return [plain(use), idWords(value.name), ...Object.values(inputs).map(({ ask }) => plain(ask))].join("\n");
}

/** A classic script that hands the index over: pages read from a disk can't fetch. It is text until somebody asks. */
export function indexScript(entries: readonly Entry[]): Response {
  const json = JSON.stringify(JSON.stringify(indexOf(entries)));
  return new Response(`globalThis.findable=${json};\n`, {
    headers: { "content-type": "text/javascript; charset=utf-8" },
  });
}
