/**
 * Schema errors in the words of somebody who writes trees.
 *
 * A choice between shapes (`anyOf`) makes the validator report what is wrong with every alternative. Here the
 * alternative that the author meant is picked first (a step that says `look` was meant as a look), and only its errors
 * are told.
 */
import type { ErrorObject } from "ajv";
import type { Finding } from "../model/complaint.ts";
import type { FileKind, ParsedFile } from "../model/parsed.ts";
import type { Span } from "../model/source.ts";
import { nearest } from "../words/nearest.ts";
import { elsewhere, otherWord } from "./other-words.ts";
import { schemas, thoroughDefinition, thoroughValidator } from "./validators.ts";

interface Definition {
  readonly type?: string;
  readonly const?: unknown;
  readonly enum?: readonly string[];
  readonly description?: string;
  readonly examples?: readonly unknown[];
  readonly required?: readonly string[];
  readonly properties?: Readonly<Record<string, Definition & { readonly $ref?: string }>>;
}
const definitions = schemas["step.json"].$defs as Readonly<Record<string, Definition>>;
const stepKinds = ["look", "measure", "do", "sort", "use", "found", "stop"];

/** All that the schema of this kind of file has against it; empty when it is valid. */
export function explain(file: ParsedFile, kind: FileKind): Finding[] {
  const validate = thoroughValidator(kind);
  if (validate(file.data)) return [];
  const findings: Finding[] = [];
  tell(file, [], validate.errors ?? [], findings);
  return findings;
}

function tell(file: ParsedFile, base: readonly string[], errors: readonly ErrorObject[], into: Finding[]): void {
  const choices = errors.filter((error) => error.keyword === "anyOf");
  const outermost = choices.filter(
    (choice) => !choices.some((other) => other !== choice && isBelow(choice.instancePath, other.instancePath)),
  );
  const own = errors.filter(
    (error) =>
      !outermost.some((c) => c.instancePath === error.instancePath || isBelow(error.instancePath, c.instancePath)),
  );
  const lacking = new Map<string, ErrorObject[]>();
  for (const error of own)
    if (error.keyword === "required" && !isMisspelt(error, errors)) {
      const beside = lacking.get(error.instancePath);
      if (beside) beside.push(error);
      else lacking.set(error.instancePath, [error]);
    }
  for (const [path, group] of lacking) tellLacking(file, [...base, ...pathOf(path)], group, into);
  for (const error of own)
    if (error.keyword !== "required" && !isToldByAnother(error, errors))
      tellOne(file, [...base, ...pathOf(error.instancePath)], error, into);
  for (const choice of outermost) tellChoice(file, [...base, ...pathOf(choice.instancePath)], choice, into);
}

/** A word that is lacking because it is misspelt, or because another word was written for it, is told where that stands. */
function isMisspelt(lacking: ErrorObject, errors: readonly ErrorObject[]): boolean {
  const missing = (lacking.params as { missingProperty?: string }).missingProperty;
  return strangers(lacking.instancePath, errors).some((error) => meant(error)?.key === missing);
}

/** `not-fixed` beside `fixed`: both want the same, which is told at the first. */
function isToldByAnother(error: ErrorObject, errors: readonly ErrorObject[]): boolean {
  if (error.keyword !== "additionalProperties") return false;
  const told = meant(error);
  if (told?.moved !== true) return false;
  const first = strangers(error.instancePath, errors).find((other) => {
    const its = meant(other);
    return its?.moved === true && its.key === told.key;
  });
  return first !== error;
}

function strangers(path: string, errors: readonly ErrorObject[]): ErrorObject[] {
  return errors.filter((error) => error.keyword === "additionalProperties" && error.instancePath === path);
}

/** What the author of a word that is not known here may have had in mind. */
function meant(error: ErrorObject): { readonly key: string; readonly hint: string; readonly moved?: true } | undefined {
  const stranger = String((error.params as { additionalProperty?: string }).additionalProperty);
  const allowed = Object.keys((error.parentSchema as Definition).properties ?? {});
  const near = nearest(stranger, allowed) ?? otherWord(stranger, allowed);
  if (near) return { key: near, hint: `\`${near}\` may be meant` };
  const moved = elsewhere(stranger, (error.data as Record<string, unknown>)[stranger], allowed);
  return moved && { ...moved, moved: true };
}

