import { defineRule } from "../5-analyse/rule.ts";

export default defineRule({
  name: "case-unused",
  group: "graph",
  severity: "warning",
  summary: "A `sort` has a case that no family it serves can take.",
  why: "The case is a way nobody goes: either a family is missing from the tree, or the value is misspelt.",
  more: `
Only families that the tree serves count; for a routine, those of all trees that use it. An \`else\` is unused when every
family has a case of its own.
`,
  *onProcedure({ procedure, graphs, world }) {
    const families = graphs.flatMap(({ graph }) => graph.families);
    if (families.length === 0) return;
    for (const step of procedure.steps.values()) {
      if (step.kind !== "sort" || step.fact === undefined) continue;
      const facts = families.flatMap(
        (family) => world.catalogs.equipment.get(family)?.entry.facts[step.fact ?? ""] ?? [],
      );
      // A fact that no family has is told as a missing case.
      if (facts.length === 0) continue;
      const values = new Set(facts.map(String));
      const cases = new Set(step.branches.map(({ value }) => value));
      for (const branch of step.branches) {
        const taken =
          branch.value === undefined ? [...values].some((value) => !cases.has(value)) : values.has(branch.value);
        if (taken) continue;
        yield {
          at: branch.at,
          message:
            branch.value === undefined
              ? `every family has a case of its own at \`${step.id}\`; \`else\` is never taken`
              : `no family here has \`${step.fact}: ${branch.value}\``,
          families,
          allFamilies: true,
          hint: `the values are ${[...values].map((value) => `\`${value}\``).join(", ")}`,
          about: step.id,
        };
      }
    }
  },
});
