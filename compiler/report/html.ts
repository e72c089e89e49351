/** Complaints as HTML, for pages and for the overlay of `serve`. Carries no style and no script; classes begin with `complaint`. */
import type { Result } from "../compile.ts";
import type { Complaint } from "../model/complaint.ts";
import { escapeHtml } from "../words/markdown.ts";
import { type Excerpt, excerptOf } from "./excerpt.ts";
import type { Sources } from "./lines.ts";
import { familyWords, stateWords, summaryOf } from "./words.ts";

export function renderHtml(result: Result, sources: Sources): string {
  return `<p class="complaint-summary">${escapeHtml(summaryOf(result))}</p>${result.complaints
    .map((complaint) => complaintHtml(complaint, sources))
    .join("")}`;
}

export function complaintHtml(complaint: Complaint, sources: Sources): string {
  const excerpt = excerptOf(complaint.at, sources);
  const families = familyWords(complaint);
  const related = (complaint.related ?? []).map(({ at, text }) => {
    const other = excerptOf(at, sources);
    return `<dt>${escapeHtml(text)}</dt><dd>${escapeHtml(at.file)}, line ${other.line}</dd>`;
  });
  const facts = [
    ...related,
    families ? `<dt>equipment</dt><dd>${escapeHtml(families)}</dd>` : "",
    complaint.meaning ? `<dt>meaning</dt><dd>${escapeHtml(complaint.meaning)}</dd>` : "",
    `<dt>why</dt><dd>${escapeHtml(complaint.why)}</dd>`,
    complaint.hint ? `<dt>hint</dt><dd>${code(complaint.hint)}</dd>` : "",
  ].join("");
  return `<section class="complaint complaint-${complaint.severity}"><h3>${complaint.severity}: ${code(complaint.message)}</h3><p class="complaint-place">${escapeHtml(complaint.at.file)}, line ${excerpt.line}, column ${excerpt.column} <span class="complaint-rule">${complaint.rule}</span></p>${excerptHtml(excerpt)}${wayHtml(complaint)}<dl>${facts}</dl></section>`;
}

function excerptHtml({ line, text, markAt, markLength }: Excerpt): string {
  if (text.trim() === "") return "";
  return `<pre class="complaint-excerpt">${line} | ${escapeHtml(text)}\n${" ".repeat(String(line).length)} | ${" ".repeat(markAt)}<b>${"^".repeat(markLength)}</b></pre>`;
}

function wayHtml({ way }: Complaint): string {
  if (!way || way.length === 0) return "";
  const steps = way.map(({ step, answer, states }) => {
    const now = states ? ` <span class="complaint-states">${escapeHtml(stateWords(states))}</span>` : "";
    return `<li><code>${escapeHtml(step)}</code>${answer ? ` → ${escapeHtml(answer)}` : ""}${now}</li>`;
  });
  return `<ol class="complaint-way">${steps.join("")}</ol>`;
}

/** Names stand in backticks. */
function code(text: string): string {
  return escapeHtml(text).replace(/`([^`]+)`/g, "<code>$1</code>");
}
