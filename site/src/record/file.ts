/** A record as a file on the device, with or without storage. */
import { el } from "../measure/dom.ts";
import type { JobRecord } from "./format.ts";

/** Without an address: a file's name is seen by many. */
export function fileName({ procedure, began }: JobRecord): string {
  return `visit-${began.slice(0, 10)}-${procedure.id}`;
}

/** @returns the name under which the browser saves it. */
export function saveRecord(record: JobRecord): string {
  const name = `${fileName(record)}.json`;
  const blob = new Blob([`${JSON.stringify(record, undefined, 2)}\n`], { type: "application/json" });
  const link = el("a", { href: URL.createObjectURL(blob), download: name });
  link.click();
  // Some browsers read the file only after the click has returned.
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
  return name;
}
