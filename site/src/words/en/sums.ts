/** What a calculator says. */
export const words = {
  noValue: "These inputs give no value: the formula would divide by nought, or take a root that there is none of.",
  incomplete: "Type all inputs to see the result.",
  clear: "Clear",
  link: "Link to this calculation",
} as const;
