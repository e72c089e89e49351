import { loadBase } from "../base.ts";
import { CAUSES_HEAD, csvOf } from "../coverage/csv.ts";
import { causeRows, viewOf } from "../render/coverage.ts";

export function GET(): Response {
  const rows = causeRows(viewOf(loadBase()));
  return new Response(csvOf([CAUSES_HEAD, ...rows]), { headers: { "content-type": "text/csv; charset=utf-8" } });
}