/** All that one part lacks, in one complaint. */
function tellLacking(file: ParsedFile, path: readonly string[], errors: readonly ErrorObject[], into: Finding[]): void {
  const [first] = errors;
  if (!first) return;
  const { required = [], properties = {} } = first.parentSchema as Definition;
  const missing = new Set(errors.map(({ params }) => String((params as { missingProperty?: string }).missingProperty)));
  const keys = required.filter((key) => missing.has(key));
  const add = keys.map((key) => `\`${key}:\`${descriptionOf(properties[key])}`);
  const example = keys.length === 1 ? exampleOf(keys[0] ?? "", properties[keys[0] ?? ""]) : "";
  into.push(
    finding(file, path, `${what(path)} lacks ${list(keys)}`, { hint: `add ${add.join(", ")}${example}`, key: true }),
  );
}

function tellChoice(file: ParsedFile, path: readonly string[], choice: ErrorObject, into: Finding[]): void {
  const data = choice.data;
  const names = (choice.schema as readonly { $ref?: string; type?: string }[]).map((option) =>
    option.$ref ? (option.$ref.split("/").at(-1) ?? "") : (option.type ?? ""),
  );
  const kind = jsonType(data);
  const sameType = names.filter((name) => (definitions[name]?.type ?? name) === kind);
  if (sameType.length === 0) {
    const wanted = [...new Set(names.map((name) => typeWords[definitions[name]?.type ?? name] ?? name))];
    into.push(
      finding(
        file,
        path,
        `${what(path)} must be ${wanted.join(" or ")}, not ${typeWords[kind] ?? kind}`,
        withExample(path, choice.parentSchema as Definition),
      ),
    );
    return;
  }
  // A sentence where a list of sentences can stand as well as an id was meant for the list.
  if (typeof data === "string" && data.includes(" ") && names.some((name) => definitions[name]?.type === "array")) {
    into.push(
      finding(file, path, `${what(path)} is an id or a list; this is neither`, {
        hint: `for a list, write each sentence on a line of its own below, behind \`- \``,
      }),
    );
    return;
  }
  let meant = sameType[0] ?? "";
  if (kind === "object" && sameType.length > 1) {
    const map = data as Record<string, unknown>;
    const signs = sameType.map((name) => definitions[name]?.required?.[0] ?? "");
    const said = signs.filter((sign) => sign in map);
    if (said.length === 0) {
      const typed = Object.keys(map);
      const near = typed
        .map((key) => [key, nearest(key, signs) ?? otherWord(key, signs)] as const)
        .find(([, sign]) => sign);
      const sentence = typed.length === 1 && typed[0]?.includes(" ");
      into.push(
        finding(file, path, `${what(path)} has none of the words that say what kind it is: ${list(signs)}`, {
          hint: sentence
            ? "put quotes around a text that holds a colon followed by a space"
            : near
              ? `\`${near[0]}\` may be meant as \`${near[1]}\``
              : `begin it with one of them`,
          key: true,
        }),
      );
      return;
    }
    if (said.length > 1) {
      const second = said[1] ?? "";
      into.push({
        ...finding(file, path, `${what(path)} says both \`${said[0]}\` and \`${second}\`; it can only be one kind`, {
          hint: "make it two steps, one leading to the other",
        }),
        at: { file: file.path, ...(file.positions.key(map, second) ?? { start: 0, end: 0 }) },
      });
      return;
    }
    meant = sameType[signs.indexOf(said[0] ?? "")] ?? meant;
  }
  const validate = thoroughDefinition(meant);
  if (validate && !validate(data)) tell(file, path, validate.errors ?? [], into);
  // The schema refused every alternative, so the one that was meant has a fault; a plain type has none of its own.
  else into.push(finding(file, path, `${what(path)} must be ${formOf(choice)}`));
}

