/** Which way the arrows point. `fence.test.ts` shows of each of these that it bites. */

/** `from` may import nothing of ours except `may`. Packages are outside this rule. */
const only = (name, from, ...may) => ({
  name,
  severity: "error",
  from: { path: `^${from}` },
  to: { path: "^(compiler|site|tests|schema)/", pathNot: may.map((path) => `^${path}`) },
});

const model = "compiler/model/";
const words = "compiler/words/";
const phases = ["1-parse", "2-shape", "3-link", "4-specialise", "5-analyse", "6-emit"];

export default {
  forbidden: [
    only("model-knows-nobody", model, model),
    only("words-know-nobody", words, words),
    ...phases.map((phase, index) =>
      only(
        `${phase}-looks-back`,
        `compiler/${phase}/`,
        ...phases.slice(0, index + 1).map((earlier) => `compiler/${earlier}/`),
        model,
        words,
        // The schemas are the only definition of the format's shape, and only one phase reads them.
        ...(phase === "2-shape" ? ["schema/"] : []),
      ),
    ),
    only("checks-stand-alone", "compiler/checks/(?!registry)", model, words, "compiler/5-analyse/(facts/|rule[.]ts$)"),
    only("registry-only-lists", "compiler/checks/registry[.]ts$", "compiler/checks/", "compiler/5-analyse/rule[.]ts$"),
    only("report-decides-nothing", "compiler/report/", "compiler/report/", model, words, "compiler/compile[.]ts$"),
    {
      name: "report-takes-types-alone-from-the-phases",
      severity: "error",
      from: { path: "^compiler/report/" },
      to: { path: "^compiler/compile[.]ts$", dependencyTypesNot: ["type-only"] },
    },
    // What a visit leaves behind is read in by the published schema itself.
    only("site-uses-the-front-door", "site/", "site/", "compiler/index[.]ts$", model, "schema/record[.]json$"),
    // A catalogue is texts alone: one for another language needs no knowledge of pages.
    only("texts-know-nobody", "site/src/words/", "site/src/words/"),
    {
      name: "texts-come-by-language",
      severity: "error",
      from: { path: "^(compiler|site)/", pathNot: "^site/src/words/" },
      // By `#words/<part>` alone, for which the build puts in the language.
      to: { path: "^site/src/words/", dependencyTypesNot: ["aliased-subpath-import"] },
    },
    {
      name: "only-the-command-knows-node",
      severity: "error",
      from: { path: "^compiler/", pathNot: ["^compiler/cli/", "^compiler/generate[.]ts$"] },
      to: { dependencyTypes: ["core"] },
    },
    {
      name: "nothing-rests-on-tests",
      severity: "error",
      from: { pathNot: "^tests/" },
      to: { path: "^tests/" },
    },
    {
      name: "no-cycles",
      severity: "error",
      from: {},
      to: { circular: true },
    },
    {
      name: "nothing-unresolved",
      severity: "error",
      from: {},
      to: { couldNotResolve: true },
    },
  ],
  options: {
    tsPreCompilationDeps: true,
    doNotFollow: { path: "node_modules" },
    exclude: { path: "(^|/)(node_modules|dist|[.]astro)/" },
    tsConfig: { fileName: "tsconfig.json" },
    enhancedResolveOptions: { exportsFields: ["exports"], conditionNames: ["import", "types", "node", "default"] },
  },
};
