/**
 * A list of names as chips: typed one by one, pasted as a list, renamed in place, put in
 * another order and taken out, all by keyboard.
 *
 *   <chip-list data-node="g1" data-path="sites" data-word="site"></chip-list>
 */

import { make } from "../../accounts/markup.js";
import { same, valueAt, withValue } from "./values.js";

/** @typedef {import("./tree.js").DraftNode} DraftNode */

export class ChipList extends HTMLElement {
  #list = make("ul", { role: "list" });
  #field = make("input", { type: "text", autocomplete: "off" });
  /** @type {DraftNode | null} */
  #node = null;
  /** @type {string[]} */
  #names = [];
  /** @type {number | null} the chip that is being renamed */
  #renaming = null;

  /** Shown before it is on the page, so made then. */
  #make() {
    if (this.firstChild) return;
    const { word = "name" } = this.dataset;
    this.#list.setAttribute("aria-label", `${word}s`);
    const article = /^[aeiou]/.test(word) ? "an" : "a";
    this.#field.setAttribute("aria-label", `Add ${article} ${word}`);
    this.#field.placeholder = `add ${article} ${word}`;
    this.append(this.#list, this.#field);
    this.addEventListener("keydown", (event) => this.#pressed(event));
    this.addEventListener("paste", (event) => this.#pasted(event));
    this.addEventListener("click", (event) => this.#clicked(event));
    this.addEventListener("focusout", (event) => this.#left(event));
    for (const name of ["input", "change"])
      this.addEventListener(name, (event) => event.stopPropagation());
  }

  /** @param {DraftNode} node */
  show(node) {
    this.#make();
    this.#node = node;
    const value = valueAt(node.fields, this.dataset.path ?? "");
    const names = Array.isArray(value) ? value.map(String) : [];
    if (same(names, this.#names) && this.#list.children.length === names.length) return;
    this.#names = names;
    if (this.#renaming === null) this.#draw();
  }

  /** What is typed and not yet a chip becomes one. */
  take() {
    const names = split(this.#field.value);
    this.#field.value = "";
    if (names.length)
      this.#put([...this.#names, ...names.filter((n) => !this.#names.includes(n))]);
  }

  #draw(at = this.#at()) {
    const chips = this.#names.map((name, n) =>
      make("li", {}, make("button", { type: "button", "data-at": String(n) }, name)),
    );
    this.#list.replaceChildren(...chips);
    this.#list.hidden = !chips.length;
    if (at !== null) this.#focus(at);
  }

  /** Which chip has the focus. */
  #at() {
    const at = document.activeElement;
    const is = at instanceof HTMLElement && this.#list.contains(at);
    return is ? Number(at.dataset.at) : null;
  }

  /** @param {number} at */
  #focus(at) {
    const buttons = this.#list.querySelectorAll("button");
    (buttons[Math.min(at, buttons.length - 1)] ?? this.#field).focus();
  }

  /** @param {string[]} names @param {number | null} [at] */
  #put(names, at = null) {
    if (same(names, this.#names)) return;
    this.#names = names;
    this.#draw(at);
    const path = this.dataset.path ?? "";
    const value = names.length ? names : null;
    const fields = withValue(this.#node?.fields ?? {}, path, value);
    const detail = { fields, merge: "" };
    this.dispatchEvent(new CustomEvent("edit", { bubbles: true, detail }));
  }

  /** @param {KeyboardEvent} event */
  #pressed(event) {
    if (event.target === this.#field) return this.#typed(event);
    if (this.#renaming !== null) return this.#renamed(event);
    const at = this.#at();
    if (at === null) return;
    const by = { ArrowLeft: -1, ArrowRight: 1 }[event.key] ?? 0;
    const names = [...this.#names];
    if (by && event.altKey) {
      const to = at + by;
      if (to >= 0 && to < names.length) {
        names.splice(to, 0, ...names.splice(at, 1));
        this.#put(names, to);
      }
    } else if (by) this.#step(at + by);
    else if (event.key === "Delete" || event.key === "Backspace") {
      names.splice(at, 1);
      this.#put(names, event.key === "Delete" ? at : Math.max(0, at - 1));
    } else if (event.key === "Enter" || event.key === "F2") this.#rename(at);
    else return;
    event.preventDefault();
    event.stopPropagation();
  }

  /** @param {number} at */
  #step(at) {
    if (at >= this.#names.length) this.#field.focus();
    else if (at >= 0) this.#focus(at);
  }

  /** @param {KeyboardEvent} event in the field for new names */
  #typed(event) {
    const isAtStart = !this.#field.selectionStart && !this.#field.selectionEnd;
    const isBack = event.key === "Backspace" || event.key === "ArrowLeft";
    if ((event.key === "Enter" || event.key === ",") && this.#field.value.trim())
      this.take();
    else if (isBack && isAtStart && !event.altKey && this.#names.length)
      this.#focus(this.#names.length - 1);
    else return;
    event.preventDefault();
    event.stopPropagation();
  }

  /** @param {ClipboardEvent} event */
  #pasted(event) {
    const text = event.clipboardData?.getData("text") ?? "";
    if (event.target !== this.#field || !/[\n\t,;]/.test(text)) return;
    event.preventDefault();
    event.stopPropagation();
    this.#field.value += text;
    this.take();
  }

  /** @param {Event} event */
  #clicked(event) {
    const { target } = event;
    if (target instanceof HTMLButtonElement) this.#rename(Number(target.dataset.at));
  }

  /** @param {number} at */
  #rename(at) {
    this.#renaming = at;
    const field = make("input", { type: "text", "aria-label": "Rename" });
    field.value = this.#names[at];
    field.size = Math.max(8, field.value.length);
    this.#list.children[at].replaceChildren(field);
    field.select();
  }

  /** @param {KeyboardEvent} event while a chip is renamed */
  #renamed(event) {
    if (event.key !== "Enter" && event.key !== "Escape") return;
    event.preventDefault();
    event.stopPropagation();
    this.#endRename(event.key === "Enter", true);
  }

  /** An empty name takes the chip out. @param {boolean} isTaken @param {boolean} staysHere */
  #endRename(isTaken, staysHere) {
    const at = this.#renaming ?? 0;
    const field = this.#list.querySelector("input");
    const [name] = split(field?.value ?? "");
    this.#renaming = null;
    const names = [...this.#names];
    if (isTaken) names.splice(at, 1, ...(name ? [name] : []));
    this.#draw(staysHere ? at : null);
    if (isTaken) this.#put(names, staysHere ? at : null);
  }

  /** @param {FocusEvent} event */
  #left(event) {
    if (event.target === this.#field) this.take();
    else if (this.#renaming !== null && event.target instanceof HTMLInputElement)
      this.#endRename(true, false);
  }
}

/** @param {string} text @returns {string[]} */
function split(text) {
  const names = text
    .split(/[\n\r\t,;]+/)
    .map((name) => name.replace(/^[\s•*–-]+|\s+$/g, ""));
  return [...new Set(names.filter(Boolean))];
}

customElements.define("chip-list", ChipList);
