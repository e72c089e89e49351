/**
 * The coverage board: what the trees cover, for which equipment, and how long they take.
 *
 * A firm may have a thousand trees. The board is therefore made of many short tables, each a box that a browser need not
 * lay out before somebody comes there; each has its own head, so a reader is never far from one. What is more than a browser
 * reads in one go stands in `noscript`: it is passed over there as plain text, and the script puts it into the page piece by
 * piece. Without script it is simply there.
 */
import { words as boardWords } from "#words/board";
import { words } from "#words/coverage";
import type { Board, BoardGroup, BoardTree } from "../../../compiler/model/board.ts";
import { SOON_DAYS } from "../../../compiler/model/board.ts";
import type { CompiledBase, CompiledTree } from "../../../compiler/model/compiled.ts";
import { SIGNS, type Standing } from "../coverage/csv.ts";
import { asPrinted, digits } from "../measure/units.ts";
import { saysOf } from "./causes.ts";
import { bare, escapeText, list, plain, unlinked } from "./html.ts";

/** Rows of one table, and families side by side: as many as fit on a sheet of paper laid across. */
const ROWS = 25;
const COLUMNS = 18;
const TREES = 6;
/** So many characters are in the page from the beginning. */
const AT_ONCE = 250_000;

export interface View {
  readonly base: CompiledBase;
  readonly board: Board;
  readonly areas: readonly string[];
  readonly families: readonly string[];
  readonly symptoms: readonly string[];
  readonly treeOf: ReadonlyMap<string, CompiledTree>;
  /** A box as it stands in the page: at once or later. */
  readonly placed: (box: string) => string;
}

export function viewOf(base: CompiledBase): View {
  let length = 0;
  return {
    base,
    board: base.board,
    areas: Object.keys(base.areas),
    families: Object.keys(base.families),
    symptoms: Object.keys(base.symptoms),
    treeOf: new Map(base.trees.map((tree) => [tree.id, tree])),
    placed: (box) => {
      length += box.length;
      return length <= AT_ONCE ? box : `<noscript data-later>${box}</noscript>`;
    },
  };
}

export function coverageHtml(view: View): string {
  return `<div class="board">${siftHtml(view)}${matrixHtml(view)}${treesHtml(view)}${listsHtml(view)}</div>`;
}

/** `93.7 %`. Never more than there is: 99.96 is 99.9. */
export function shareWords({ share }: Board): string {
  return `${digits(Math.floor(share * 1000 + 1e-9) / 10)} %`;
}

export function familyTitle({ base }: Pick<View, "base">, id: string): string {
  return unlinked(base.families[id]?.title ?? escapeText(id));
}
function symptomTitle({ base }: Pick<View, "base">, id: string): string {
  return unlinked(base.symptoms[id]?.title ?? escapeText(id));
}
export function causeTitle({ base }: Pick<View, "base">, id: string): string {
  return unlinked(base.causes[id]?.title ?? escapeText(id));
}
function areaOf({ base }: View, symptom: string): string {
  return base.symptoms[symptom]?.area ?? "";
}
function areaTitle({ base }: View, area: string): string {
  return unlinked(base.areas[area] ?? escapeText(area));
}

function siftHtml(view: View): string {
  const field = (name: string, label: string, ids: readonly string[], title: (id: string) => string) =>
    `<div><label for="sift-${name}">${label}</label><select id="sift-${name}" data-sift-by="${name}"><option value="">${words.sift.all}</option>${ids.map((id) => `<option value="${id}">${bare(title(id))}</option>`).join("")}</select></div>`;
  return (
    `<form class="sift" data-sift aria-label="${words.sift.name}">` +
    field("area", words.sift.area, view.areas, (id) => areaTitle(view, id)) +
    field("family", words.sift.family, view.families, (id) => familyTitle(view, id)) +
    field("symptom", words.sift.symptom, view.symptoms, (id) => symptomTitle(view, id)) +
    `<button type="submit" class="primary">${words.sift.show}</button><button type="reset">${words.sift.showAll}</button><p class="count" role="status" data-sift-count></p></form>`
  );
}

