/** The two cuts of the type, served from the site itself: no page asks another host for anything. */
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import type { APIRoute, GetStaticPaths } from "astro";

const CUTS: Readonly<Record<string, string>> = { "hyperlegible-400": "400", "hyperlegible-700": "700" };

export const getStaticPaths: GetStaticPaths = () => Object.keys(CUTS).map((file) => ({ params: { file } }));

export const GET: APIRoute = ({ params }) => {
  const find = createRequire(`${__SITE_FOLDER__}build.ts`);
  const name = `atkinson-hyperlegible-latin-${CUTS[params.file ?? ""]}-normal.woff2`;
  const bytes = readFileSync(find.resolve(`@fontsource/atkinson-hyperlegible/files/${name}`));
  return new Response(new Uint8Array(bytes), { headers: { "content-type": "font/woff2" } });
};
