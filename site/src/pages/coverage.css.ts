import { smallCss } from "../bundle.ts";
import coverage from "../styles/coverage.css?raw";

/** Beside the common style sheet: only the trainer's pages need it, and the walk has to be small. */
export async function GET(): Promise<Response> {
  return new Response(await smallCss(coverage), { headers: { "content-type": "text/css; charset=utf-8" } });
}
