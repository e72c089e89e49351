import { validDays } from "../5-analyse/facts/review.ts";
import { defineRule } from "../5-analyse/rule.ts";

const DAY_MS = 86_400_000;

export default defineRule({
  name: "stale-review",
  group: "shape",
  severity: "warning",
  summary: "The last review of a tree or routine is too long ago, or lies in the future.",
  why: "Equipment, codes and habits change; a sheet that nobody has looked at for long may be wrong today.",
  more: `
The manifest's \`review-every\` says after how many days a review is stale (365 when left out). Read the procedure
once more with somebody who does the work, then set \`reviewed\` to that day.
`,
  *onProcedure({ procedure: { id, kind, file }, world, today }) {
    const every = validDays(world);
    const { reviewed } = file.data;
    const span = file.positions.value(reviewed, "on") ?? { start: 0, end: 0 };
    const at = { file: file.path, ...span };
    const on = Date.parse(reviewed.on);
    if (Number.isNaN(on) || new Date(on).toISOString().slice(0, 10) !== reviewed.on) {
      yield {
        at,
        message: `\`${reviewed.on}\` is not a day of the calendar`,
        hint: "correct the month or the day",
        about: id,
      };
      return;
    }
    const days = Math.floor((Date.parse(today) - on) / DAY_MS);
    if (days < 0)
      yield { at, message: `the review of \`${id}\` lies in the future`, hint: "give the day it was done", about: id };
    else if (days > every)
      yield {
        at,
        message: `the ${kind} \`${id}\` was reviewed ${days} days ago; ${every} days are allowed`,
        hint: "review it, then set `on` to that day",
        about: id,
      };
  },
});