/** What the script sifts by: the places in the lists of choices. A row that is for no family in particular has no `data-f`. */
function marks(view: View, symptom: string | undefined, families: readonly string[] | undefined): string {
  const s =
    symptom === undefined
      ? ""
      : ` data-a="${view.areas.indexOf(areaOf(view, symptom))}" data-s="${view.symptoms.indexOf(symptom)}"`;
  const f = families === undefined ? "" : ` data-f="${families.map((id) => view.families.indexOf(id)).join(" ")}"`;
  return `${s}${f}`;
}

function parts<T>(all: readonly T[], size: number): T[][] {
  return Array.from({ length: Math.ceil(all.length / size) }, (_, i) => all.slice(i * size, (i + 1) * size));
}

/** Each in a box of its own that scrolls, by keyboard too. */
function boxHtml(id: string, caption: string, head: string, body: string, kind: string, rows: number): string {
  return (
    `<section class="scroll" data-box tabindex="0" aria-labelledby="${id}" style="--rows:${rows}">` +
    `<table class="${kind}"><caption id="${id}">${caption}</caption><thead>${head}</thead>${body}</table></section>`
  );
}

function matrixHtml(view: View): string {
  const { board, families } = view;
  const standing = new Map(board.cells.map((cell) => [`${cell.symptom} ${cell.family}`, cell.verdict]));
  const stands = (symptom: string, family: string): Standing =>
    standing.get(`${symptom} ${family}`) ?? "not-applicable";
  const boxes = view.areas.flatMap((area) => {
    const symptoms = view.symptoms.filter((symptom) => areaOf(view, symptom) === area);
    const met = families.filter((family) => symptoms.some((symptom) => stands(symptom, family) !== "not-applicable"));
    const shown = met.length > 0 ? met : families.filter((family) => view.base.families[family]?.area === area);
    return parts(symptoms, ROWS).flatMap((rows, i) =>
      parts(shown, COLUMNS).map((columns, j, all) => {
        const head = `<tr><th scope="col">${words.matrix.symptom}</th>${columns.map((id) => `<th scope="col" data-c="${families.indexOf(id)}">${familyTitle(view, id)}</th>`).join("")}</tr>`;
        const body = rows.map((symptom) => {
          const signs = families.map((family) => SIGNS[stands(symptom, family)]).join("");
          const cells = columns.map((family) =>
            cellHtml(symptom, family, stands(symptom, family), families.indexOf(family)),
          );
          return `<tr${marks(view, symptom, undefined)} data-v="${signs}"><th scope="row"><a href="symptoms/${symptom}.html">${symptomTitle(view, symptom)}</a></th>${cells.join("")}</tr>`;
        });
        const isPart = symptoms.length > ROWS || all.length > 1;
        return boxHtml(
          `board_${area}_${i}_${j}`,
          isPart
            ? words.matrix.captionOf(areaTitle(view, area), i * all.length + j + 1)
            : words.matrix.caption(areaTitle(view, area)),
          head,
          `<tbody>${body.join("")}</tbody>`,
          "matrix",
          rows.length,
        );
      }),
    );
  });
  return (
    `<section data-part="matrix" aria-labelledby="matrix_h"><h2 id="matrix_h">${words.matrix.title}</h2>` +
    `<p>${words.matrix.says}</p>` +
    `${boxes.map(view.placed).join("")}${saveHtml("coverage.csv", "matrix")}</section>`
  );
}

function cellHtml(symptom: string, family: string, stands: Standing, column: number): string {
  const word =
    stands === "not-applicable"
      ? `<span aria-hidden="true">–</span><span class="unseen">${boardWords.standings[stands]}</span>`
      : boardWords.standings[stands];
  return `<td class="${stands}" data-c="${column}"><a href="symptoms/${symptom}.html#on-${family}">${word}</a></td>`;
}

