/** An id as words, for an answer that has none of its own. */
export function wordsOf(id: string): string {
  const text = id.replaceAll("-", " ");
  return text.charAt(0).toUpperCase() + text.slice(1);
}
