/** Small pieces of HTML text. Pages are made as strings: a component for every step would cost more than the rest. */

const ENTITIES: Readonly<Record<string, string>> = { "&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;" };

/** Plain text, made fit for HTML text and for attribute values in double quotes. */
export function escapeText(text: string): string {
  return /[&<>"]/.test(text) ? text.replace(/[&<>"]/g, (sign) => ENTITIES[sign] ?? sign) : text;
}

/** Compiled HTML without its links, for places that are links or buttons themselves. */
export function unlinked(html: string): string {
  return html.includes("<a") ? html.replace(/<\/?a\b[^>]*>/g, "") : html;
}

/** Compiled HTML without any tag; entities stay, so the result is still HTML (for `<title>` and attributes). */
export function bare(html: string): string {
  return html.includes("<") ? html.replace(/<[^>]*>/g, "").trim() : html;
}

const NAMED: Readonly<Record<string, string>> = { amp: "&", lt: "<", gt: ">", quot: '"', apos: "'", nbsp: "\u00a0" };

/** Compiled HTML as plain text, for data that the scripts put into text nodes. */
export function plain(html: string): string {
  const text = bare(html);
  if (!text.includes("&")) return text;
  return text.replace(/&(?:#x([0-9a-f]+)|#(\d+)|(\w+));/gi, (whole, hex, decimal, name) => {
    if (hex !== undefined) return String.fromCodePoint(Number.parseInt(hex, 16));
    if (decimal !== undefined) return String.fromCodePoint(Number.parseInt(decimal, 10));
    return NAMED[name as string] ?? whole;
  });
}

/** An id in words: `since-regeneration` is "since regeneration". */
export function idWords(id: string): string {
  return id.replaceAll("-", " ");
}

/** Titles in a row. They may hold commas themselves, so semicolons part them. */
export function list(parts: readonly string[]): string {
  return parts.join("; ");
}

export function upperFirst(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