function saveHtml(file: string, part: string): string {
  return `<p class="save"><a href="${file}" download>${words.wholeFile}</a> <button type="button" data-save="${part}" data-file="${file}">${words.saveShown}</button></p>`;
}

/** A row of the table of causes by trees: what is alike for several families stands once. */
export interface CauseLine {
  readonly cause: string;
  readonly families: readonly string[];
  readonly likelihood: number;
  readonly found: "always" | "sometimes" | "never";
  readonly mean: string;
  readonly worst: string;
}

export function causeLines({ groups }: BoardTree): CauseLine[] {
  const lines = new Map<string, CauseLine>();
  for (const { families, causes } of groups)
    for (const { cause, likelihood, verdict, meanMinutes, worstMinutes } of causes) {
      const line: CauseLine = {
        cause,
        families: [],
        likelihood,
        found: verdict === "covered" ? "always" : verdict === "partly" ? "sometimes" : "never",
        mean: meanMinutes === undefined ? words.notKnown : tenths(meanMinutes),
        worst: worstMinutes === undefined ? words.notKnown : digits(Number(worstMinutes.toFixed(1))),
      };
      const key = JSON.stringify(line);
      lines.set(key, { ...line, families: [...(lines.get(key)?.families ?? []), ...families] });
    }
  // The same cause together, the likeliest first.
  const order = [...new Set([...lines.values()].map(({ cause }) => cause))];
  const weight = (of: string) =>
    Math.max(...[...lines.values()].filter(({ cause }) => cause === of).map((l) => l.likelihood));
  const place = new Map(order.map((cause, i) => [cause, [weight(cause), i] as const]));
  return [...lines.values()].sort((a, b) => {
    const [heavy, i] = place.get(a.cause) ?? [0, 0];
    const [other, j] = place.get(b.cause) ?? [0, 0];
    return other - heavy || i - j;
  });
}

/** Minutes to a tenth. */
export function tenths(minutes: number): string {
  return asPrinted(minutes.toFixed(1));
}

export function forWords(view: Pick<View, "base">, tree: BoardTree, families: readonly string[]): string {
  const all = tree.groups.flatMap((group) => group.families).length;
  return families.length === all ? words.allItServes : list(families.map((id) => familyTitle(view, id)));
}

/** By area, symptom and id. */
function treesInOrder(view: View): BoardTree[] {
  const place = ({ symptom }: BoardTree) =>
    view.areas.indexOf(areaOf(view, symptom)) * view.symptoms.length + view.symptoms.indexOf(symptom);
  return [...view.board.trees].sort((a, b) => place(a) - place(b));
}

export function minutesWords(view: Pick<View, "base">, tree: BoardTree): string[] {
  return together(tree, ({ meanMinutes, worstMinutes, order }) => {
    if (meanMinutes === undefined) return [];
    const [mean, worst] = [tenths(meanMinutes), digits(Number((worstMinutes ?? 0).toFixed(1)))];
    return [
      order === undefined
        ? words.minutes(mean, worst)
        : words.minutesBest(mean, worst, tenths(order.now), tenths(order.best), order.isExact),
    ];
  }).map(
    ({ line, families }) =>
      `${line}${families.length === served(tree) ? "" : ` (${list(families.map((id) => familyTitle(view, id)))})`}`,
  );
}
function served({ groups }: BoardTree): number {
  return groups.reduce((sum, { families }) => sum + families.length, 0);
}

/** What is the same for several groups once, with all their families. */
export function together(
  { groups }: BoardTree,
  lines: (group: BoardGroup) => readonly string[],
): { readonly line: string; readonly families: readonly string[] }[] {
  const joined = new Map<string, string[]>();
  for (const group of groups)
    for (const line of lines(group)) joined.set(line, [...(joined.get(line) ?? []), ...group.families]);
  return [...joined].map(([line, families]) => ({ line, families }));
}

