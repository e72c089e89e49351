/** What can be found and how: one set of rules for the index, which is made with the site, and for the page that asks it. */

import MiniSearch, { type Options, type Query, type SearchResult } from "minisearch";
import { words } from "#words/terms";

/** A page that can be found. All plain text. */
export interface Entry {
  readonly id: string;
  readonly href: string;
  readonly title: string;
  /** A short line below the title. */
  readonly note: string;
  /** The customers' phrases, or what a formula is for. */
  readonly says: readonly string[];
  readonly causes: readonly string[];
  readonly parts: readonly string[];
  /** Words that find it and need not be shown. */
  readonly more: string;
}
/** Why something was found, where its title doesn't show it. */
interface Why {
  readonly kind: "says" | "causes" | "parts";
  readonly text: string;
}
export interface Found extends Pick<Entry, "id" | "href" | "title" | "note"> {
  readonly why?: Why;
}

/** Words that stand in every complaint and find nothing. */
const EMPTY = new Set(words.empty.split(" "));

function simplify(term: string): string | null {
  const plain = term
    .normalize("NFD")
    .replace(/[\u0300-\u036f]/g, "")
    .toLowerCase();
  return EMPTY.has(plain) ? null : plain;
}

function termsOf(text: string): string[] {
  return text.split(/[^\p{L}\p{N}]+/u).flatMap((word) => (word === "" ? [] : (simplify(word) ?? [])));
}

const options: Options<Entry> = {
  fields: ["title", "says", "causes", "parts", "more"],
  storeFields: ["href", "title", "note", "says", "causes", "parts"],
  // What is stored passes here too: a list of phrases becomes lines.
  extractField: (entry, name) => {
    const value = entry[name as keyof Entry];
    return typeof value === "string" ? value : value.join("\n");
  },
  processTerm: simplify,
  searchOptions: {
    boost: { title: 2, says: 3, causes: 1.2, more: 0.5 },
    prefix: (term) => term.length > 1,
    // One slip in a word of four letters, two in one of eight.
    fuzzy: (term) => (term.length > 7 ? 2 : term.length > 3 ? 1 : 0),
    weights: { fuzzy: 0.4, prefix: 0.7 },
  },
};

/** Lists come back as lines. */
type Stored = SearchResult & Readonly<Record<"href" | "title" | "note" | Why["kind"], string>>;

export type Index = MiniSearch<Entry>;

export function indexOf(entries: readonly Entry[]): Index {
  const index = new MiniSearch(options);
  index.addAll(entries);
  return index;
}

/** @param json What `JSON.stringify` made of an index. */
export function readIndex(json: string): Index {
  return MiniSearch.loadJSON(json, options);
}

/** A typed word as it is, or with two neighbouring letters changed over: the slip that counts as two elsewhere. */
function slipsOf(term: string): Query {
  const slips = term.length < 4 ? [] : [...term].slice(1).map((_, at) => swapped(term, at));
  return { combineWith: "OR", queries: [term, { queries: slips, fuzzy: false, prefix: false, boostTerm: () => 0.5 }] };
}

function swapped(term: string, at: number): string {
  return term.slice(0, at) + term.charAt(at + 1) + term.charAt(at) + term.slice(at + 2);
}

/**
 * Best first. With one letter or none, nothing.
 *
 * @param most So many of them at most: the reason of each is looked for.
 */
export function search(index: Index, typed: string, most: number): { readonly count: number; readonly best: Found[] } {
  const queries = typed.trim().length > 1 ? termsOf(typed).map(slipsOf) : [];
  if (queries.length === 0) return { count: 0, best: [] };
  // All words if something has them all; else whatever has any.
  let found = index.search({ combineWith: "AND", queries });
  if (found.length === 0) found = index.search({ combineWith: "OR", queries });
  const best = found.slice(0, most).map((one) => {
    const { id, href, title, note } = one as Stored;
    const why = whyOf(one as Stored);
    return { id, href, title, note, ...(why && { why }) };
  });
  return { count: found.length, best };
}

/** The phrase, cause or part with most of the words that matched, unless the title has as many. */
function whyOf(one: Stored): Why | undefined {
  const matched = new Set(one.terms);
  const count = (text: string): number => new Set(termsOf(text).filter((term) => matched.has(term))).size;
  let most = count(one.title);
  let why: Why | undefined;
  for (const kind of ["says", "causes", "parts"] as const)
    for (const text of one[kind].split("\n")) {
      const here = count(text);
      if (here > most) {
        most = here;
        why = { kind, text };
      }
    }
  return why;
}
