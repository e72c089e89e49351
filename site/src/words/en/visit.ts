/** All words of the visit around its steps, in one place. */
export const words = {
  waiting: "The record is being put together.",
  noReport: "The report can’t be loaded now. The visit is kept; its record is in the list of visits on the home page.",
  anotherVisit: "Begin another visit",
  about: "This visit",
  aboutNote: "For the record. It stays on this device until you share it; each line may stay empty.",
  address: "Address",
  who: "Your name",
  said: "What the customer says, in the customer’s words",
  note: (notes: boolean, photos: number) =>
    notes || photos > 0 ? `Note and photos here (${(notes ? 1 : 0) + photos})` : "Add a note or a photo",
  noteLabel: "Note at this step",
  photo: "Take a photo",
  photoNote: "Photos are scaled down and kept on this device alone.",
  photoOf: (number: number) => `Photo ${number} at this step`,
  photoRemove: (number: number) => `Delete photo ${number}`,
  photoKept: "The photo is kept.",
  photoDeleted: "The photo is deleted.",
  photoRefused: "This file is no picture that can be read.",
  photoNotKept: "The photo could not be kept: the storage of this device is full or refused.",
  whomToCall: "Whom to call",
  undone: (states: string) =>
    `The record no longer says: ${states}. What was done in the house stays done: do that step again, or put it back.`,
  holdsAgain: (states: string) => `The record says again: ${states}.`,
  minutes: (used: number, planned: number) =>
    planned === 0 ? `${used} min so far` : `${used} min so far, planned for these steps: ${planned} min`,
} as const;