function tellOne(file: ParsedFile, path: readonly string[], error: ErrorObject, into: Finding[]): void {
  const params = error.params as Record<string, unknown>;
  const name = what(path);
  const holder = memberAt(file.data, path.slice(0, -1));
  // What is cut off a text has no value; that it is no word of the format has been told.
  if (error.keyword === "type" && holder && isCutOff(file, holder, path.at(-1) ?? "")) return;
  switch (error.keyword) {
    case "additionalProperties": {
      const key = String(params.additionalProperty);
      const allowed = Object.keys((error.parentSchema as Definition).properties ?? {});
      const map = error.data as object;
      const kind = stepKinds.find((word) => word in map);
      const where = kind && path.length > 0 ? `a \`${kind}\` step` : path.length === 0 ? `this file` : name;
      into.push({
        rule: "invalid-shape",
        at: { file: file.path, ...(file.positions.key(map, key) ?? { start: 0, end: 0 }) },
        message: `\`${key}\` is not a word that ${where} knows`,
        hint: isCutOff(file, map, key) ? quoteIt : (meant(error)?.hint ?? `it knows ${list(allowed)}`),
        about: key,
      });
      return;
    }
    case "propertyNames": {
      const key = String(params.propertyName);
      const map = error.data as object;
      into.push({
        rule: "invalid-shape",
        at: { file: file.path, ...(file.positions.key(map, key) ?? { start: 0, end: 0 }) },
        message: `\`${key}\` can't be an id`,
        hint: isCutOff(file, map, key) ? quoteIt : idHint(key),
      });
      return;
    }
    case "pattern":
      // An id that is a bad property name is told once, by `propertyNames`.
      if (error.propertyName !== undefined) return;
      into.push(
        isIdPattern(error.schema)
          ? finding(file, path, `${name} is not written as an id`, { hint: idHint(String(error.data)) })
          : finding(file, path, `${name} must be ${formOf(error)}`),
      );
      return;
    case "enum": {
      const allowed = error.schema as readonly string[];
      const near = nearest(String(error.data), allowed);
      into.push(
        finding(file, path, `${name} can't be \`${String(error.data)}\`; it is one of ${list(allowed)}`, {
          ...(near ? { hint: `\`${near}\` may be meant` } : {}),
        }),
      );
      return;
    }
    case "const":
      into.push(finding(file, path, `${name} must be \`${String(error.schema)}\``));
      return;
    case "type":
      into.push(
        finding(
          file,
          path,
          `${name} must be ${typeWords[String(error.schema)] ?? String(error.schema)}, not ${typeWords[jsonType(error.data)] ?? "that"}`,
          typeHint(path, error),
        ),
      );
      return;
    case "minLength":
      if (error.propertyName === undefined) into.push(finding(file, path, `${name} is empty`));
      return;
    case "maxLength":
      if (error.propertyName === undefined)
        into.push(finding(file, path, `${name} is longer than ${String(params.limit)} characters`));
      return;
    case "minItems":
    case "minProperties":
      into.push(
        finding(file, path, `${name} needs at least ${String(params.limit)} ${entries(params.limit)}`, { key: true }),
      );
      return;
    case "maxItems":
    case "maxProperties":
      into.push(
        finding(file, path, `${name} can hold at most ${String(params.limit)} ${entries(params.limit)}`, { key: true }),
      );
      return;
    case "uniqueItems":
      into.push(
        finding(file, [...path, String(params.i)], `this stands twice in ${name}`, { hint: "delete one of the two" }),
      );
      return;
    case "minimum":
    case "maximum":
    case "exclusiveMinimum":
    case "exclusiveMaximum":
      into.push(finding(file, path, `${name} must be ${comparison[error.keyword]} ${String(params.limit)}`));
      return;
    default:
      if (error.propertyName === undefined)
        into.push(finding(file, path, `${name} ${error.message ?? "does not keep to the format"}`));
  }
}

function typeHint(path: readonly string[], { schema, data, parentSchema }: ErrorObject): { hint?: string } {
  if (schema === "object" && Array.isArray(data) && path.length > 0)
    return { hint: "write the name of each, with a colon, in place of its `- `" };
  if (schema === "string" && (typeof data === "number" || typeof data === "boolean"))
    return { hint: `put quotes around it: \`"${String(data)}"\`` };
  return withExample(path, parentSchema as Definition);
}

const comparison = {
  minimum: "at least",
  maximum: "at most",
  exclusiveMinimum: "more than",
  exclusiveMaximum: "less than",
} as const;
const typeWords: Readonly<Record<string, string>> = {
  object: "a group of `key: value` lines",
  array: "a list",
  string: "text",
  number: "a number",
  integer: "a whole number",
  boolean: "true or false",
  null: "empty",
};

function entries(count: unknown): string {
  return count === 1 ? "entry" : "entries";
}

function jsonType(data: unknown): string {
  if (data === null || data === undefined) return "null";
  if (Array.isArray(data)) return "array";
  return typeof data;
}

function list(words: readonly string[]): string {
  return words.map((word) => `\`${word}\``).join(", ");
}

function what(path: readonly string[]): string {
  const last = path.at(-1);
  if (last === undefined) return "this file";
  return /^\d+$/.test(last) && path.length > 1 ? `entry ${Number(last) + 1} of \`${path.at(-2)}\`` : `\`${last}\``;
}

function isIdPattern(schema: unknown): boolean {
  return schema === "^[a-z0-9]+(-[a-z0-9]+)*$";
}
/** What the schema says of a value, as the end of "must be ...". */
function formOf(error: ErrorObject): string {
  const description = (error.parentSchema as { description?: string }).description?.split(/\. /)[0];
  return description ? lowerFirst(description.replace(/\.$/, "")) : "written as the format asks for";
}
function idHint(text: string): string {
  const id = text
    .normalize("NFKD")
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, "-")
    .replace(/^-+|-+$/g, "")
    .slice(0, 60);
  return id
    ? `write \`${id}\`: small letters, digits and single hyphens`
    : "use small letters, digits and single hyphens";
}

