import { smallCss } from "../bundle.ts";
import chart from "../styles/chart.css?raw";
import ground from "../styles/ground.css?raw";
import home from "../styles/home.css?raw";
import measure from "../styles/measure.css?raw";
import paper from "../styles/paper.css?raw";
import print from "../styles/print.css?raw";
import proof from "../styles/proof.css?raw";
import record from "../styles/record.css?raw";
import safety from "../styles/safety.css?raw";
import step from "../styles/step.css?raw";
import walk from "../styles/walk.css?raw";

/** One style sheet for all pages; print comes last, since it overrides what the walk hides. */
export async function GET(): Promise<Response> {
  const code = await smallCss(
    [ground, safety, step, walk, measure, home, record, proof, chart, paper, print].join("\n"),
  );
  return new Response(code, { headers: { "content-type": "text/css; charset=utf-8" } });
}
