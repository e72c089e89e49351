/**
 * Text to plain data with a position for every key and value.
 *
 * The only module that knows the YAML library. The library's nodes are walked once and dropped: what stays is ordinary
 * JSON-like data, and beside it, per mapping or sequence, where each member stands in the text.
 */
import { type Document, isAlias, isMap, isScalar, isSeq, type Node, parseDocument, visit, type YAMLError } from "yaml";
import type { Finding, Outcome } from "../model/complaint.ts";
import type { ParsedFile } from "../model/parsed.ts";
import { MAX_FILE_BYTES, type SourceFile, type Span } from "../model/source.ts";
import { Positions } from "./positions.ts";

/** Aliases may repeat a part of a file; above this many values in all, a file is taken for an alias bomb. */
const MAX_VALUES = 200_000;
/** Deeper nesting than any format of ours asks for; keeps every later recursion shallow. */
const MAX_DEPTH = 40;

/**
 * Never throws. `value` is undefined when the file can't be read as one YAML document; findings then say why.
 * Keys are strings in the result whatever YAML made of them; a duplicate key keeps its first value.
 */
export function parseFile(file: SourceFile): Outcome<ParsedFile | undefined> {
  if ("unreadable" in file) return { value: undefined, findings: [unreadable(file)] };
  const { path, text } = file;
  if (text.length > MAX_FILE_BYTES) return parseFile({ path, unreadable: { why: "too-large", bytes: text.length } });
  const findings: Finding[] = [];
  const document = parseDocument(text, {
    version: "1.2",
    schema: "core",
    // Own check below: the library's compares every key with every other, and points at the value.
    uniqueKeys: false,
    prettyErrors: false,
    logLevel: "error",
    keepSourceTokens: false,
  });
  if (document.errors.length > 0)
    return {
      value: undefined,
      findings: firstPerLine(document.errors, text).map((e) => fromYaml(path, text, e, document)),
    };
  if (document.contents === null || (isScalar(document.contents) && document.contents.value === null))
    return {
      value: undefined,
      findings: [
        {
          rule: "invalid-yaml",
          at: { file: path, start: 0, end: Math.min(text.length, 1) },
          message: "the file is empty",
          hint: "begin it with `format: 1` and check again: what else it takes is told then; or delete the file",
        },
      ],
    };

  const positions = new Positions();
  const anchors = new Map<string, { data: unknown; size: number }>();
  let size = 0;
  let refused = false;

  const refuse = (node: Node, message: string, hint: string): undefined => {
    if (!refused) findings.push({ rule: "unsafe-input", at: { file: path, ...spanOf(node) }, message, hint });
    refused = true;
    return undefined;
  };

  const walk = (node: unknown, depth: number): unknown => {
    if (refused) return undefined;
    size += 1;
    if (isAlias(node)) {
      const target = anchors.get(node.source);
      if (target === undefined)
        return refuse(
          node,
          `the alias \`*${node.source}\` stands inside its own anchor or before it`,
          "write the part out",
        );
      size += target.size;
      if (size > MAX_VALUES)
        return refuse(
          node,
          "aliases of aliases make this file grow beyond all measure when it is read",
          "write the parts out instead of repeating them by alias",
        );
      return target.data;
    }
    if (depth > MAX_DEPTH && (isMap(node) || isSeq(node)))
      return refuse(node, `nested more than ${MAX_DEPTH} deep`, "no part of the format is nested that deep");
    const before = size;
    let data: unknown = null;
    if (isScalar(node)) data = typeof node.value === "bigint" ? Number(node.value) : node.value;
    else if (isSeq(node)) {
      const list: unknown[] = [];
      const spans: number[] = [];
      data = list;
      for (const item of node.items) {
        const span = spanOf(item as Node);
        list.push(walk(item, depth + 1));
        spans.push(span.start, span.end);
      }
      positions.setItems(list, spans);
    } else if (isMap(node)) {
      const map: Record<string, unknown> = {};
      const keys: string[] = [];
      const spans: number[] = [];
      data = map;
      for (const pair of node.items) {
        const keyNode = pair.key as Node;
        const key = isScalar(keyNode) ? scalarKey(keyNode.value) : undefined;
        if (key === undefined) {
          findings.push({
            rule: "invalid-yaml",
            at: { file: path, ...spanOf(keyNode) },
            message: "a key must be a plain word",
            hint: "put quotes around it if it is meant as text",
          });
          continue;
        }
        const at = spanOf(keyNode);
        const valueAt = pair.value ? spanOf(pair.value as Node) : { start: at.end, end: at.end };
        if (Object.hasOwn(map, key)) {
          const earlier = 4 * keys.indexOf(key);
          findings.push({
            rule: "duplicate-id",
            at: { file: path, ...at },
            message: `\`${key}\` stands twice in the same place`,
            related: [
              { at: { file: path, start: spans[earlier] ?? 0, end: spans[earlier + 1] ?? 0 }, text: "first here" },
            ],
            hint: "rename one of them, or delete the one that is not meant",
            about: key,
          });
          continue;
        }
        keys.push(key);
        spans.push(at.start, at.end, valueAt.start, valueAt.end);
        const value = pair.value ? walk(pair.value, depth + 1) : null;
        if (key === "__proto__")
          Object.defineProperty(map, key, { value, enumerable: true, configurable: true, writable: true });
        else map[key] = value;
      }
      positions.setKeys(map, keys, spans);
    }
    const anchor = (node as { anchor?: string }).anchor;
    if (anchor) anchors.set(anchor, { data, size: size - before + 1 });
    return data;
  };

  const data = walk(document.contents, 0);
  if (refused) return { value: undefined, findings };
  return { value: { path, text, data, positions }, findings };
}