type Property = NonNullable<Definition["properties"]>[string];

/** What a word is for: its own description, else that of what it refers to. */
function descriptionOf(property: Property | undefined): string {
  const always = property?.const ?? referredTo(property)?.const;
  if (always !== undefined) return ` (always \`${String(always)}\`)`;
  if (property?.enum) return ` (one of ${list(property.enum)})`;
  const description = property?.description ?? referredTo(property)?.description;
  return description ? ` (${lowerFirst(description.split(/(?<=[.:]) /)[0]?.replace(/[.:]$/, "") ?? "")})` : "";
}
function referredTo(property: Property | undefined): Definition | undefined {
  return definitions[property?.$ref?.split("/").at(-1) ?? ""];
}

/** The end of a hint, where the schema has an example. */
function exampleOf(key: string, property: Property | undefined): string {
  const [example] = property?.examples ?? referredTo(property)?.examples ?? [];
  return example === undefined ? "" : `, such as \`${key}: ${inFlow(example)}\``;
}
function withExample(path: readonly string[], { examples }: Definition): { hint?: string } {
  const [example] = examples ?? [];
  const key = path.at(-1);
  return example === undefined || key === undefined ? {} : { hint: `write it as \`${key}: ${inFlow(example)}\`` };
}
/** Between braces, as YAML; the schema's examples hold nothing that asks for quotes. */
function inFlow(value: unknown): string {
  if (Array.isArray(value)) return `[${value.map(inFlow).join(", ")}]`;
  if (typeof value !== "object" || value === null) return String(value);
  return `{${Object.entries(value)
    .map(([key, member]) => `${key}: ${inFlow(member)}`)
    .join(", ")}}`;
}
function lowerFirst(text: string): string {
  return text.charAt(0).toLowerCase() + text.slice(1);
}

/** A JSON pointer's parts. */
function pathOf(pointer: string): string[] {
  return pointer
    .split("/")
    .slice(1)
    .map((part) => part.replaceAll("~1", "/").replaceAll("~0", "~"));
}
function isBelow(inner: string, outer: string): boolean {
  return inner.length > outer.length && inner.startsWith(`${outer}/`);
}

const quoteIt = "between { and } a comma ends a text: put quotes around the whole of it";

/** Whether a key is really the rest of a text, cut off by a comma between braces: `{say: It stops, or drips}`. */
function isCutOff(file: ParsedFile, map: object, key: string): boolean {
  const at = file.positions.key(map, key);
  return (
    at !== undefined && (map as Record<string, unknown>)[key] === null && /,\s*$/.test(file.text.slice(0, at.start))
  );
}

function memberAt(data: unknown, path: readonly string[]): object | undefined {
  let member = data;
  for (const part of path) member = (member as Record<string, unknown> | null)?.[part];
  return typeof member === "object" && member !== null ? member : undefined;
}

/** Points at the value; with `key`, at the key that holds it, since a missing part has no place of its own. */
function finding(
  file: ParsedFile,
  path: readonly string[],
  message: string,
  more: { hint?: string; key?: boolean } = {},
): Finding {
  const { key, ...rest } = more;
  const about = [...path].reverse().find((part) => !/^\d+$/.test(part));
  return {
    rule: "invalid-shape",
    at: { file: file.path, ...place(file, path, key === true) },
    message,
    ...rest,
    ...(about ? { about } : {}),
  };
}

function place(file: ParsedFile, path: readonly string[], key: boolean): Span {
  let data = file.data;
  let span: Span = { start: 0, end: firstLineEnd(file.text) };
  path.forEach((part, index) => {
    if (typeof data !== "object" || data === null) return;
    const last = index === path.length - 1;
    if (Array.isArray(data)) {
      span = file.positions.value(data, Number(part)) ?? span;
      data = data[Number(part)] as unknown;
    } else {
      const at = last && !key ? file.positions.value(data, part) : file.positions.key(data, part);
      // An empty value has no extent: then its key is the smallest text there is.
      span = (at && at.end > at.start ? at : file.positions.key(data, part)) ?? span;
      data = (data as Record<string, unknown>)[part];
    }
  });
  return span;
}

function firstLineEnd(text: string): number {
  const end = text.search(/[\r\n]/);
  return end < 0 ? text.length : end;
}
