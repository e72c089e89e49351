/**
 * The texts of a base are CommonMark. Everything that reads them as such is here, by way of remark.
 *
 * A base of a thousand trees holds a hundred thousand short texts, nearly all of them plain. A text without a character
 * that could open CommonMark syntax is its own plain text and one paragraph; it never reaches the parser. The property
 * test of this file holds both ways of reading against each other.
 */
import type { Nodes, Root } from "mdast";
import { toString as plainOf } from "mdast-util-to-string";
import rehypeStringify from "rehype-stringify";
import remarkParse from "remark-parse";
import remarkRehype from "remark-rehype";
import { unified } from "unified";
import { SKIP, visit } from "unist-util-visit";

const parser = unified().use(remarkParse);
const renderer = unified().use(remarkRehype).use(rehypeStringify);

/** Opens or escapes something wherever it stands, or (at the ends, or behind a line break) may begin another block. */
const syntax = /[\\`*_[\]<&~\n\r\t]|^\s|^[-+>#=!|]|^\d+[.)]|\s$/;

export function isPlain(text: string): boolean {
  // CommonMark puts a replacement character in the place of NUL.
  return !syntax.test(text) && !text.includes("\0");
}

function parse(text: string): Root {
  return parser.parse(text);
}

/**
 * The words of a text that count as said to the reader: emphasis and lists count, code and the targets and texts of
 * links don't, since they quote something rather than ask for it.
 */
export function spokenWords(text: string): string {
  if (isPlain(text)) return text;
  const said: string[] = [];
  visit(parse(text), (node) => {
    if (node.type === "link" || node.type === "linkReference" || node.type === "inlineCode" || node.type === "code")
      return SKIP;
    if (node.type === "text") said.push(node.value);
    else if (node.type === "paragraph" || node.type === "break") said.push("\n");
    return undefined;
  });
  return said.join("").trim();
}

/** Texts that were read already: each is asked for by several rules, and many stand in more trees than one. */
const MAX_KEPT = 20_000;
function readOnce(read: (text: string) => string): (text: string) => string {
  const known = new Map<string, string>();
  return (text) => {
    let result = known.get(text);
    if (result === undefined) {
      result = read(text);
      if (known.size >= MAX_KEPT) known.clear();
      known.set(text, result);
    }
    return result;
  };
}

const withoutMarkup = readOnce((text) => plainOf(parse(text)));

/** All words of a text, code and links included, without markup. */
export function plainText(text: string): string {
  return isPlain(text) ? text : withoutMarkup(text);
}

/**
 * The sentences of a text, without markup; a paragraph or list item ends one. By the segmentation rules of Unicode
 * (UAX 29), which don't split at the point of a decimal fraction but do at that of an abbreviation before a capital.
 */
export function sentencesOf(text: string, language: string): string[] {
  const blocks: string[] = [];
  if (isPlain(text)) blocks.push(text);
  else
    visit(parse(text), "paragraph", (paragraph) => {
      blocks.push(plainOf(paragraph).replace(/\s+/g, " "));
    });
  const segmenter = segmenterFor(language);
  return blocks.flatMap((block) => [...segmenter.segment(block)].map(({ segment }) => segment.trim()));
}

const segmenters = new Map<string, Intl.Segmenter>();
function segmenterFor(language: string): Intl.Segmenter {
  let segmenter = segmenters.get(language);
  if (!segmenter) {
    segmenter = new Intl.Segmenter(language, { granularity: "sentence" });
    segmenters.set(language, segmenter);
  }
  return segmenter;
}

export interface TextFault {
  readonly what: "html" | "link" | "image";
  /** What is at fault, shortened. */
  readonly excerpt: string;
}

/** The beginning of a text, in one line. */
export function shortened(text: string): string {
  return (text.length > 60 ? `${text.slice(0, 57)}...` : text).replace(/\s+/g, " ");
}

/** Addresses that may stand in a link: ordinary web, mail and telephone, and places on the same page. */
const safeAddress = /^(https?:\/\/|mailto:|tel:|#)/i;

/** What in a text could run code in the reader's browser or reach out from the page; in order of appearance. */
export function textFaults(text: string): TextFault[] {
  if (!/[<[]/.test(text)) return [];
  const faults: TextFault[] = [];
  visit(parse(text), (node: Nodes) => {
    if (node.type === "html") faults.push({ what: "html", excerpt: shortened(node.value) });
    else if (node.type === "image" || node.type === "imageReference")
      faults.push({ what: "image", excerpt: shortened(node.type === "image" ? node.url : node.identifier) });
    else if ((node.type === "link" || node.type === "definition") && !safeAddress.test(node.url.trim()))
      faults.push({ what: "link", excerpt: shortened(node.url) });
  });
  return faults;
}

/** Where the links of a text lead, in its order. */
export function linkTargets(text: string): string[] {
  const targets: string[] = [];
  if (!isPlain(text))
    visit(parse(text), (node: Nodes) => {
      if (node.type === "link" || node.type === "definition") targets.push(node.url);
    });
  return targets;
}

/** The words of each paragraph, heading and block of code, without markup. */
export function blocksOf(text: string): string[] {
  if (isPlain(text)) return [text];
  const blocks: string[] = [];
  visit(parse(text), ["paragraph", "heading", "code"], (node) => {
    blocks.push(plainOf(node));
  });
  return blocks;
}

export function listItems(text: string): number {
  let items = 0;
  if (!isPlain(text))
    visit(parse(text), "listItem", () => {
      items += 1;
    });
  return items;
}

const rendered = readOnce((text) => renderer.stringify(renderer.runSync(parse(text))));

/** Block-level HTML. The text must have passed `textFaults`; what HTML slipped in all the same comes out as nothing. */
export function blockHtml(text: string): string {
  if (isPlain(text)) return `<p>${escapeHtml(text)}</p>`;
  return rendered(text);
}

/** Phrasing content: the paragraphs of the text run together; anything else in it comes out as its plain words. */
export function inlineHtml(text: string): string {
  if (isPlain(text)) return escapeHtml(text);
  const html = blockHtml(text).trim();
  const paragraph = /^<p>([\s\S]*)<\/p>$/.exec(html)?.[1];
  if (paragraph === undefined || paragraph.includes("<p>")) return escapeHtml(plainText(text));
  // A link can't stand inside the links and buttons that these texts label.
  return paragraph.replace(/<\/?a\b[^>]*>/g, "");
}

export function escapeHtml(text: string): string {
  return text.replaceAll("&", "&amp;").replaceAll("<", "&lt;").replaceAll(">", "&gt;").replaceAll('"', "&quot;");
}
