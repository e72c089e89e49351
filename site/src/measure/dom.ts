/** Elements made in one expression. Children that are strings become text, never HTML. */
export type Child = Node | string | undefined;

export function el<K extends keyof HTMLElementTagNameMap>(
  tag: K,
  attributes: Readonly<Record<string, string>> = {},
  ...children: readonly Child[]
): HTMLElementTagNameMap[K] {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) made.setAttribute(name, value);
  made.append(...children.filter((child) => child !== undefined));
  return made;
}

export function button(attributes: Readonly<Record<string, string>>, ...children: readonly Child[]) {
  return el("button", { type: "button", ...attributes }, ...children);
}

/** Writes a text where another one stands, so that nothing is laid out again that stays the same. */
export function put(into: Element, text: string): void {
  if (into.textContent !== text) into.textContent = text;
}

/** A copy of what an element says, fit for a button or a label: no links, no remarks in small print. */
export function phrase(from: Element | null | undefined): DocumentFragment {
  const copy = document.createDocumentFragment();
  if (from == null) return copy;
  for (const child of from.cloneNode(true).childNodes) copy.append(child.cloneNode(true));
  for (const small of copy.querySelectorAll("small")) small.remove();
  for (const link of copy.querySelectorAll("a")) link.replaceWith(...link.childNodes);
  return copy;
}

/** The words of an element on one line. */
export function textOf(from: Element | null | undefined): string {
  return (from?.textContent ?? "").replace(/\s+/g, " ").trim();
}