function treesHtml(view: View): string {
  const head = Object.values(words.trees.columns)
    .map((name) => `<th scope="col">${name}</th>`)
    .join("");
  const boxes = view.areas.flatMap((area) => {
    const trees = treesInOrder(view).filter(({ symptom }) => areaOf(view, symptom) === area);
    return parts(trees, TREES).map((some, i, all) => {
      const bodies = some.map((tree) => treeBodyHtml(view, tree));
      return boxHtml(
        `trees_${area}_${i}`,
        all.length > 1
          ? words.trees.captionOf(areaTitle(view, area), i + 1)
          : words.trees.caption(areaTitle(view, area)),
        `<tr>${head}</tr>`,
        bodies.map(({ html }) => html).join(""),
        "by-tree",
        bodies.reduce((sum, { rows }) => sum + rows + 1, 0),
      );
    });
  });
  return (
    `<section data-part="trees" aria-labelledby="trees_h"><h2 id="trees_h">${words.trees.title}</h2>` +
    `<p>${words.trees.says}</p>` +
    `${boxes.map(view.placed).join("")}${saveHtml("coverage-causes.csv", "trees")}</section>`
  );
}

function treeBodyHtml(view: View, tree: BoardTree): { readonly html: string; readonly rows: number } {
  const lines = causeLines(tree);
  const title = unlinked(view.treeOf.get(tree.tree)?.title ?? escapeText(tree.tree));
  const families = tree.groups.flatMap((group) => group.families);
  const rows = lines.map(
    (line) =>
      `<tr${marks(view, tree.symptom, line.families)}><th scope="row">${causeTitle(view, line.cause)}</th><td>${forWords(view, tree, line.families)}</td><td>${digits(line.likelihood)}</td><td class="${line.found}"><a href="symptoms/${tree.symptom}.html#${causeAnchor(tree.tree, line.cause)}">${words.found[line.found]}</a></td><td>${line.mean}</td><td>${line.worst}</td></tr>`,
  );
  const none =
    lines.length === 0
      ? `<tr${marks(view, tree.symptom, families)}><td colspan="6">${words.trees.noCauses}</td></tr>`
      : "";
  const times = minutesWords(view, tree).map((line) => `<span>${line}</span>`);
  const kept =
    tree.keepOrder === undefined ? "" : `<span>${words.trees.kept(escapeText(tree.keepOrder.trim()))}</span>`;
  const head = `<tr class="tree-head"${marks(view, tree.symptom, families)}><th scope="rowgroup" colspan="6"><a href="trees/${tree.tree}.html">${title}</a>${times.join("")}${kept}</th></tr>`;
  return { html: `<tbody>${head}${rows.join("")}${none}</tbody>`, rows: rows.length + times.length };
}

/** Place of a cause on the page of its symptom. */
export function causeAnchor(tree: string, cause: string): string {
  return `cause-${tree}-${cause}`;
}

