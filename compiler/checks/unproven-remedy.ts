import { defineRule } from "../5-analyse/rule.ts";

export default defineRule({
  name: "unproven-remedy",
  group: "safety",
  severity: "error",
  summary: "A cause is found and its remedy is not proven, or its proof can't fail, or nothing is done about it.",
  why: "A repair that nobody has proven is a guess; the customer finds out in the evening.",
  more: `
A \`found\` step has a remedy and a \`prove\`, or only a \`prove\`, or it hands the work to somebody else by \`then\`. A proof
must be able to fail: some answer or range of it leads to something else than \`done\`. A remedy that is followed by
\`then\` must come to a hand-over, since whoever comes next proves it.
`,
  *onProcedure({ procedure, graphs }) {
    for (const step of procedure.steps.values()) {
      if (step.isProof && step.branches.length > 0 && !step.incomplete) {
        const targets = step.branches.flatMap(({ to, again }) => (again ? [to, again.else] : [to]));
        if (targets.every((to) => to === "done"))
          yield {
            at: step.at,
            message: `the proof of \`${step.of}\` can't fail: whatever the answer, it leads to \`done\``,
            hint: "lead the bad answer on to the next cause, or to a hand-over",
            about: step.of ?? step.id,
          };
        else if (!targets.includes("done"))
          yield {
            at: step.at,
            message: `the proof of \`${step.of}\` never leads to \`done\``,
            hint: "lead the good answer to `done`",
            about: step.of ?? step.id,
          };
      }
      if (step.kind !== "found" || step.incomplete) continue;
      const parts = [...procedure.steps.values()].filter(({ of }) => of === step.id);
      const remedy = parts.filter(({ isProof }) => !isProof);
      if (parts.some(({ isProof }) => isProof)) continue;
      const last = remedy.at(-1) ?? step;
      const next = last.branches[0]?.to;
      if (next === undefined && !last.incomplete) {
        yield {
          at: step.titleAt,
          message:
            remedy.length > 0
              ? `the remedy of \`${step.id}\` is not proven`
              : `\`${step.id}\` names the cause and nothing is done about it`,
          hint: "add `prove:` with a look or a measurement, or `then:` with a hand-over",
          about: step.id,
        };
        continue;
      }
      const to = next === undefined ? undefined : procedure.steps.get(next);
      if (remedy.length > 0 && to && graphs.length > 0 && !(to.kind === "stop" && to.stopKind === "hand-over"))
        yield {
          at: step.titleAt,
          message: `the remedy of \`${step.id}\` is not proven: it leads on to \`${to.id}\`, which is no hand-over`,
          hint: "add `prove:`, or hand over",
          about: step.id,
        };
    }
  },
});
