/**
 * Where on the sheet the person is: the current row, its details, the focus, and what is
 * wrong at each place.
 *
 * @typedef {import("./builder.js").RubricBuilder} Builder
 */

import { findAll, make } from "../../accounts/markup.js";
import { faultOf } from "./controls.js";
import { EffectChoice } from "./effect-choice.js";
import { PointsChoice } from "./points-choice.js";
import { NAMES } from "./values.js";

const WIDE = "(min-width: 68rem)";

export class Place {
  #page;
  #wide = matchMedia(WIDE);
  #side;
  /** The row that has, or last had, the focus: a node. */
  current = "";
  /** Whether the details are open in the rows, where there is no room beside them. */
  #isOpen = false;

  /** @param {Builder} page */
  constructor(page) {
    this.#page = page;
    this.#side = /** @type {HTMLElement} */ (page.details.parentElement);
    const { signal } = page;
    page.addEventListener("focusin", (event) => this.#entered(event), { signal });
    this.#wide.addEventListener("change", () => this.refresh(), { signal });
  }

  /** The node's row; for a section its head. @param {string} id */
  row(id) {
    if (id === "sheet") return this.#page.head;
    const item = this.#page.view.item(id);
    return item?.matches("[data-row]")
      ? item
      : (item?.querySelector("[data-row]") ?? null);
  }

  /** Puts the focus on a node, and on one of its fields. @param {string} id */
  goTo(id, path = "") {
    const row = this.row(id);
    if (!row) return;
    this.current = id;
    this.refresh();
    const inRow = path && findAll(row, "*", HTMLElement).find((e) => isFor(e, path));
    const inDetails =
      path && findAll(this.#page.details, "*", HTMLElement).find((e) => isFor(e, path));
    if (path && !inRow && !this.#wide.matches) this.#open(true);
    const found =
      inRow ||
      inDetails ||
      row.querySelector("textarea") ||
      row.querySelector("input, select");
    if (!(found instanceof HTMLElement)) return;
    const field = found.matches("input, textarea, select, button")
      ? found
      : found.querySelector("input, select, button");
    if (field instanceof HTMLElement) field.focus();
    row.scrollIntoView({ block: "nearest" });
  }

  /** To the rest of the current row; where that is open in the row already, shut. */
  toDetails() {
    if (!this.#wide.matches) {
      this.#open(!this.#isOpen);
      if (!this.#isOpen) return this.goTo(this.current);
    }
    this.#page.details.enter();
  }

  back() {
    if (this.current) this.goTo(this.current);
  }

  /** Shows what the current row is, after it or its place has changed. */
  refresh() {
    const { draft, details } = this.#page;
    const node = draft.node(this.current);
    for (const row of findAll(this.#page, "[data-row][aria-current]", HTMLElement))
      if (row.dataset.row !== this.current) row.removeAttribute("aria-current");
    if (!node || node.kind === "sheet") {
      if (!this.#side.contains(details)) this.#side.prepend(details);
      details.clear();
      return;
    }
    const row = /** @type {HTMLElement} */ (this.row(node.id));
    row.setAttribute("aria-current", "true");
    const home = this.#wide.matches ? this.#side : row;
    if (details.parentElement !== home)
      if (home === row) home.append(details);
      else home.prepend(details);
    details.hidden = !this.#wide.matches && !this.#isOpen;
    const sections = draft
      .in("sections")
      .filter(({ id }) => id !== draft.listOf(node.id));
    details.show(
      node,
      sections.map(({ id, fields }) => [id, String(fields.title ?? "") || "untitled"]),
    );
    this.#page.details.dataset.for = node.id;
  }

  /** Says in each row what is wrong there: numbers at once, the rest as the server found it. */
  mark() {
    const { findings } = this.#page.panel;
    for (const row of findAll(this.#page, "[data-row]", HTMLElement)) {
      const list = row.querySelector("[data-faults]");
      if (!(list instanceof HTMLElement)) continue;
      const own = findings.filter(
        ({ node, isMust }) => isMust && node === row.dataset.row,
      );
      const numbers = numberFaults(row);
      const isNew = row.contains(document.activeElement) && isEmpty(row);
      const said = own
        .filter(({ key }) => !numbers.some(([path]) => path.startsWith(key)) && !isNew)
        .map(({ words }) => words);
      const lines = [
        ...numbers.map(([path, fault]) => `${nameOf(path)}: ${fault}`),
        ...said,
      ];
      const text = JSON.stringify(lines);
      if (list.dataset.said === text) continue;
      list.dataset.said = text;
      list.replaceChildren(...lines.map((line) => make("li", {}, line)));
      list.hidden = !lines.length;
    }
  }

  /** @param {boolean} isOpen */
  #open(isOpen) {
    this.#isOpen = isOpen;
    this.refresh();
  }

  /** @param {FocusEvent} event */
  #entered(event) {
    const { target } = event;
    if (!(target instanceof Element) || this.#page.details.contains(target)) return;
    const row = target.closest("[data-row]");
    if (!(row instanceof HTMLElement) || row.dataset.row === this.current) return;
    this.current = row.dataset.row ?? "";
    // A row that opens under a pressed pointer would move the click elsewhere.
    setTimeout(() => this.refresh(), this.#wide.matches ? 0 : 150);
  }
}

/** @param {HTMLElement} element @param {string} path */
function isFor(element, path) {
  const own = element.dataset.path ?? element.dataset.choose ?? "";
  return (
    own === path ||
    own.startsWith(`${path}.`) ||
    (own === "points" && path === "points_shared")
  );
}

/** @param {HTMLElement} row @returns {[string, string][]} */
function numberFaults(row) {
  return findAll(row, "[data-path]", HTMLElement).flatMap((field) => {
    const isOwn = field instanceof EffectChoice || field instanceof PointsChoice;
    const fault = isOwn ? field.fault : faultOf(field);
    return fault
      ? [/** @type {[string, string]} */ ([field.dataset.path ?? "", fault])]
      : [];
  });
}

/** Nothing is typed in it yet. @param {HTMLElement} row */
function isEmpty(row) {
  return row.querySelector("textarea")?.value.trim() === "";
}

/** @param {string} path */
function nameOf(path) {
  const words = path
    .split(".")
    .map((step) => NAMES[step] ?? step)
    .join(" ");
  return words[0].toUpperCase() + words.slice(1);
}
