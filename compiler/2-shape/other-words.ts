/**
 * What people write who know what they want and not yet what it is called here. Not a second name for anything: the word
 * of the format is offered, and the file is refused all the same.
 */

/** Word of the format to what is written for it. */
const otherWords: ReadonlyMap<string, readonly string[]> = new Map([
  ["safety", ["caution", "cautions", "warning", "warnings", "danger", "care"]],
  ["then", ["goto", "go", "next", "next-step", "leads-to", "to"]],
  ["below", ["under", "less", "less-than", "max", "maximum", "until", "up-to"]],
  ["from", ["over", "above", "at-least", "min", "minimum", "more-than"]],
  ["look", ["question", "check", "ask", "listen", "see"]],
  ["measure", ["measurement", "test", "gauge"]],
  ["do", ["action", "work", "task"]],
  ["use", ["routine", "call-routine", "include"]],
  ["found", ["cause", "fault", "diagnosis"]],
  ["stop", ["end", "finish", "result"]],
  ["remedy", ["fix", "repair", "solution", "cure"]],
  ["prove", ["test", "verify", "check", "proof", "confirm"]],
  ["answers", ["options", "choices", "outcomes"]],
  ["ranges", ["limits", "thresholds", "results"]],
  ["readings", ["inputs", "values", "measurements"]],
  ["between", ["range", "bounds", "limits"]],
  ["serves", ["equipment", "families", "for"]],
  ["say", ["label", "text", "title"]],
  ["ask", ["label", "text", "title", "question"]],
  ["how", ["description", "details", "instructions", "method"]],
  ["why", ["reason", "because"]],
  ["minutes", ["time", "duration"]],
  ["call", ["contact", "who"]],
  ["leaves", ["left", "leave"]],
]);

/** The word of the format that the stranger stands for, of those that are known in this place. */
export function otherWord(stranger: string, allowed: readonly string[]): string | undefined {
  return allowed.find((word) => otherWords.get(word)?.includes(stranger));
}

/** Words that a step of work knows and a `found` step leaves to the steps of its remedy. */
const ofWork = ["do", "how", "why", "minutes", "needs", "sets", "clears", "hazards", "safety", "licence", "unlicensed"];

/**
 * Where a word belongs that is right in another place.
 *
 * @param value What stands behind it.
 * @param allowed What is known where it stands; tells what kind of part that is.
 * @returns The key that should hold it, and the hint; undefined where nothing better can be said.
 */
export function elsewhere(
  stranger: string,
  value: unknown,
  allowed: readonly string[],
): { readonly key: string; readonly hint: string } | undefined {
  const knows = (...words: string[]): boolean => words.every((word) => allowed.includes(word));
  if (knows("found", "remedy")) {
    const word = ofWork.includes(stranger) ? stranger : otherWord(stranger, ofWork);
    return word === undefined
      ? undefined
      : {
          key: "remedy",
          hint: `write \`${word}:\` at the step of the \`remedy:\` that it belongs to, or at its \`prove:\``,
        };
  }
  if (knows("measure", "ranges") && ["fixed", "not-fixed"].includes(stranger))
    return {
      key: "ranges",
      hint: "a proof that measures leads on by `ranges:`, such as `ranges: {good: {from: 30, then: done}, low: {below: 30, then: call-senior}}`",
    };
  for (const branches of ["answers", "ranges", "outcomes"])
    if (knows(branches) && !knows("then") && leadsOn(stranger, value))
      return {
        key: branches,
        hint:
          stranger === "then"
            ? `it leads on by \`${branches}:\`, each with its own \`then:\``
            : `write it under \`${branches}:\`${typeof value === "string" ? `, such as \`${branches}: {${stranger}: ${value}}\`` : ""}`,
      };
  return undefined;
}

function leadsOn(stranger: string, value: unknown): boolean {
  if (stranger === "then") return true;
  return typeof value === "string"
    ? /^[a-z0-9]+(-[a-z0-9]+)*$/.test(value)
    : typeof value === "object" && value !== null && ("then" in value || "again" in value);
}
