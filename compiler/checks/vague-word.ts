import { type Prose, phrasePattern, placeOf } from "../5-analyse/facts/prose.ts";
import { defineRule } from "../5-analyse/rule.ts";
import type { World } from "../model/base.ts";
import type { Finding } from "../model/complaint.ts";
import { plainText } from "../words/markdown.ts";

/** What instructions in English are commonly spoilt by, with what the reader would have to know; no published list. */
const known: Readonly<Record<string, string>> = {
  "check properly": "what to look at, and what it must show",
  properly: "what it looks like when it is right",
  correctly: "what it looks like when it is right",
  "as needed": "how much, or by what sign",
  "as required": "how much, or by what sign",
  "as necessary": "how much, or by what sign",
  "if necessary": "by what sign one knows",
  "if needed": "by what sign one knows",
  "as appropriate": "which, and when",
  appropriate: "which one",
  appropriately: "how",
  adequate: "how much",
  adequately: "how much",
  sufficiently: "how much",
  periodically: "how often",
  regularly: "how often",
  "from time to time": "how often",
  "for a while": "how long",
  "some time": "how long",
  "should be fine": "what it must show",
  "should be ok": "what it must show",
  "looks ok": "what it must show",
  "looks good": "what it must show",
  "and so on": "the rest, or nothing",
  "and the like": "the rest, or nothing",
  etc: "the rest, or nothing",
  somehow: "how",
  "make sure everything": "each thing",
  "use common sense": "what to do",
};

export default defineRule({
  name: "vague-word",
  group: "prose",
  severity: "warning",
  summary: "A text uses words that leave the reader guessing.",
  why: "The apprentice asks how much, how long or by what sign, and the page does not answer.",
  more: `
A list of such phrases is known for English. A base adds its own in the manifest, or allows one of them:
\`prose: {vague: [give it a good wipe], allow: [regularly]}\`.
`,
  onTexts: vague,
});

interface Search {
  readonly pattern: RegExp | undefined;
  /** By the phrase in lower case: what the reader would have to know. */
  readonly missing: ReadonlyMap<string, string>;
}

const searches = new WeakMap<World, Search>();

function searchOf(world: World): Search {
  let search = searches.get(world);
  if (!search) {
    const { language = "en", prose } = world.manifest?.data ?? {};
    const allowed = new Set(prose?.allow?.map((phrase) => phrase.toLowerCase()));
    const missing = new Map<string, string>();
    if (/^en\b/.test(language))
      for (const [phrase, what] of Object.entries(known)) if (!allowed.has(phrase)) missing.set(phrase, what);
    for (const phrase of prose?.vague ?? []) missing.set(phrase.toLowerCase(), "exactly what is meant");
    // Longer ones first, so that `check properly` is not told as `properly`.
    const phrases = [...missing.keys()].sort((a, b) => b.length - a.length || (a < b ? -1 : 1));
    const pattern = phrases.length === 0 ? undefined : phrasePattern(phrases);
    search = { pattern, missing };
    searches.set(world, search);
  }
  return search;
}

function* vague(texts: readonly Prose[], world: World): Iterable<Omit<Finding, "rule">> {
  const { pattern, missing } = searchOf(world);
  if (!pattern) return;
  for (const prose of texts)
    for (const [words] of plainText(prose.text).matchAll(pattern)) {
      const phrase = words.toLowerCase().replace(/\s+/g, " ");
      yield {
        at: placeOf(prose, words),
        message: `\`${words}\` leaves the reader guessing`,
        hint: `say ${missing.get(phrase) ?? "exactly what is meant"}`,
        about: phrase,
      };
    }
}
