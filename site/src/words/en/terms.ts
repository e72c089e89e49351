/** What a search passes over, in the language in which somebody searches. */
export const words = {
  /** Words that stand in every complaint and find nothing; small letters, without accents, a blank between. */
  empty:
    "a all am an and are at be been but by can do does doesn don for from get gets had has have i in is isn it its just me my of on or our out s so t that the their there they this to us was we when with",
} as const;
