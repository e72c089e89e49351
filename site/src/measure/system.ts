/** US or metric: chosen once on a device, by its language until then. */
import type { System } from "./units.ts";

const KEY = "headwater-units";
let chosen: System | undefined;

export function systemNow(): System {
  if (chosen) return chosen;
  try {
    const kept = localStorage.getItem(KEY);
    if (kept === "us" || kept === "metric") return kept;
  } catch {
    // A browser that keeps nothing still has a language.
  }
  // Liberia and Myanmar measure like the United States. English of no country is most often American.
  return /^en$|-(US|LR|MM)\b/i.test(navigator.language) ? "us" : "metric";
}

export function chooseSystem(system: System): void {
  chosen = system;
  try {
    localStorage.setItem(KEY, system);
  } catch {
    // It holds as long as the page stands.
  }
}
