/**
 * Finding a tree by what the customer says, by a cause or a part, or a calculator by what is to be known. The list on the
 * page stays the page without script; the index is a script of its own, made with the site.
 *
 * For tests: input[data-find], whose value is what a find is called, [data-found-count] (announced), [data-results] with
 * a [data-listed] item for each find, best first, and its [data-why]; [data-areas] is hidden while something is typed.
 * [data-senses] narrows the list by styles alone; its count is announced too.
 */
import { words } from "#words/find";
import { type Found, type Index, readIndex, search } from "./terms.ts";

const SHOWN = 40;

const box = document.querySelector<HTMLInputElement>("[data-find]");
const areas = document.querySelector<HTMLElement>("[data-areas]");
const results = document.querySelector<HTMLElement>("[data-results]");
const list = document.querySelector<HTMLElement>("[data-results] ol");
const count = document.querySelector<HTMLElement>("[data-found-count]");

function element(name: string, text: string): HTMLElement {
  const made = document.createElement(name);
  made.textContent = text;
  return made;
}

function itemOf({ id, href, title, note, why }: Found): HTMLElement {
  const item = document.createElement("li");
  item.dataset.listed = id;
  const link = document.createElement("a");
  link.href = href;
  link.className = "go";
  link.textContent = title;
  const heading = document.createElement("h3");
  heading.append(link);
  item.append(heading);
  if (note !== "") item.append(element("p", note));
  if (why !== undefined) {
    const line = element("p", `${words.why[why.kind]}: `);
    line.dataset.why = why.kind;
    line.append(element(why.kind === "says" ? "q" : "b", why.text));
    item.append(line);
  }
  return item;
}

if (box !== null && areas !== null && results !== null && list !== null && count !== null) {
  const counted = words.counted[box.dataset.find === "calculator" ? "calculator" : "tree"];
  let index: Index | undefined;
  const ready = (): Index => {
    index ??= readIndex((globalThis as typeof globalThis & { findable: string }).findable);
    return index;
  };

  const find = () => {
    // One letter finds everything and tells nothing.
    const isTyped = box.value.trim().length > 1;
    const found = isTyped ? search(ready(), box.value, SHOWN) : { count: 0, best: [] };
    list.replaceChildren(...found.best.map(itemOf));
    results.hidden = found.count === 0;
    areas.hidden = isTyped;
    const said = found.count > SHOWN ? words.foundMore(counted(found.count), SHOWN) : words.found(counted(found.count));
    count.textContent = !isTyped ? "" : found.count === 0 ? words.nothing : said;
  };
  box.addEventListener("input", find);
  // Reading the index of a thousand trees takes a moment: rather while the reader reaches for the keyboard.
  box.addEventListener("focus", ready);
  box.form?.addEventListener("submit", (event) => {
    event.preventDefault();
    find();
    results.querySelector<HTMLElement>("a")?.focus();
  });
  // A reload may bring the typed words back.
  if (box.value !== "") find();

  areas.querySelector("[data-senses]")?.addEventListener("change", () => {
    const shown = [...areas.querySelectorAll("[data-symptom]")].filter((one) => one.checkVisibility()).length;
    count.textContent = words.listed(counted(shown));
  });
}