function listsHtml(view: View): string {
  const { board, base } = view;
  const line = (symptom: string | undefined, families: readonly string[] | undefined, html: string) =>
    `<li data-row${marks(view, symptom, families)}>${html}</li>`;
  const about = (tree: BoardTree, families: readonly string[]) => {
    const only =
      families.length === served(tree)
        ? ""
        : ` <small>${words.onlyForSmall(list(families.map((id) => familyTitle(view, id))))}</small>`;
    return ` (<a href="trees/${tree.tree}.html">${unlinked(view.treeOf.get(tree.tree)?.title ?? escapeText(tree.tree))}</a>)${only}`;
  };
  const trees = treesInOrder(view);
  const alike = trees.flatMap((tree) =>
    together(tree, (group) => group.alike.map(([a, b]) => words.and(causeTitle(view, a), causeTitle(view, b)))).map(
      ({ line: pair, families }) => line(tree.symptom, families, pair + about(tree, families)),
    ),
  );
  const never = board.neverConcluded.map(({ symptom, cause }) =>
    line(
      symptom,
      undefined,
      `${causeTitle(view, cause)} (<a href="symptoms/${symptom}.html#never">${symptomTitle(view, symptom)}</a>)`,
    ),
  );
  const branches = trees.flatMap((tree) =>
    together(tree, (group) => group.withoutCause.map(({ step, answer }) => `${step} ${answer}`)).map(
      ({ line: key, families }) => {
        const [step = "", answer = ""] = key.split(" ");
        return line(tree.symptom, families, answerWords(view, tree.tree, step, answer) + about(tree, families));
      },
    ),
  );
  const reviews = board.reviews.map(({ kind, id, due, daysLeft }) => {
    const tree = view.treeOf.get(id);
    const title =
      kind === "tree" && tree
        ? `<a href="trees/${id}.html">${unlinked(tree.title)}</a>`
        : words.routine(unlinked(base.routines[id]?.title ?? escapeText(id)));
    const when = daysLeft < 0 ? words.overdue(due) : words.due(due, daysLeft);
    return line(
      kind === "tree" ? tree?.symptom : undefined,
      kind === "tree" ? tree?.serves : undefined,
      `${title}: ${when}`,
    );
  });
  const part = (id: string, title: string, says: string, rows: readonly string[]) =>
    `<section data-part="${id}" aria-labelledby="${id}_h"><h2 id="${id}_h">${title}</h2><p>${says}</p>${
      rows.length === 0
        ? `<p>${words.none}</p>`
        : parts(rows, 50)
            .map((some) =>
              view.placed(`<ul class="lines" data-box style="--rows:${some.length}">${some.join("")}</ul>`),
            )
            .join("")
    }</section>`;
  return (
    part("alike", words.alike.title, words.alike.says, alike) +
    part("never", words.never.title, words.never.says, never) +
    part("branches", words.branches.title, words.branches.says, branches) +
    `<section data-part="cautions" aria-labelledby="cautions_h"><h2 id="cautions_h">${words.cautions.title}</h2><p>${words.cautions.says}</p></section>` +
    part("reviews", words.reviews.title, words.reviews.says(escapeText(board.on), SOON_DAYS), reviews)
  );
}

function answerWords(view: View, treeId: string, stepId: string, answer: string): string {
  const step = view.treeOf.get(treeId)?.steps.find(({ id }) => id === stepId);
  if (step === undefined) return words.answerAtId(escapeText(answer), escapeText(stepId));
  const say = saysOf(step).find(([id]) => id === answer)?.[1] ?? escapeText(answer);
  return words.answerAt(unlinked(say), unlinked(step.title));
}

/** The rows of the two files, in plain text. */
export function boardRows(view: View): string[][] {
  const standing = new Map(view.board.cells.map((cell) => [`${cell.symptom} ${cell.family}`, cell.verdict]));
  return view.areas.flatMap((area) =>
    view.symptoms
      .filter((symptom) => areaOf(view, symptom) === area)
      .flatMap((symptom) =>
        view.families.map((family) => [
          plain(areaTitle(view, area)),
          plain(symptomTitle(view, symptom)),
          plain(familyTitle(view, family)),
          boardWords.standings[standing.get(`${symptom} ${family}`) ?? "not-applicable"],
          symptom,
          family,
        ]),
      ),
  );
}
export function causeRows(view: View): string[][] {
  return treesInOrder(view).flatMap((tree) =>
    causeLines(tree).map((line) => [
      plain(areaTitle(view, areaOf(view, tree.symptom))),
      plain(symptomTitle(view, tree.symptom)),
      plain(view.treeOf.get(tree.tree)?.title ?? tree.tree),
      plain(causeTitle(view, line.cause)),
      plain(forWords(view, tree, line.families)),
      digits(line.likelihood),
      words.found[line.found],
      line.mean,
      line.worst,
    ]),
  );
}
