/**
 * Whether something read from a file is a job record, by the published schema. The build of the pages writes the
 * validator out as plain code (see `bundle.ts`), so that no page carries the library that makes it.
 */
import { Ajv2020, type ValidateFunction } from "ajv/dist/2020.js";
import schema from "../../../schema/record.json" with { type: "json" };
import type { JobRecord } from "./format.ts";

/** After `false`, its `errors` say where and what. */
export const validate: ValidateFunction<JobRecord> = new Ajv2020().compile<JobRecord>(schema);
