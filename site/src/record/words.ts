/** All words of the record and of the list of visits on the home page, in one place. */
export const words = {
  visits: "Visits on this device",
  visitsNote: "They are kept in this browser alone. Nothing is sent anywhere unless you share it.",
  kept: (count: number) => (count === 1 ? "1 visit" : `${count} visits`),
  goOn: "Go on with this visit",
  show: "Show the record",
  remove: "Delete this record",
  removeSure: "Delete it for good, with its notes and photos?",
  removeYes: "Yes, delete it",
  removeNo: "No, keep it",
  removed: "The record is deleted.",
  readIn: "Read in a record from a file",
  readInDone: (title: string) => `Read in: ${title}.`,
  readInSame: "This record is on this device already. Nothing was changed.",
  readInBeside: "Another state of this record is on this device already. Both are kept.",
  noJson: (file: string) => `“${file}” holds no JSON, so it is no record. Nothing was changed.`,
  noRecord: (file: string, where: string, what: string) =>
    `“${file}” is no record that can be read: at ${where} it ${what}. Nothing was changed.`,
  top: "its top",
  newer: (file: string) =>
    `“${file}” was written by a newer version than this page can read. Load this page again with a network, then read it in again.`,
  otherBase: (file: string, base: string) =>
    `“${file}” belongs to another base of procedures (${base}). Open it on that base’s own pages. Nothing was changed.`,
  notKept: "This browser keeps nothing on the device, so a record can’t be read in here.",
  stepsDone: (count: number) => (count === 0 ? "no step done" : count === 1 ? "1 step done" : `${count} steps done`),
  states: { open: "not finished", ended: "finished", "set-aside": "set aside", left: "left early" },
  waiting: "The record is being put together.",
  title: "Record of this visit",
  procedure: "Procedure",
  equipment: "Equipment",
  address: "Address",
  who: "By",
  when: "When",
  took: "Time",
  from: (began: string, ended: string) => `${began} to ${ended}`,
  minutes: (used: number, planned: number) =>
    planned === 0 ? `${used} min` : `${used} min, planned for these steps: ${planned} min`,
  said: "What was said",
  symptom: (title: string) => `Taken as: ${title}`,
  found: "Found",
  foundNothing: "No cause was concluded.",
  proofs: {
    fixed: "proven: the fault is gone",
    "not-fixed": "the repair did not help: it is not, or not alone, this",
    none: "not proven",
  },
  measured: "Measured",
  columns: { what: "What", value: "Value", band: "Means" },
  band: (say: string, limits: string) => (limits === "" ? say : `${say} (${limits})`),
  limits: (from: string, below: string) =>
    from === ""
      ? below === ""
        ? ""
        : `below ${below}`
      : below === ""
        ? `${from} or more`
        : `${from} to below ${below}`,
  answers: "Seen and answered",
  unsure: "not sure",
  work: "Done",
  fitted: "Parts fitted or used up",
  proven: "Proof",
  result: "End",
  noEnd: "The visit has not come to an end.",
  stillTrue: "Still true at the end",
  left: "Left on, and why",
  call: "Whom to call",
  notes: "Notes and photos",
  photo: (asked: string) => `Photo at: ${asked}`,
  signed: "Signed",
  print: "Print",
  share: "Share",
  save: "Save as a file",
  shared: "Shared.",
  saved: (name: string) => `Saved as ${name}.`,
} as const;
