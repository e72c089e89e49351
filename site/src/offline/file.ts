/** A visit as a file, for when the device keeps nothing. */
import { el } from "../measure/dom.ts";

export function saveAsFile(name: string, content: unknown): void {
  const blob = new Blob([`${JSON.stringify(content, null, 2)}\n`], { type: "application/json" });
  const link = el("a", { href: URL.createObjectURL(blob), download: `${name}.json` });
  link.click();
  // Some browsers read the file only after the click has returned.
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
}
