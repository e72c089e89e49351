/** The published schemas, compiled. They are the only definition of the format's shape. */
import { Ajv2020, type ValidateFunction } from "ajv/dist/2020.js";
import trainingCase from "../../schema/case.json" with { type: "json" };
import catalog from "../../schema/catalog.json" with { type: "json" };
import manifest from "../../schema/manifest.json" with { type: "json" };
import routine from "../../schema/routine.json" with { type: "json" };
import step from "../../schema/step.json" with { type: "json" };
import translation from "../../schema/translation.json" with { type: "json" };
import tree from "../../schema/tree.json" with { type: "json" };
import type { FileKind } from "../model/parsed.ts";

export const schemas = {
  "manifest.json": manifest,
  "catalog.json": catalog,
  "routine.json": routine,
  "tree.json": tree,
  "case.json": trainingCase,
  "translation.json": translation,
  "step.json": step,
} as const;

/** Stops at the first error: a valid file, the usual case, is not held up by the bookkeeping of the thorough one. */
const quick = build({ allErrors: false });
/** Finds every error, with the schema and the data of each, so that it can be worded. */
let thorough: Ajv2020 | undefined;

function build(options: { allErrors: boolean }): Ajv2020 {
  const ajv = new Ajv2020({
    ...options,
    verbose: options.allErrors,
    strict: true,
    strictRequired: false,
    allowUnionTypes: true,
    validateFormats: false,
  });
  for (const [name, schema] of Object.entries(schemas)) ajv.addSchema(schema, name);
  return ajv;
}

export function quickValidator(kind: FileKind): ValidateFunction {
  return get(quick, kind);
}
export function thoroughValidator(kind: FileKind): ValidateFunction {
  thorough ??= build({ allErrors: true });
  return get(thorough, kind);
}

function get(ajv: Ajv2020, kind: FileKind): ValidateFunction {
  const validate = ajv.getSchema(`${kind}.json`);
  if (!validate) throw new Error(`no schema for ${kind}`);
  return validate;
}

/** One of the shared definitions of `step.json`, with all its errors. */
export function thoroughDefinition(name: string): ValidateFunction | undefined {
  thorough ??= build({ allErrors: true });
  return thorough.getSchema(`step.json#/$defs/${name}`);
}
