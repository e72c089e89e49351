import { pairKey } from "../5-analyse/facts/cause-pairs.ts";
import { defineRule } from "../5-analyse/rule.ts";

export default defineRule({
  name: "causes-alike",
  group: "causes",
  severity: "warning",
  summary: "No check of the tree tells two of its causes apart.",
  why: "The one that is named first gets repaired, and only the failed repair tells that it was the other.",
  more: `
Two causes are alike when at every check of the tree there is an answer that both may show, by their \`shows\` or by what is
shown \`normally\`; a check of which nothing is said tells nothing apart. Only looks, measurements and routines with several
outcomes count, and only those that the kind of equipment meets. Where another tree, or this one for other equipment, has a
check that would tell them apart, the hint names it. Sometimes there is none, and the cheaper repair is tried first: then
accept it, and say so.
`,
  *onBase({ trees }) {
    const elsewhere = new Map<string, { tree: string; check: string }[]>();
    for (const { id, pairs } of trees)
      for (const [pair, check] of pairs.apart) {
        const known = elsewhere.get(pair);
        if (known) known.push({ tree: id, check });
        else elsewhere.set(pair, [{ tree: id, check }]);
      }
    for (const { id, pairs } of trees)
      for (const { first, second, firstAt, at, unsaid, families, allFamilies } of pairs.alike) {
        const would = elsewhere.get(pairKey(first, second)) ?? [];
        const one = would.find(({ tree }) => tree === id) ?? would[0];
        yield {
          at,
          message: `no check tells \`${second}\` from \`${first}\``,
          related: [{ at: firstAt, text: "the other one" }],
          families,
          allFamilies,
          hint: unsaid
            ? `say under \`shows:\` of both what they show at \`${unsaid}\``
            : one
              ? `\`${one.check}\`${one.tree === id ? " does for other equipment" : ` of the tree \`${one.tree}\` would`}: take it up here`
              : "no check of the base does: add one, or accept it and say which is tried first",
          about: second,
        };
      }
  },
});
