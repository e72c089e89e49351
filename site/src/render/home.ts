/** The home page's list of symptoms by area, and the page of parts: plain lists that are whole without script. */
import { words } from "#words/home";
import type { CompiledBase, CompiledSymptom } from "../../../compiler/model/compiled.ts";
import { usesOfParts } from "../find/parts.ts";
import { escapeText, list, unlinked } from "./html.ts";

/** So many of the customers' phrases stand in the list; the others are folded. */
const PHRASES_SHOWN = 2;
/** The senses of the catalog, in the order in which a reader chooses among them. */
const SENSES = ["sees", "hears", "smells", "tastes", "measures"] as const;

export function symptomsHtml(base: CompiledBase): string {
  const trees = new Map(base.trees.map((tree) => [tree.id, tree]));
  const byArea = new Map<string, (readonly [string, CompiledSymptom])[]>(
    Object.keys(base.areas).map((area) => [area, []]),
  );
  for (const [id, symptom] of Object.entries(base.symptoms)) {
    const own = byArea.get(symptom.area) ?? [];
    byArea.set(symptom.area, own);
    own.push([id, symptom]);
  }
  const areas = [...byArea].filter(([, own]) => own.length > 0);
  const titleOf = (area: string): string => base.areas[area] ?? escapeText(area);
  const sensesOf = (own: readonly (readonly [string, CompiledSymptom])[]): string =>
    [...new Set(own.flatMap(([, { by }]) => by))].join(" ");
  const index = areas.map(
    ([area, own]) =>
      `<li data-by="${sensesOf(own)}"><a href="#area_${area}">${unlinked(titleOf(area))}</a> <small data-all>${own.length}</small></li>`,
  );
  const sections = areas.map(
    ([area, own]) =>
      `<section class="area" data-area="${area}" data-by="${sensesOf(own)}" aria-labelledby="area_${area}"><h2 id="area_${area}">${titleOf(area)}</h2><ul class="symptoms">${own.map(([id, symptom]) => symptomHtml(base, trees, id, symptom)).join("")}</ul></section>`,
  );
  return (
    sensesHtml(base) +
    (areas.length > 1 ? `<nav class="areas" aria-label="${words.areas}"><ul>${index.join("")}</ul></nav>` : "") +
    sections.join("")
  );
}

/** Round buttons that narrow the list by styles alone: keyboard and choice are the browser's. */
function sensesHtml(base: CompiledBase): string {
  const used = new Set(Object.values(base.symptoms).flatMap(({ by }) => by));
  const chips = SENSES.filter((id) => used.has(id));
  if (chips.length === 0) return "";
  const chip = (id: keyof typeof words.sense): string =>
    `<label><input type="radio" name="sense" value="${id}" id="sense_${id}"${id === "all" ? " checked" : ""}> ${words.sense[id]}</label>`;
  return (
    `<div class="chips" data-senses><fieldset><legend>${words.senses}</legend>` +
    `${chip("all")}${chips.map(chip).join("")}</fieldset></div>`
  );
}

function symptomHtml(
  base: CompiledBase,
  trees: ReadonlyMap<string, CompiledBase["trees"][number]>,
  id: string,
  symptom: CompiledSymptom,
): string {
  const phrase = (text: string): string => `<q>${escapeText(text)}</q>`;
  const own = symptom.trees.flatMap((one) => trees.get(one) ?? []);
  const families = [...new Set(own.flatMap(({ serves }) => serves))].map((family) =>
    unlinked(base.families[family]?.title ?? escapeText(family)),
  );
  const [only] = own;
  const heading =
    only !== undefined && own.length === 1
      ? `<a class="go" href="trees/${only.id}.html">${unlinked(symptom.title)}</a>`
      : symptom.title;
  const links = own.map((tree) => `<li><a class="go" href="trees/${tree.id}.html">${unlinked(tree.title)}</a></li>`);
  const more = symptom.says.slice(PHRASES_SHOWN).map((text) => `<li>${phrase(text)}</li>`);
  const kinds = families.length === 1 ? (families[0] ?? "") : words.kinds(families.length);
  const folded =
    (more.length === 0 ? "" : `<ul>${more.join("")}</ul>`) +
    (families.length > 1 ? `<p>${words.families(list(families))}</p>` : "");
  const line =
    symptom.says.slice(0, PHRASES_SHOWN).map(phrase).join(" ") +
    (families.length === 0 ? "" : ` <small>${kinds}</small>`);
  return (
    `<li data-symptom="${id}" data-by="${symptom.by.join(" ")}"><h3>${heading}</h3>` +
    (own.length === 0 ? `<p class="none">${words.noTree}</p>` : "") +
    (own.length > 1 ? `<ul class="trees">${links.join("")}</ul>` : "") +
    (folded === ""
      ? `<p class="says">${line}</p>`
      : `<details class="says"><summary>${line}</summary>${folded}</details>`) +
    `</li>`
  );
}

/** Each part with the trees, and in them the causes, whose remedy uses it. */
export function partsHtml(base: CompiledBase): string {
  const rows = [...usesOfParts(base)]
    .map(([id, uses]) => ({ id, uses, title: base.parts[id]?.title ?? escapeText(id) }))
    .sort((a, b) => a.title.localeCompare(b.title, base.language))
    .map(({ id, uses, title }) => {
      const trees = [...uses].map(([tree, causes]) => {
        const named = [...causes].map((cause) => unlinked(base.causes[cause]?.title ?? escapeText(cause)));
        const why = named.length === 0 ? words.onTheWay : list(named);
        const symptom = base.symptoms[tree.symptom]?.title ?? tree.title;
        return `<li data-tree="${tree.id}"><a class="go" href="trees/${tree.id}.html">${unlinked(symptom)}</a> <span>${why}</span></li>`;
      });
      return `<details class="part" id="part_${id}"><summary><h2>${unlinked(title)}</h2> <small>${words.trees(uses.size)}</small></summary><ul>${trees.join("")}</ul></details>`;
    });
  return rows.length === 0 ? `<p>${words.noParts}</p>` : rows.join("");
}
