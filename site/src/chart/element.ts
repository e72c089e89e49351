/**
 * <tree-chart>: zooms the chart, and marks on it the way of the visit that is open on this device.
 *
 * What tests and style sheets may rely on: [data-act="larger" | "smaller" | "whole"]; boxes carry [data-been] where the
 * reader was, and the last one [aria-current]; lines that were taken carry [data-been]; [data-here] says it in words.
 */
import { words } from "#words/zoom";
import { button } from "../measure/dom.ts";
import { EQUIPMENT, isMisfit, type Place, replay } from "../walk/engine.ts";
import type { Plan } from "../walk/plan.ts";
import { type Visit, visitsTo } from "../walk/store.ts";

const SVG = "http://www.w3.org/2000/svg";
const STEP = 1.25;

class TreeChart extends HTMLElement {
  #zoom = 1;
  /** What boxes were called before it was said that somebody was there. */
  readonly #names = new Map<string, string>();

  connectedCallback(): void {
    this.#addButtons();
    const data = this.querySelector("[data-plan]")?.textContent;
    if (data != null) void this.#mark(JSON.parse(data) as Plan);
  }

  #addButtons(): void {
    const bar = this.querySelector<HTMLElement>("[data-zoom]");
    const pan = this.querySelector<HTMLElement>("[data-pan]");
    const drawing = this.querySelector<SVGSVGElement>("#chart");
    if (bar === null || pan === null || drawing === null || bar.childElementCount > 0) return;
    const zoom = (to: () => number) => {
      const [x, y] = [pan.scrollLeft + pan.clientWidth / 2, pan.scrollTop + pan.clientHeight / 2];
      const before = drawing.getBoundingClientRect().width;
      this.#zoom = Math.min(4, Math.max(0.05, to()));
      drawing.style.setProperty("--zoom", String(this.#zoom));
      const grown = drawing.getBoundingClientRect().width / before;
      // What was in the middle stays there.
      pan.scrollTo(x * grown - pan.clientWidth / 2, y * grown - pan.clientHeight / 2);
    };
    const whole = () => {
      const { width, height } = drawing.getBoundingClientRect();
      return this.#zoom * Math.min(pan.clientWidth / width, (window.innerHeight * 0.75) / height);
    };
    for (const [act, label, to] of [
      ["larger", words.larger, () => this.#zoom * STEP],
      ["smaller", words.smaller, () => this.#zoom / STEP],
      ["whole", words.whole, whole],
    ] as const) {
      const press = button({ "data-act": act }, label);
      press.addEventListener("click", () => zoom(to));
      bar.append(press);
    }
    const start = this.querySelector(".end .outline");
    if (start !== null) this.#show(pan, start);
  }

  #show(pan: HTMLElement, what: Element): void {
    const [frame, box] = [pan.getBoundingClientRect(), what.getBoundingClientRect()];
    pan.scrollBy(
      box.left + box.width / 2 - frame.left - frame.width / 2,
      Math.max(0, box.top + box.height / 2 - frame.top - frame.height / 2),
    );
  }

  async #mark(plan: Plan): Promise<void> {
    let visits: readonly Visit[] = [];
    try {
      visits = await visitsTo(plan.base, plan.tree);
    } catch {
      // Without a store there is no visit to show, and the chart is as good without it.
    }
    const visit = visits.find(({ state }) => state === "open");
    if (visit === undefined || visit.history.length === 0) return;
    const back = document.querySelector<HTMLAnchorElement>("[data-to-steps]");
    if (back !== null) {
      back.href += `?visit=${visit.id}`;
      back.textContent = words.back;
    }
    const way: string[] = [];
    for (let count = 1; count <= visit.history.length; count++) {
      const place = replay(plan, visit.history.slice(0, count));
      if (isMisfit(place)) break;
      const key = this.#boxOf(place);
      if (key !== undefined && key !== way.at(-1)) way.push(key);
    }
    for (const [at, key] of way.entries()) {
      this.#markBox(key, at === way.length - 1);
      const next = way[at + 1];
      if (next !== undefined) for (const line of this.#between(key, next)) line.setAttribute("data-been", "");
    }
  }

  /** The box that holds a place: inside a routine the step that uses it, in a remedy or its proof the cause. */
  #boxOf(place: Place): string | undefined {
    const key = place.calls[0] ?? place.at;
    if (key === EQUIPMENT || key.startsWith("=")) return undefined;
    for (let part = key; part !== ""; part = part.slice(0, Math.max(0, part.lastIndexOf("--"))))
      if (this.#box(part) !== null) return part;
    return undefined;
  }

  #box(key: string): SVGElement | null {
    return this.querySelector<SVGElement>(`[data-box="${CSS.escape(key)}"]`);
  }

  /** The lines from one box to another, directly or by choices that the equipment makes. */
  #between(from: string, to: string): readonly Element[] {
    const lines = [...this.querySelectorAll<SVGElement>("[data-from]")];
    const ways: { at: string; taken: readonly Element[] }[] = [{ at: from, taken: [] }];
    for (const { at, taken } of ways) {
      if (taken.length > 4) break;
      for (const line of lines) {
        if (line.dataset.from !== at) continue;
        const next = line.dataset.to ?? "";
        if (next === to) return [...taken, line];
        if (this.#box(next)?.classList.contains("sort")) ways.push({ at: next, taken: [...taken, line] });
      }
    }
    return [];
  }

  #markBox(key: string, isLast: boolean): void {
    const box = this.#box(key);
    const outline = box?.querySelector<SVGGraphicsElement>(".outline");
    if (box == null || outline == null) return;
    const name = this.#names.get(key) ?? box.getAttribute("aria-label") ?? "";
    this.#names.set(key, name);
    if (!box.hasAttribute("data-been")) {
      box.setAttribute("data-been", "");
      const tick = document.createElementNS(SVG, "path");
      tick.setAttribute("class", "tick");
      tick.setAttribute("d", "M-4 4l6 7l11 -14");
      box.append(tick);
      if (!isLast) box.setAttribute("aria-label", words.been(name));
    }
    if (!isLast) return;
    box.setAttribute("aria-current", "step");
    box.classList.add("here");
    box.setAttribute("aria-label", words.here(name));
    const said = this.querySelector("[data-here]");
    if (said !== null) said.textContent = words.here(name);
    const pan = this.querySelector<HTMLElement>("[data-pan]");
    if (pan !== null) this.#show(pan, outline);
  }
}

customElements.define("tree-chart", TreeChart);
