/** Nothing that a technician writes may run code in the reader's browser, reach another host or leave the base's folder. */
import type { Finding } from "../model/complaint.ts";
import type { ParsedFile } from "../model/parsed.ts";
import { textFaults } from "../words/markdown.ts";

const hints = {
  html: "write it in plain words, or in CommonMark; put `<` in front of a blank if it means `less than`",
  link: "link to an address that begins with https://, mailto: or tel:",
  image: "put the drawing in the pictures folder and name it with `picture:`",
} as const;
const messages = {
  html: (excerpt: string) => `raw HTML can't stand in a text: \`${excerpt}\``,
  link: (excerpt: string) => `this link can't be followed safely: \`${excerpt}\``,
  image: (excerpt: string) => `a text can't show a picture by its address: \`${excerpt}\``,
} as const;

/** Looks at every string of the file, whatever its key, so that a new text field can't be forgotten. */
export function textFindings(file: ParsedFile): Finding[] {
  const findings: Finding[] = [];
  const seen = new Set<object>();
  const walk = (data: unknown): void => {
    if (typeof data !== "object" || data === null || seen.has(data)) return;
    seen.add(data);
    const isList = Array.isArray(data);
    for (const [key, value] of Object.entries(data)) {
      if (typeof value === "object") {
        walk(value);
        continue;
      }
      if (typeof value !== "string") continue;
      const at = () => ({
        file: file.path,
        ...(file.positions.value(data, isList ? Number(key) : key) ?? { start: 0, end: 0 }),
      });
      let hasHtml = false;
      for (const fault of textFaults(value)) {
        // A tag and its closing one are a single slip.
        if (fault.what === "html" && hasHtml) continue;
        hasHtml ||= fault.what === "html";
        findings.push({
          rule: "unsafe-input",
          at: at(),
          message: messages[fault.what](fault.excerpt),
          hint: hints[fault.what],
        });
      }
      if (key === "file" && leavesFolder(value))
        findings.push({
          rule: "unsafe-input",
          at: at(),
          message: `the picture \`${value}\` lies outside the pictures folder`,
          hint: "give the path below the pictures folder, such as `valves/bypass.svg`",
        });
    }
  };
  walk(file.data);
  return findings;
}

function leavesFolder(path: string): boolean {
  return /^[/\\]|^[a-z][a-z0-9+.-]*:|\\/i.test(path) || path.split("/").some((part) => part === ".." || part === ".");
}
