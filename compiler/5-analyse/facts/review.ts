import type { World } from "../../model/base.ts";

/** For how many days a review is good. */
export function validDays({ manifest }: World): number {
  return manifest?.data["review-every"] ?? 365;
}
