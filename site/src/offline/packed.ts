/** Texts are stored compressed: the pages of a base take a seventh of their size then. */

/** Header of a stored answer: `gzip` or `plain`, a space, and its length as it is stored, in bytes. */
const STORED = "x-headwater-stored";

/** Pictures and fonts are compressed already. */
const PACKS = /^(text|application\/(javascript|json|manifest\+json)|image\/svg)/;

/** An answer as it is stored. Of its headers only the type is kept: the rest was for the way here. */
export async function pack(response: Response): Promise<Response> {
  const type = response.headers.get("content-type") ?? "";
  const isGzip = response.body !== null && PACKS.test(type) && typeof CompressionStream !== "undefined";
  const body = isGzip ? response.body.pipeThrough(new CompressionStream("gzip")) : response.body;
  const bytes = await new Response(body).arrayBuffer();
  const stored = `${isGzip ? "gzip" : "plain"} ${bytes.byteLength}`;
  return new Response(bytes, { headers: { "content-type": type, [STORED]: stored } });
}

export function unpack(stored: Response): Response {
  if (stored.body === null || stored.headers.get(STORED)?.startsWith("gzip") !== true) return stored;
  const headers = { "content-type": stored.headers.get("content-type") ?? "" };
  return new Response(stored.body.pipeThrough(new DecompressionStream("gzip")), { headers });
}

/** In bytes, as it is stored. */
export function sizeOf(stored: Response | undefined): number {
  return Number(stored?.headers.get(STORED)?.split(" ")[1] ?? 0);
}
