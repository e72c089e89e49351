import type { words as english } from "../en/terms.ts";
import type { Words } from "../words.ts";

export const words: Words<typeof english> = {
  empty:
    "a al algo asi con cuando de del desde donde e el ella en entre era es esa ese eso esta este esto fue ha hace han hay he la las le les lo los me mi mis muy nos o para pero por porque que se ser si sin son su sus tan te tiene tienen un una uno unos unas y ya yo",
};
