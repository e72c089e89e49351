/** All words of the visit around its steps, in one place. */
export const words = {
  waiting: "The record is being put together.",
  noReport: "The report can’t be loaded now. The visit is kept; its record is in the list of visits on the home page.",
  anotherVisit: "Begin another visit",
} as const;
