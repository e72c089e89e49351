/** Texts are stored compressed: the pages of a base take a seventh of their size then. */

/** Header of a stored answer: its length as it is stored, in bytes. */
export const isPacked = "x-headwater-packed";

/** Pictures and fonts are compressed already. */
const PACKS = /^(text|application\/(javascript|json|manifest\+json)|image\/svg)/;

export async function pack(response: Response): Promise<Response> {
  const { headers: given } = response;
  const isText = PACKS.test(given.get("content-type") ?? "");
  if (response.body === null || !isText || typeof CompressionStream === "undefined") return response;
  const body = await new Response(response.body.pipeThrough(new CompressionStream("gzip"))).arrayBuffer();
  const headers = new Headers({ "content-type": given.get("content-type") ?? "", [isPacked]: String(body.byteLength) });
  return new Response(body, { headers });
}

export function unpack(response: Response): Response {
  const { body, headers: given } = response;
  if (body === null || !given.has(isPacked)) return response;
  const headers = new Headers({ "content-type": given.get("content-type") ?? "" });
  return new Response(body.pipeThrough(new DecompressionStream("gzip")), { headers });
}
