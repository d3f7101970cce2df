/**
 * Elements for a rule, chosen from the tree of their keys: a branch, which holds what
 * comes into it later too, or single elements. Taken as one step of undo.
 *
 *   <element-choice><dialog>…</dialog></element-choice>
 */

import { find, findAll, make } from "../../accounts/markup.js";
import { held, holds } from "./selectors.js";

/** @typedef {import("./selectors.js").Cell} Cell */
/** @typedef {{steps: Map<string, Branch>, cells: Cell[], words: string}} Branch */

export class ElementChoice extends HTMLElement {
  #dialog = find(this, "dialog", HTMLDialogElement);
  /** @type {Cell[]} */
  #cells = [];
  /** @type {Set<string>} */
  #chosen = new Set();
  /** @type {(selectors: string[]) => void} */
  #take = () => {};

  connectedCallback() {
    this.addEventListener("change", (event) => this.#ticked(event));
    this.addEventListener("input", (event) => this.#filtered(event));
    this.addEventListener("click", (event) => this.#clicked(event));
  }

  /**
   * @param {string} head what is chosen
   * @param {Cell[]} cells
   * @param {string[]} selectors
   * @param {Map<string, string>} names words for keys that begin others
   * @param {(selectors: string[]) => void} take
   */
  open(head, cells, selectors, names, take) {
    this.#cells = cells.filter(({ key }) => key);
    this.#chosen = new Set(selectors);
    this.#take = take;
    const stray = selectors.filter(
      (s) => !this.#cells.some(({ key }) => holds(s, key)),
    );
    find(this, "[data-head]", HTMLElement).textContent = head;
    find(this, "[data-find]", HTMLInputElement).value = "";
    find(this, "[data-tree]", HTMLElement).replaceChildren(
      ...stray.map((selector) => line(selector, `${selector}: names no element`, 0)),
      ...branches(grown(this.#cells, names), ""),
    );
    this.#count();
    this.#dialog.showModal();
    find(this, "[data-find]", HTMLInputElement).focus();
  }

  /** @param {Event} event */
  #ticked(event) {
    event.stopPropagation();
    const { target } = event;
    if (!(target instanceof HTMLInputElement) || target.type !== "checkbox") return;
    const selector = target.value;
    if (target.checked) {
      for (const other of this.#chosen)
        if (other !== selector && holds(selector, other.replace(/\.\*$/, ".x")))
          this.#chosen.delete(other);
      this.#chosen.add(selector);
    } else this.#chosen.delete(selector);
    this.#count();
  }

  /** Ticks follow what is chosen; what a branch holds already cannot be chosen again. */
  #count() {
    for (const box of findAll(this, "[type=checkbox]", HTMLInputElement)) {
      const isWithin = [...this.#chosen].some(
        (selector) =>
          selector !== box.value && holds(selector, box.value.replace(/\.\*$/, ".x")),
      );
      box.checked = isWithin || this.#chosen.has(box.value);
      box.disabled = isWithin;
    }
    const count = held(this.#cells, [...this.#chosen]).length;
    find(this, "[data-count]", HTMLElement).textContent =
      count === 1 ? "1 element is held" : `${count} elements are held`;
  }

  /** @param {Event} event */
  #filtered(event) {
    event.stopPropagation();
    const { target } = event;
    if (!(target instanceof HTMLInputElement) || !("find" in target.dataset)) return;
    const words = target.value.toLowerCase().split(/\s+/).filter(Boolean);
    for (const row of findAll(this, "[data-words]", HTMLElement))
      row.hidden = !words.every((word) => row.dataset.words?.includes(word));
  }

  /** @param {Event} event */
  #clicked(event) {
    const { target } = event;
    if (!(target instanceof HTMLButtonElement)) return;
    if ("take" in target.dataset) this.#take([...this.#chosen]);
    this.#dialog.close();
  }
}

/**
 * The tree that the dots in the keys make.
 * @param {Cell[]} cells
 * @param {Map<string, string>} names
 */
function grown(cells, names) {
  /** @type {Branch} */
  const root = { steps: new Map(), cells: [], words: "" };
  for (const cell of cells) {
    const steps = cell.key.split(".");
    let at = root;
    for (const [n, step] of steps.entries()) {
      const key = steps.slice(0, n + 1).join(".");
      const spoken = cell.path[cell.path.length - (steps.length - n)];
      const words = names.get(key) ?? (n > 1 ? spoken : undefined) ?? key;
      /** @type {Branch} */
      const next = at.steps.get(step) ?? { steps: new Map(), cells: [], words };
      at.steps.set(step, next);
      next.cells.push(cell);
      at = next;
    }
  }
  return root;
}

/** @param {Branch} branch @param {string} key @returns {HTMLElement[]} */
function branches({ steps }, key, depth = 0) {
  return [...steps].flatMap(([step, branch]) => {
    const own = key ? `${key}.${step}` : step;
    const whole = branch.cells.find((cell) => cell.key === own);
    const rows = whole ? [line(own, whole.text || own, depth)] : [];
    if (!branch.steps.size) return rows;
    const below = branch.cells.filter((cell) => cell.key !== own);
    const count = below.length === 1 ? "1 element" : `${below.length} elements`;
    const words = `All of “${branch.words}”: ${count}`;
    const found = below.map(({ text }) => text).join(" ");
    const head = line(`${own}.*`, words, depth, found);
    head.classList.add("branch");
    return [...rows, head, ...branches(branch, own, depth + 1)];
  });
}

/** @param {string} selector @param {string} words @param {number} depth @param {string} [found] */
function line(selector, words, depth, found = "") {
  const box = make("input", { type: "checkbox", value: selector });
  const item = make(
    "li",
    { class: `depth-${Math.min(depth, 4)}` },
    make("label", {}, box, make("span", {}, words)),
  );
  item.dataset.words = `${selector} ${words} ${found}`.toLowerCase();
  return item;
}

customElements.define("element-choice", ElementChoice);
