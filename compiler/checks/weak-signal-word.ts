import { defineRule } from "../5-analyse/rule.ts";
import type { Hazard } from "../model/format.ts";

const strength = { notice: 0, caution: 1, warning: 2, danger: 3 } as const;
type Signal = keyof typeof strength;

/** Words by which an author owns up to what can happen; common English, no published list. */
const deadly = /\b(kill(s|ed)?|dead(ly)?|die[sd]?|death|fatal(ly)?|drown(s|ing)?|electrocut\w*|suffocat\w*)\b/i;
const hurting =
  /\b(burn(s|ed)?|scald\w*|injur\w*|poison\w*|blind\w*|shock|cut(s)?|crush\w*|ill(ness)?|hurt(s)?|bruis\w*|sprain\w*)\b/i;

export default defineRule({
  name: "weak-signal-word",
  group: "safety",
  severity: "error",
  summary: "A hazard's signal word is not the one that its harm calls for.",
  why: "A word that is too weak is read past; one that is too strong wears the others out.",
  more: `
ANSI Z535.6 keeps each word for one thing. **DANGER**: will kill or seriously injure if not avoided. **WARNING**: could
kill or seriously injure. **CAUTION**: could injure lightly or moderately. **NOTICE**: not about injury at all, and without
the alert triangle. With \`harm\` and \`chance\` in the catalog the word follows; without them, the words of the
\`consequence\` are looked at, and only a word that is too weak for them is reported.
`,
  *onBase({ world }) {
    for (const { id, at, entry, file } of world.catalogs.hazards.values()) {
      const span = file.positions.value(entry, "signal");
      const place = span ? { file: file.path, ...span } : at;
      const asked = wordFor(entry);
      if (asked && asked.word !== entry.signal && (asked.exact || strength[entry.signal] < strength[asked.word]))
        yield {
          at: place,
          message: `\`${id}\` says ${entry.signal.toUpperCase()}, but ${asked.because} calls for ${asked.word.toUpperCase()}`,
          hint: `write \`signal: ${asked.word}\`, or correct what can come of it`,
          about: id,
        };
    }
  },
});

/** The decision of ANSI Z535.6 (wording of ANSI Z535.4-2007, 4.14): outcome and likelihood to word. */
function wordFor({
  harm,
  chance = "could",
  consequence,
}: Hazard): { word: Signal; because: string; exact: boolean } | undefined {
  if (harm === "death" || harm === "serious-injury")
    return {
      word: chance === "will" ? "danger" : "warning",
      because: `${harm === "death" ? "death" : "serious injury"} that ${chance} happen`,
      exact: true,
    };
  if (harm === "minor-injury") return { word: "caution", because: "a light injury", exact: true };
  if (harm === "damage") return { word: "notice", because: "damage without injury", exact: true };
  const kills = deadly.exec(consequence)?.[0];
  if (kills) return { word: "warning", because: `a consequence that says "${kills}"`, exact: false };
  const hurts = hurting.exec(consequence)?.[0];
  return hurts ? { word: "caution", because: `a consequence that says "${hurts}"`, exact: false } : undefined;
}
