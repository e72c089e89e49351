/** What the script of the chart says. */
export const words = {
  larger: "Larger",
  smaller: "Smaller",
  whole: "Whole chart",
  back: "Back to the visit",
  here: (box: string) => `You are here: ${box}`,
  been: (box: string) => `${box}. You were here.`,
} as const;