function scalarKey(value: unknown): string | undefined {
  return value === null || typeof value === "object" ? undefined : String(value);
}

/** The library's range is [start, value end, node end]; the value's end leaves the trailing comment out. */
function spanOf(node: Node | null): { start: number; end: number } {
  const range = node?.range;
  return range ? { start: range[0], end: range[1] } : { start: 0, end: 0 };
}

/** Behind a tab nothing is where its author sees it, so what the library says from there on is no fault of his. */
function firstPerLine(errors: readonly YAMLError[], text: string): YAMLError[] {
  const seen = new Set<number>();
  const tab = errors.find(({ code }) => code === "TAB_AS_INDENT")?.pos[0] ?? Number.POSITIVE_INFINITY;
  return errors.filter((error) => {
    if (error.pos[0] > tab && error.code !== "TAB_AS_INDENT") return false;
    const line = text.lastIndexOf("\n", Math.max(0, error.pos[0] - 1));
    if (seen.has(line)) return false;
    seen.add(line);
    return true;
  });
}

function unreadable(file: Extract<SourceFile, { unreadable: unknown }>): Finding {
  const at = { file: file.path, start: 0, end: 0 };
  const { unreadable: reason } = file;
  switch (reason.why) {
    case "too-large":
      return {
        rule: "unsafe-input",
        at,
        message: `the file is ${(reason.bytes / 1e6).toFixed(1)} MB large; at most ${MAX_FILE_BYTES / 1e6} MB are read`,
        hint: "split it into several files",
      };
    case "not-utf-8":
      return {
        rule: "invalid-yaml",
        at: { file: file.path, start: reason.before.length, end: reason.before.length },
        message: "from here on the file is not UTF-8 text",
        hint: "save it as UTF-8 in your editor",
      };
    case "no-access":
      return { rule: "invalid-yaml", at, message: `the file can't be read: ${reason.message}` };
    default:
      return reason satisfies never;
  }
}

