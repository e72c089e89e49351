/** A rule in full: what, why, and both examples with what the compiler says of them. */
import { existsSync, readFileSync } from "node:fs";
import { rules } from "../checks/registry.ts";
import { check, textsOf } from "../compile.ts";
import { exampleInput, splitExample } from "../examples.ts";
import { Sources } from "../report/lines.ts";
import { renderComplaint } from "../report/terminal.ts";
import { nearest } from "../words/nearest.ts";
import { UsageError } from "./usage-error.ts";

/** The day on which the examples are read; their reviews are dated to it. */
export const EXAMPLE_DAY = "2026-10-02";

function beside(name: string): string {
  return readFileSync(new URL(`../checks/${name}`, import.meta.url), "utf8");
}

export function listRules(): string {
  const groups = [...new Set(rules.map(({ group }) => group))];
  const width = Math.max(...rules.map(({ name }) => name.length));
  return groups
    .map((group) =>
      [
        group,
        ...rules
          .filter((rule) => rule.group === group)
          .map(({ name, severity, summary }) => `  ${name.padEnd(width)}  ${severity.padEnd(7)}  ${summary}`),
      ].join("\n"),
    )
    .join("\n\n")
    .concat("\n");
}

export function explainRule(name: string, color: boolean): string {
  const rule = rules.find((candidate) => candidate.name === name);
  if (!rule) {
    const near = nearest(
      name,
      rules.map((candidate) => candidate.name),
    );
    throw new UsageError(
      `there is no rule ${name}${near ? `; ${near} may be meant` : "; `headwater explain` lists them"}`,
    );
  }
  const base = beside("example-base.yaml");
  const parts = [`${rule.name} (${rule.severity}, ${rule.group})`, rule.summary, `Why: ${rule.why}`, rule.more.trim()];
  for (const kind of ["bad", "good"] as const) {
    const file = `${rule.name}.${kind}.yaml`;
    if (!existsSync(new URL(`../checks/${file}`, import.meta.url))) continue;
    const text = beside(file);
    const input = exampleInput(text, base);
    const result = check(input, { today: EXAMPLE_DAY, only: [rule.name] });
    const sources = new Sources(textsOf(input));
    parts.push(
      kind === "bad" ? "Complained of:" : "Not complained of:",
      splitExample(text)
        .map(({ path, text: content }) => `  ${path}\n${indent(content.trimEnd(), "    ")}`)
        .join("\n\n"),
    );
    const said = result.complaints
      .filter((complaint) => complaint.rule === rule.name)
      .map((complaint) => renderComplaint(complaint, sources, { color, prefix: "" }));
    if (kind === "bad") parts.push(said.map((text_) => indent(text_, "  ")).join("\n\n"));
  }
  return `${parts.join("\n\n")}\n`;
}

function indent(text: string, by: string): string {
  return text.replace(/^(?=.)/gm, by);
}
