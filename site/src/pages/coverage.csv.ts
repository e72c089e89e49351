import { loadBase } from "../base.ts";
import { BOARD_HEAD, csvOf } from "../coverage/csv.ts";
import { boardRows, viewOf } from "../render/coverage.ts";

export function GET(): Response {
  const rows = boardRows(viewOf(loadBase()));
  return new Response(csvOf([BOARD_HEAD, ...rows]), { headers: { "content-type": "text/csv; charset=utf-8" } });
}
