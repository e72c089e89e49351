/**
 * What an SVG may not hold. In a step it is shown as a picture, where a browser runs nothing and fetches nothing; opened
 * by its own address, or saved and opened, it is a page of the site and would do both.
 *
 * The text is searched as it stands, comments too: an honest drawing loses nothing, and nothing can be hidden from the
 * search that a browser sees.
 */
import type { Finding } from "../model/complaint.ts";
import type { SourceFile } from "../model/source.ts";

const faults: readonly { readonly pattern: RegExp; readonly says: (found: string) => string; readonly hint: string }[] =
  [
    {
      pattern: /<(?:[\w.-]+:)?(?:script|foreignObject|iframe|object|embed|handler|listener|audio|video)\b/i,
      says: (found) => `a drawing can't hold \`${found}>\``,
      hint: "draw with shapes and text alone; an editor's plain SVG has nothing else",
    },
    {
      pattern: /\son\w+\s*=\s*["']/i,
      says: (found) => `a drawing can't act on what happens to it: \`${found.trim()}\``,
      hint: "take the attribute out",
    },
    {
      pattern: /\b(?:href|src|base)\s*=\s*["'](?!#|data:image\/(?:png|jpeg|webp)[;,])[^"']*["']?/i,
      says: (found) => `a drawing can't point out of itself: \`${found}\``,
      hint: "put what it shows into the drawing, and point to that by `#id`",
    },
    {
      pattern: /attributeName\s*=\s*["'](?:[\w.-]+:)?(?:href|on\w+)/i,
      says: (found) => `a drawing can't change where it points: \`${found}\``,
      hint: "take the animation out",
    },
    {
      pattern: /url\(\s*["']?(?!["'#])[^)]*\)?|@import[^;<]*/i,
      says: (found) => `a drawing can't fetch anything: \`${found.trim()}\``,
      hint: "put what it needs into the drawing, and point to that by `url(#id)`",
    },
    {
      pattern: /<!ENTITY|<\?xml-stylesheet|<\?xml[^>]*encoding\s*=\s*["'](?!utf-8)|<style[^>]*>[^<]*\\/i,
      says: (found) => `what stands in this drawing can't be told for sure: \`${found.trim().split("\n")[0]}\``,
      hint: "save it as plain SVG in UTF-8",
    },
  ];

/** @param file An SVG of the pictures folder. */
export function drawingFindings(file: SourceFile): Finding[] {
  if ("unreadable" in file)
    return [
      {
        rule: "unsafe-input",
        at: { file: file.path, start: 0, end: 0 },
        message: "this drawing can't be read as text, so nobody can tell what it does",
        hint: "save it as plain SVG in UTF-8, smaller than 2 MB",
      },
    ];
  return faults.flatMap(({ pattern, says, hint }) => {
    const match = pattern.exec(file.text);
    if (!match) return [];
    const blank = match[0].length - match[0].trimStart().length;
    return [
      {
        rule: "unsafe-input" as const,
        at: { file: file.path, start: match.index + blank, end: match.index + match[0].trimEnd().length },
        message: says(match[0]),
        hint,
      },
    ];
  });
}
