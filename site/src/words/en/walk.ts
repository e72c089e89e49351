/** All words of the walk itself, in one place: what the base says comes from the page. */
export const words = {
  begin: (family: string) => `It is this: ${family}`,
  beginOnly: "Begin the walk",
  whichEquipment: "Which equipment is it?",
  back: "Back",
  restart: "Start again",
  all: "All steps",
  walk: "Step by step",
  doneGoOn: "Done, go on",
  goOn: "Go on",
  mend: "Mend it now",
  goOnWith: (value: string) => `Go on with ${value}`,
  beginRoutine: "Begin the routine",
  equipment: "Equipment",
  trueNow: "True now:",
  trueNothing: "nothing is changed",
  licence: "Do you hold this licence?",
  licensed: "Yes, I hold it",
  unlicensed: "No",
  askedFor: (licence: string) => `Do you hold this licence: ${licence}?`,
  withheld: (steps: string) => `Passed over, since you don’t hold the licence: ${steps}.`,
  unsure: "I’m not sure",
  insteadOf: (asked: string) => `You were not sure of this: ${asked} What you find here can settle it.`,
  inDoubt: {
    title: "Not decided: call",
    why: "No check decides it from here, so don’t guess. Look again, or call and say what is below.",
    nobody: "Call whoever sent you.",
    open: "What could not be decided",
    seen: "What was seen",
    nothing: "Nothing yet.",
    again: "Go back and look again",
    leave: "Put back and leave",
  },
  possible: "Still possible",
  sharesBy: "By how often each is met, and by the answers so far. A small share rules nothing out.",
  fitsNone:
    "No cause known here shows all of these answers. Look again at what was answered, and think of two faults at once.",
  share: (share: number) => {
    const much = [
      [0.9, "nearly certain"],
      [0.6, "likely"],
      [0.3, "quite possible"],
      [0.1, "less likely"],
      [0, "unlikely"],
    ] as const;
    const percent = share < 0.01 ? "under 1" : share > 0.99 && share < 1 ? "over 99" : String(Math.round(share * 100));
    return `${much.find(([least]) => share >= least)?.[1] ?? ""}, ${percent}\u00a0%`;
  },
  against: (count: number) =>
    count === 1 ? "An answer speaks against 1 cause" : `Answers speak against ${count} causes`,
  spoken: (asked: string, said: string) => `${asked} ${said}`,
  tellsApart: "What this check tells apart:",
  stop: "I have to stop",
  leave: {
    title: "Before you leave",
    nothing: "Nothing has to be put back: by this record, all that must be in place is in place.",
    one: "This has to be put back.",
    order:
      "Put this back, in this order. What was changed last comes first, because it may rest on what was changed before it. A routine that puts back several things waits for all that came after the first of them.",
    routine: (title: string) => `To put it back, go through ${title}`,
    rest: "To put it back, go on with this work as far as:",
    steps: "To put it back:",
    unmet: (states: string) =>
      `It is written for when this is true too: ${states}. It is not, so leave out what undoes it.`,
    stuck:
      "What can’t be put back, the customer and your office must know of before you leave. Leave a note at the unit too.",
    stays: (states: string) => `Also true, and may stay so: ${states}.`,
    undecided: (asked: string) => `Not decided, and to be told: ${asked}`,
    kept: "The walk is kept on this device, so that you can go on with it later.",
    now: "I leave now",
    stay: "Stay: nothing is put back yet",
    goOn: "Stay and go on",
    left: "The visit is kept. When you are back, go on with it from the list of visits.",
  },
  backAgain: {
    title: "Before you go on",
    order:
      "You left this visit early. All of this was true then. What was put back since has to be made true again, in this order.",
    by: "It came about at:",
    goOn: "All of this is true again: go on",
  },
  stepsDone: (count: number) => (count === 0 ? "first step" : count === 1 ? "1 step done" : `${count} steps done`),
  repeat: (taken: number, atMost: number) => `Sent back from here ${taken} of at most ${atMost} times so far.`,
  holds: "on record",
  near: (away: string, isAbove: boolean, end: string) =>
    away === "" ? `Right on the limit of ${end}.` : `${away} ${isAbove ? "above" : "below"} the limit of ${end}.`,
  band: (say: string, limits: string) => `${say}: ${limits}`,
  noValue: "These readings give no value: one that the formula divides by is nought. Read again.",
  noRange: "No range holds this value. Read again.",
  taken: (what: string) => `Taken back: ${what}.`,
  restarted: "Begun again. The visit so far stays in the list of visits.",
  notKept:
    "This browser keeps nothing on the device: the walk works, but a reload begins it again. Save the visit as a file.",
  full: "The storage of this device is full: the walk works, but its last answers are not kept. Save the visit as a file, or free some space.",
  save: "Save this visit as a file",
  versionNotKept:
    "This version of the procedure can’t be kept on the device. If a new one comes before the visit has ended, a reload shows that.",
  otherVersion:
    "The procedure has a new version since this visit began, and the old one is not on this device. The visit goes on with the new one. Look at your answers so far.",
  elsewhere: "This visit is open in another tab of this browser. Go on with it there, or take it over here.",
  take: "Go on with it here",
  lost: "This visit goes on in another tab, or was deleted there. Nothing of it is changed here any more.",
  walkedElsewhere: "A walk is under way in another tab. The new version comes when it has ended.",
  broken: (why: string) => `The walk can't go on here (${why}). Read all steps instead.`,
  changed: (asked: string) =>
    `The procedure has changed since this visit: it no longer fits at “${asked}”. The visit stays in the list of visits; begin a new one.`,
  visits: "Visits on this device",
  resume: "Go on with this visit",
  remove: "Delete this record",
  removed: "The record is deleted.",
  states: { open: "not finished", ended: "finished", "set-aside": "set aside", left: "left early" },
  done: "done",
} as const;