/** The library's messages speak of tokens; these speak of what a technician typed. */
const plainWords: Partial<Record<YAMLError["code"], readonly [message: string, hint?: string]>> = {
  TAB_AS_INDENT: [
    "a tab stands where the line is indented",
    "indent with spaces; most editors can turn tabs into spaces",
  ],
  BAD_INDENT: ["the indentation does not fit the lines above", "line it up with its neighbours"],
  MISSING_CHAR: ["a closing quote, bracket or comma is missing"],
  IMPOSSIBLE: ["this does not fit here", "put quotes around a text that holds a colon, a bracket or a quote"],
  MULTIPLE_DOCS: ["a second document begins here (`---`)", "keep one document in a file"],
  UNEXPECTED_TOKEN: ["this does not fit here", "put quotes around a text that holds a colon, a bracket or a quote"],
  BLOCK_AS_IMPLICIT_KEY: [
    "a text with a colon in it is read as a key",
    "put quotes around a text that holds a colon followed by a space",
  ],
  MULTILINE_IMPLICIT_KEY: ["a key must stand on one line, with its colon", "a colon may be missing on this line"],
  BAD_SCALAR_START: ["a plain text can't begin with this character", "put quotes around the text"],
  BLOCK_IN_FLOW: [
    "this does not fit between braces or brackets",
    "put quotes around a text that holds a colon followed by a space",
  ],
  BAD_ALIAS: ["this alias is not written as YAML wants it", "put quotes around a text that begins with `*`"],
  BAD_COLLECTION_TYPE: ["this tag does not fit its value"],
  TAG_RESOLVE_FAILED: ["this tag is not known", "put quotes around a text that begins with `!`"],
};

const unclosed: readonly [message: string] = ["the closing quote of this text is missing"];

/** The library uses some codes for several things, told apart by its message alone. */
function wordsFor(code: YAMLError["code"], message: string): readonly [message: string, hint?: string] | undefined {
  if (code === "RESOURCE_EXHAUSTION")
    return [`nested more than ${MAX_DEPTH} deep`, "no part of the format is nested that deep"];
  if (/^Missing closing .quote/.test(message)) return unclosed;
  if (/end with a [\]}]$/.test(message))
    return [`the list or group above has no closing \`${message.at(-1)}\``, "close it before this line"];
  if (message.startsWith("Sequence item without")) return plainWords.BAD_INDENT;
  if (message.startsWith("Implicit map keys need"))
    return ["this is neither a key with its colon nor a list entry", "a colon or a hyphen may be missing here"];
  return plainWords[code];
}

/** A quote that is never closed is found missing at the end of the file; the text that it opens is what to look at. */
function openedAt(text: string, document: Document): Span | undefined {
  let last: Span | undefined;
  visit(document, {
    Scalar(_, { type, range }) {
      if ((type === "QUOTE_DOUBLE" || type === "QUOTE_SINGLE") && range && range[0] >= (last?.start ?? 0))
        last = { start: range[0], end: Math.min(range[1], range[0] + text.slice(range[0]).search(/[\r\n]|$/)) };
    },
  });
  return last;
}

function fromYaml(path: string, text: string, error: YAMLError, document: Document): Finding {
  // A tab in the indentation is reported under several codes, depending on what stands around it.
  const lineStart = text.lastIndexOf("\n", Math.max(0, error.pos[0] - 1)) + 1;
  const indentation = /^[ \t]*/.exec(text.slice(lineStart, lineStart + 200))?.[0] ?? "";
  const code = indentation.includes("\t") ? "TAB_AS_INDENT" : error.code;
  const words = wordsFor(code, error.message);
  const tab = indentation.includes("\t") ? lineStart + indentation.indexOf("\t") : undefined;
  // A fault of indentation is marked where the words begin, not on the blanks before them.
  const from = Math.max(error.pos[0], lineStart + indentation.length);
  const to = Math.min(Math.max(error.pos[1], from + 1), text.length);
  const { start, end } =
    tab !== undefined
      ? { start: tab, end: tab + 1 }
      : ((words === unclosed ? openedAt(text, document) : undefined) ?? {
          start: from,
          end: Math.max(from, Math.min(to, from + 80)),
        });
  return {
    // Given up rather than refused: the library came to the end of its means.
    rule: error.code === "RESOURCE_EXHAUSTION" ? "unsafe-input" : "invalid-yaml",
    at: { file: path, start, end },
    message: words?.[0] ?? lowerFirst(error.message.replace(/\s+/g, " ").replace(/\.$/, "")),
    ...(words?.[1] ? { hint: words[1] } : {}),
  };
}

function lowerFirst(text: string): string {
  return text.charAt(0).toLowerCase() + text.slice(1);
}
