import { checkOrder, WORTH_IT } from "../5-analyse/facts/check-order.ts";
import { defineRule } from "../5-analyse/rule.ts";

/** So many checks of the new order fit into a line. */
const TOLD = 5;

type Best = NonNullable<ReturnType<typeof checkOrder>>["best"];

export default defineRule({
  name: "better-order",
  group: "cost",
  severity: "advice",
  summary: "The same checks in another order would find the cause sooner.",
  why: "Every visit takes longer than it has to, and the customer waits.",
  more: `
The causes of the tree, with their \`likelihood\` and what each shows at each check, and the \`minutes\` of the checks say how
long any order takes on average. The best one is searched for: exactly, up to 16 causes and 24 checks, else as well as it
goes, and then it is said how far it can be from the best. It is advised when it saves at least 15 %. What a check needs is
priced by the step that brings it about. Remedies, proofs and putting back are left out on both sides, and so is work that
sets nothing and leads to several checks. A cause shows one of several answers as often as another.

Nothing is advised where some cause is not found on all its ways or only by a check behind a repair, or where a check has no
\`minutes\`. No order takes less than the entropy of the causes allows: so many bits have to be told, and a check with two
answers tells one at the most.

What must come first is known from \`needs\`, and from readings that a later formula uses. A check that only makes sense
behind another answer, and does not say so by a state, can be advised too early. There can be other good reasons for the
order as it is: the dirty work last, the customer's question first. Then say so in the tree, \`keep-order: <reason>\`.
`,
  *onGraph({ graph, world }) {
    const { procedure } = graph;
    if (procedure.keepOrder !== undefined) return;
    const order = checkOrder(graph, world, WORTH_IT);
    if (!order) return;
    const { now, best } = order;
    const gap = best.isExact ? "" : `; the best may take ${minutes(best.gap)} less still`;
    yield {
      at: procedure.at,
      message: `another order of the same checks takes ${minutes(best.mean)} instead of ${minutes(now)} minutes on average`,
      hint: `first ask ${told(best)} (no order can take less than ${minutes(best.fromEntropy)} minutes on average; this one takes ${minutes(best.worst)} at the longest${gap}); or give the reason under \`keep-order\``,
      about: procedure.id,
    };
  },
});

function minutes(of: number): string {
  return of.toFixed(1);
}

/** The first check, and which comes next behind its answers, as far as it fits. */
function told({ strategy }: Best): string {
  if (strategy.kind !== "ask") return "nothing";
  let line = `\`${strategy.check}\``;
  let last = strategy.check;
  let count = 1;
  const open = [strategy];
  for (const at of open)
    for (const [answer, next] of at.next) {
      if (next.kind !== "ask") continue;
      if (count++ === TOLD) return `${line} ...`;
      line += `, on \`${answer}\`${at.check === last ? "" : ` of \`${at.check}\``} ask \`${next.check}\``;
      last = next.check;
      open.push(next);
    }
  return line;
}
