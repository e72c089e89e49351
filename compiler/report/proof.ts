/** The safety proof of one tree, as plain text for a terminal or a file. */
import {
  type CompiledBase,
  type CompiledProof,
  type CompiledRoutine,
  type CompiledTree,
  notProven,
  type ProofSource,
} from "../model/compiled.ts";

export function renderProof(base: CompiledBase, tree: CompiledTree): string {
  const routines = tree.routines.flatMap((id) => base.routines[id] ?? []);
  const parts = [
    `Safety proof of ${tree.id}`,
    `compiled ${base.compiledOn}; reviewed ${tree.reviewed.on} by ${tree.reviewed.by}`,
    "",
    ...tree.proofs.flatMap((proof) => section(`Tree ${tree.id}`, proof)),
    ...routines.flatMap((routine) => inRoutine(routine, tree)),
    "Not proven:",
    ...notProven.map((line) => `  - ${line}`),
    "",
    "Signed: ______________________  Date: ______________",
  ];
  return `${parts.join("\n")}\n`;
}

/** The proofs of a routine that concern families of this tree. */
function inRoutine(routine: CompiledRoutine, tree: CompiledTree): string[] {
  return routine.proofs
    .map((proof) => ({ ...proof, families: proof.families.filter((family) => tree.serves.includes(family)) }))
    .filter(({ families }) => families.length > 0)
    .flatMap((proof) => section(`Routine ${routine.id}`, proof));
}

function section(title: string, proof: CompiledProof): string[] {
  const lines = [`${title}, for ${proof.families.join(", ")}`];
  lines.push("  Needs, each holding on every way:");
  for (const { step, state, routine, by } of proof.needs)
    lines.push(
      `    ${step}${routine ? ` (for ${routine})` : ""} needs ${state}: ${sources(by, "held at the beginning")}`,
    );
  if (proof.needs.length === 0) lines.push("    none");
  lines.push("  Hazards, each with its caution before it on every way:");
  for (const { step, hazard, because, at } of proof.cautions)
    lines.push(
      `    ${step} raises ${hazard} (${because.kind}: ${because.what}): caution ${sources(at, "at the head")}`,
    );
  if (proof.cautions.length === 0) lines.push("    none");
  if (proof.licences.length > 0) lines.push("  Licensed work:");
  for (const { step, licence, routine, away } of proof.licences)
    lines.push(
      `    ${step}${routine ? ` (by ${routine})` : ""} is for a licensed ${licence}; without the licence: ${away}`,
    );
  if (proof.ends.length > 0) lines.push("  Ends, and what may still hold there:");
  for (const { end, of, routine, left } of proof.ends)
    lines.push(
      `    ${end}${routine ? ` inside ${routine}` : ""}${of ? ` (from ${of})` : ""}: ${left.length === 0 ? "nothing" : left.map(({ state, reason }) => `${state}${reason ? " (with its reason)" : ""}`).join(", ")}`,
    );
  return [...lines, ""];
}

function sources(list: readonly ProofSource[], beginning: string): string {
  return list
    .map((source) =>
      source === "here" ? "at the step itself" : source === "beginning" ? beginning : `by ${source.step}`,
    )
    .join("; ");
}
