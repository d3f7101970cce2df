/**
 * Finds an element by the beginnings of any of its words: "tri be" finds tricuspid, bell.
 *
 *   <find-element><input role="combobox" aria-controls="found">
 *     <ul id="found" role="listbox" hidden></ul></find-element>
 */

import { find, glyph, make } from "./markup.js";

/** @typedef {import("./desk.js").MarkingDesk} Desk */

const MOST = 8;

/**
 * Whether each part begins a word of the text.
 * @param {string} text
 * @param {string} sought
 */
export function matches(text, sought) {
  const words = text.toLowerCase().split(/[^\p{L}\p{N}]+/u);
  const parts = sought.toLowerCase().split(/\s+/).filter(Boolean);
  return parts.every((part) => words.some((word) => word.startsWith(part)));
}

export class FindElement extends HTMLElement {
  /** @type {Desk | null} */
  #desk = null;
  #field = find(this, "input", HTMLInputElement);
  #list = find(this, "ul", HTMLElement);
  /** @type {HTMLElement[]} */
  #found = [];
  #at = 0;

  /** @param {Desk} desk */
  begin(desk) {
    this.#desk = desk;
    const { signal } = desk;
    this.hidden = false;
    this.#field.addEventListener("input", () => this.#seek(), { signal });
    this.#field.addEventListener("keydown", (event) => this.#pressed(event), {
      signal,
    });
    this.#field.addEventListener("blur", () => this.#close(), { signal });
    // Before the field loses the focus, or the list would be gone when it is clicked.
    this.#list.addEventListener("mousedown", (event) => this.#clicked(event), {
      signal,
    });
  }

  open() {
    this.#field.value = "";
    this.#field.focus();
  }

  #seek() {
    const sought = this.#field.value;
    const rows = this.#desk?.sheet.rows ?? [];
    const found = sought.trim()
      ? rows.filter((row) => matches(row.dataset.find ?? "", sought))
      : [];
    // Whoever seeks while marking mostly seeks what is still open.
    const isOpen = (/** @type {HTMLElement} */ row) => this.#desk?.sheet.isOpen(row);
    this.#found = [...found.filter(isOpen), ...found.filter((row) => !isOpen(row))];
    this.#found.splice(MOST);
    this.#at = 0;
    this.#draw();
  }

  #draw() {
    const items = this.#found.map((row, i) => {
      const state = this.#desk?.store.value(row.dataset.target ?? "");
      const sign = glyph(
        this.#desk?.glyphs ?? "",
        state?.state ?? "open",
        state?.level,
      );
      const isAt = String(i === this.#at);
      const name = row.dataset.name ?? "";
      return make(
        "li",
        { role: "option", id: `found-${i}`, "aria-selected": isAt },
        sign,
        name,
      );
    });
    if (!items.length && this.#field.value.trim())
      items.push(make("li", { class: "soft" }, "Nothing has these words."));
    this.#list.replaceChildren(...items);
    this.#list.hidden = !items.length;
    this.#field.setAttribute("aria-expanded", String(this.#found.length > 0));
    if (this.#found.length)
      this.#field.setAttribute("aria-activedescendant", `found-${this.#at}`);
    else this.#field.removeAttribute("aria-activedescendant");
  }

  /** @param {KeyboardEvent} event */
  #pressed(event) {
    const by = event.key === "ArrowDown" ? 1 : event.key === "ArrowUp" ? -1 : 0;
    if (by) {
      const count = this.#found.length || 1;
      this.#at = (this.#at + by + count) % count;
      this.#draw();
    } else if (event.key === "Enter") this.#take(this.#at);
    else if (event.key === "Escape") this.#desk?.sheet.refocus();
    else return;
    event.preventDefault();
  }

  /** @param {Event} event */
  #clicked(event) {
    event.preventDefault();
    const item = event.target instanceof Element ? event.target.closest("li") : null;
    if (item) this.#take([...this.#list.children].indexOf(item));
  }

  /** @param {number} index */
  #take(index) {
    const row = this.#found[index];
    if (row) this.#desk?.sheet.goTo(row.dataset.target ?? "");
  }

  #close() {
    this.#field.value = "";
    this.#found = [];
    this.#draw();
  }
}

customElements.define("find-element", FindElement);
