/** What the line on stored files says. */
export const words = {
  storing: (held: number, files: number) => `Being stored for use without a network: ${held} of ${files} files.`,
  stored: (files: number, size: string, day: string) =>
    `Works without a network: all ${files} files of ${day} are stored on this device, ${size}.`,
  partly: (held: number, files: number, size: string, day: string) =>
    `Not complete without a network: ${held} of ${files} files of ${day} are stored on this device, ${size}.`,
  full: "The storage of this device is full, so not everything could be stored for use without a network. Free some space, then open this page again.",
  failed:
    "Not everything could be stored for use without a network. It is tried again when a page is opened with a network.",
  refused: "This browser stores nothing here for use without a network.",
  newer: "A new version is stored.",
  onItsOwn: "This walk goes on with the version it began with; a new one is stored.",
  use: "Use the new version",
  walked: "A walk is under way in another tab. The new version comes when it has ended.",
} as const;
