/**
 * What a critical element or a broken rule does: a word, and an amount where it has one.
 *
 *   <effect-choice data-node="p1" data-path="critical"></effect-choice>
 */

import { make } from "../../accounts/markup.js";
import { faultOf, settle } from "./controls.js";
import { EFFECTS, valueAt } from "./values.js";

/** @typedef {import("./tree.js").DraftNode} DraftNode */

export class EffectChoice extends HTMLElement {
  #words = make("select", { "aria-label": "" });
  #amount = make("input", {
    type: "text",
    inputmode: "decimal",
    "data-as": "number",
    "data-low": "0",
    "data-high": "100",
    "aria-label": "Percentage points",
  });
  /** What stands now, as the draft has it. @type {any} */
  #value = null;

  /** Shown before it is on the page, so made then. */
  #make() {
    if (this.firstChild) return;
    const isRule = this.dataset.path === "effect";
    this.#words.setAttribute("aria-label", isRule ? "If broken" : "If left out");
    if (!isRule) this.#words.append(make("option", { value: "" }, "points only"));
    for (const [value, word] of Object.entries(EFFECTS))
      this.#words.append(make("option", { value }, word));
    this.append(this.#words, this.#amount);
    this.addEventListener("input", (event) => this.#changed(event));
    this.addEventListener("change", (event) => event.stopPropagation());
  }

  /** @param {DraftNode} node */
  show(node) {
    this.#make();
    this.#value = valueAt(node.fields, this.dataset.path ?? "");
    const [kind, amount] = read(this.#value);
    const isKnown = [...this.#words.options].some(({ value }) => value === kind);
    if (!isKnown) this.#words.append(make("option", { value: kind }, kind || "choose"));
    this.#words.value = kind;
    this.#amount.hidden = amount === null;
    if (document.activeElement !== this.#amount) this.#amount.value = amount ?? "";
    this.toggleAttribute("data-critical", kind !== "");
    settle(this.#amount);
  }

  get fault() {
    return this.#amount.hidden ? "" : faultOf(this.#amount);
  }

  /** @param {Event} event */
  #changed(event) {
    event.stopPropagation();
    const kind = this.#words.value;
    const hadAmount = read(this.#value)[1] !== null;
    const needs = kind === "cap" || kind === "deduct";
    if (needs && !hadAmount) this.#amount.value = kind === "cap" ? "74" : "5";
    const amount = this.#amount.value.trim();
    const value = needs ? { [kind]: amount } : kind || null;
    const detail = {
      fields: { [this.dataset.path ?? ""]: value },
      merge: event.target === this.#amount ? "amount" : "",
    };
    this.dispatchEvent(new CustomEvent("edit", { bubbles: true, detail }));
  }
}

/** @param {any} value @returns {[string, string | null]} */
function read(value) {
  if (value && typeof value === "object") {
    const [kind, amount] = Object.entries(value)[0] ?? ["", ""];
    return [kind, String(amount ?? "")];
  }
  return [value === null ? "" : String(value), null];
}

customElements.define("effect-choice", EffectChoice);
