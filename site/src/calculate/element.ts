/**
 * <formula-sums>: the calculator of one formula, in the place of its table of inputs.
 *
 * What tests and style sheets may rely on: the hooks of a field and of the result are those of the walk
 * (`walk/element.ts`); besides, [data-result][data-exact] is the result in the author's unit, [data-link] a link to this
 * page with its inputs, and [data-act="clear"] empties it. Links with [data-fill] fill it in.
 *
 * The inputs stand in the address as `?volume=9.5+L&time=42+s`, as they were typed.
 */
import { words } from "#words/sums";
import { evaluate } from "../../../compiler/model/formula.ts";
import { button, el } from "../measure/dom.ts";
import { type Field, fieldFor } from "../measure/field.ts";
import { systemChoice, unfolded } from "../measure/form.ts";
import { asExact } from "../measure/number.ts";
import { systemNow } from "../measure/system.ts";
import { fromOwn, quantityOf, unitFor, withUnit } from "../measure/units.ts";
import type { Sums } from "../render/formula.ts";

class FormulaSums extends HTMLElement {
  #fields: readonly Field[] = [];

  connectedCallback(): void {
    const data = this.querySelector("[data-sums]")?.textContent;
    const box = this.querySelector<HTMLElement>(".measure");
    const table = this.querySelector<HTMLElement>(".readings");
    if (data == null || box === null || table === null || this.#fields.length > 0) return;
    const sums = JSON.parse(data) as Sums;
    const result = quantityOf(sums.units, box.dataset.unit ?? "1", box.dataset.other);
    const output = el("output", { class: "value", "data-result": "" });
    const computed = el("div", {});
    const link = el("a", { class: "fill", "data-link": "", href: "?" }, words.link);
    const clear = button({ "data-act": "clear" }, words.clear);

    const show = (): void => {
      const isOpen = computed.querySelector<HTMLDetailsElement>("details")?.open === true;
      output.replaceChildren();
      computed.replaceChildren();
      delete output.dataset.exact;
      link.hidden = true;
      const given: Record<string, number> = {};
      for (const field of this.#fields) {
        const reading = field.value();
        if (reading !== undefined) given[field.id] = reading;
      }
      if (this.#fields.some(({ id }) => given[id] === undefined)) {
        output.append(el("span", { class: "means" }, words.incomplete));
        return;
      }
      const exact = evaluate(sums.value, (name) => given[name] ?? Number.NaN);
      link.href = this.#address();
      link.hidden = false;
      if (!Number.isFinite(exact)) {
        output.append(el("b", {}, words.noValue));
        return;
      }
      const value = Number(exact.toPrecision(12));
      const count = Math.min(...this.#fields.map((field) => field.digits()));
      const inUnit = (unit: string): string => withUnit(asExact(fromOwn(value, unit, result), count), unit);
      const unit = unitFor(systemNow(), result);
      const other = unit === result.own ? result.other : result.own;
      output.dataset.exact = String(value);
      output.append(el("span", { class: "number" }, `${box.dataset.value}: ${inUnit(unit)}`));
      if (other !== undefined) output.append(el("span", { class: "as-well" }, inUnit(other)));
      const written = box.querySelector("[data-written]");
      if (written === null) return;
      const shownOf = (name: string): string => this.#fields.find(({ id }) => id === name)?.shown() ?? name;
      const details = unfolded(written, shownOf, inUnit(unit));
      details.open = isOpen;
      computed.append(details);
    };
    const changed = (): void => {
      show();
      remember(this.#address());
    };
    this.#fields = Object.entries(sums.inputs).flatMap(([id, bounds]) => {
      const row = table.querySelector<HTMLElement>(`[data-reading="${id}"]`);
      const name = `formula ${sums.formula}`;
      return row === null ? [] : fieldFor(row, "sum__", bounds, sums.units, name, changed, changed);
    });
    for (const field of this.#fields) {
      // Nothing is decided here, so an unusual input is remarked upon when its field is left, and hinders nothing.
      field.input.addEventListener("change", () => field.value() !== undefined && field.doubt(false));
    }
    output.setAttribute("for", this.#fields.map(({ input }) => input.id).join(" "));
    const hasPair = Object.keys(sums.units).length > 0;
    const systems = systemChoice(this.#fields, hasPair, changed);
    clear.addEventListener("click", () => {
      for (const field of this.#fields) field.type("", unitFor(systemNow(), field.quantity));
      for (const field of this.#fields) field.close();
      this.#fields[0]?.input.focus();
    });
    const form = el("form", { class: "controls measuring", "data-controls": "", novalidate: "" });
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      this.#fields.filter((field) => field.refuse())[0]?.input.focus();
    });
    form.append(
      ...(systems ? [systems] : []),
      ...this.#fields.map((field) => field.box),
      output,
      computed,
      el("div", { class: "buttons" }, clear, link),
    );
    table.after(form);
    this.dataset.ready = "";

    this.#fill(location.search);
    show();
    document.addEventListener("click", (event) => {
      const fill = (event.target as Element).closest<HTMLAnchorElement>("a[data-fill]");
      if (fill === null || event.ctrlKey || event.metaKey || event.shiftKey) return;
      event.preventDefault();
      this.#fill(fill.search);
      const heading = document.getElementById("sum_h");
      heading?.setAttribute("tabindex", "-1");
      heading?.focus({ preventScroll: true });
      heading?.scrollIntoView();
    });
  }

  /** Takes the inputs that an address names: each a number and a unit that the field has. */
  #fill(search: string): void {
    const given = new URLSearchParams(search);
    for (const field of this.#fields) {
      const [, text = "", unit] = /^(\S+)(?: (.+))?$/.exec(given.get(field.id) ?? "") ?? [];
      if (text === "") continue;
      const { own, other } = field.quantity;
      // In a unit that isn't known here, the number would mean something else.
      if (unit !== undefined && unit !== own && unit !== other) continue;
      field.type(text, unit ?? own);
      field.refuse();
    }
  }

  #address(): string {
    const query = new URLSearchParams();
    for (const field of this.#fields) {
      const { text, unit } = field.typed();
      if (text.trim() !== "") query.set(field.id, `${text.replace(/\s/g, "")} ${unit}`);
    }
    return `?${query}`;
  }
}

function remember(address: string): void {
  try {
    history.replaceState(null, "", address === "?" ? location.pathname : address);
  } catch {
    // Some browsers refuse this for pages read from a disk: then the link on the page is the way to keep it.
  }
}

customElements.define("formula-sums", FormulaSums);
