/** The home page's list of symptoms: a plain list by area that the search reads and filters. */
import type { CompiledBase, CompiledSymptom } from "../../../compiler/model/compiled.ts";
import { escapeText, list, unlinked } from "./html.ts";

/** So many of the customers' phrases are printed; the others are there for the search alone. */
const PHRASES_SHOWN = 3;

export function symptomsHtml(base: CompiledBase): string {
  const trees = new Map(base.trees.map((tree) => [tree.id, tree]));
  const byArea = new Map<string, string[]>(Object.keys(base.areas).map((area) => [area, []]));
  for (const [id, symptom] of Object.entries(base.symptoms)) {
    const rows = byArea.get(symptom.area) ?? [];
    byArea.set(symptom.area, rows);
    rows.push(symptomHtml(base, trees, id, symptom));
  }
  const areas = [...byArea].filter(([, rows]) => rows.length > 0);
  return areas
    .map(
      ([area, rows]) =>
        `<section class="area" data-area="${area}" aria-labelledby="area_${area}"><h2 id="area_${area}">${base.areas[area] ?? escapeText(area)}</h2><ul class="symptoms">${rows.join("")}</ul></section>`,
    )
    .join("");
}

function symptomHtml(
  base: CompiledBase,
  trees: ReadonlyMap<string, CompiledBase["trees"][number]>,
  id: string,
  symptom: CompiledSymptom,
): string {
  const shown = symptom.says.slice(0, PHRASES_SHOWN).map((phrase) => `<q>${escapeText(phrase)}</q>`);
  const more = symptom.says.slice(PHRASES_SHOWN).join(" ");
  const links = symptom.trees.map((treeId) => {
    const tree = trees.get(treeId);
    if (tree === undefined) return "";
    const families = list(tree.serves.map((family) => unlinked(base.families[family]?.title ?? escapeText(family))));
    return `<li><a href="trees/${treeId}.html">${unlinked(tree.title)}</a> <small>${families}</small></li>`;
  });
  return (
    `<li data-listed="${id}"${more === "" ? "" : ` data-more="${escapeText(more)}"`}><h3>${symptom.title}</h3>` +
    (shown.length === 0 ? "" : `<p class="says">${shown.join(" ")}</p>`) +
    (links.length === 0 ? '<p class="none">No procedure yet.</p>' : `<ul class="trees">${links.join("")}</ul>`) +
    `</li>`
  );
}
