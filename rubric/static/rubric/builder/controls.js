/**
 * Fields bound to the draft: each says in its data which value of which node it shows.
 * What is typed goes out as an "edit" event with the fields that change; what is being
 * typed in is never written over.
 *
 * @typedef {import("./tree.js").DraftNode} DraftNode
 * @typedef {"line" | "lines" | "number" | "word" | "key" | "choice" | "truth"} As
 * @typedef {{node: string, path: string, as: As, label: string, hint?: string,
 *   options?: [string, string][], low?: number, high?: number, isWhole?: boolean,
 *   kind?: string}} Described
 */

import { findAll, make } from "../../accounts/markup.js";
import { numberFault } from "./figures.js";
import { valueAt, withValue } from "./values.js";

const NEVER_ABSENT = ["text", "title", "key"];

/** @param {Described} described */
export function control({ node, path, as, label, hint = "", options = [], ...rest }) {
  const data = {
    "data-node": node,
    "data-path": path,
    "data-as": as,
    "aria-label": label,
  };
  if (as === "truth") return make("input", { ...data, type: "checkbox" });
  if (as === "choice")
    return make(
      "select",
      data,
      ...options.map(([value, word]) => make("option", { value }, word)),
    );
  if (as === "line" || as === "lines") {
    const field = make("textarea", { ...data, rows: "1", placeholder: hint });
    return make("span", { class: "grows", "data-text": "" }, field);
  }
  const { low = 0, high = 100, isWhole = false } = rest;
  const field = make("input", { ...data, type: "text", placeholder: hint });
  field.autocomplete = "off";
  if (as !== "number") return field;
  field.inputMode = "decimal";
  Object.assign(field.dataset, { low, high, ...(isWhole && { whole: "" }) });
  return field;
}

/** The same with its label to be seen. @param {Described} described */
export function labelled(described) {
  const field = control(described);
  const word = make("span", { class: "label" }, described.label);
  const kind = described.as === "truth" ? "labelled tick" : "labelled";
  return make("label", { class: kind }, word, field);
}

/**
 * Shows a node's values in every field below the root that is bound to it.
 * @param {ParentNode} root
 * @param {DraftNode} node
 */
export function show(root, node) {
  for (const field of findAll(root, "[data-path]", HTMLElement)) {
    if (field.dataset.node !== node.id) continue;
    const value = valueAt(node.fields, field.dataset.path ?? "");
    if (field.dataset.as) write(field, value);
    else if ("show" in field && typeof field.show === "function") field.show(node);
  }
}

/** @param {HTMLElement} field @param {any} value */
function write(field, value) {
  if (field instanceof HTMLInputElement && field.type === "checkbox") {
    field.checked = value === true;
    return;
  }
  const text = value === null || typeof value === "object" ? "" : String(value);
  if (field instanceof HTMLSelectElement) {
    const isKnown = [...field.options].some((option) => option.value === text);
    if (!isKnown) field.append(make("option", { value: text }, text || "choose"));
    field.value = text;
  } else if (
    field instanceof HTMLInputElement ||
    field instanceof HTMLTextAreaElement
  ) {
    // As typed: "0.50" is on its way while the draft says 0.5.
    const isTyping = field === document.activeElement && field.dataset.typed;
    if (!isTyping && field.value !== text) field.value = text;
  }
  settle(field);
}

/** What hangs on a field's text: its height, and whether it is in order. @param {HTMLElement} field */
export function settle(field) {
  if (field instanceof HTMLTextAreaElement) {
    const { parentElement } = field;
    if (parentElement?.classList.contains("grows"))
      parentElement.dataset.text = field.value;
  }
  if (field.dataset.as === "number") {
    if (faultOf(field)) field.setAttribute("aria-invalid", "true");
    else field.removeAttribute("aria-invalid");
  }
}

/** What is wrong with a number as it stands, in words. @param {HTMLElement} field */
export function faultOf(field) {
  if (!(field instanceof HTMLInputElement) || field.dataset.as !== "number") return "";
  const { low, high, whole } = field.dataset;
  return numberFault(field.value, Number(low), Number(high), whole !== undefined);
}

/**
 * The fields that a change in this control sets, given what the node has now.
 * @param {HTMLElement} field
 * @param {DraftNode} node
 */
export function edited(field, node) {
  const path = field.dataset.path ?? "";
  if (field instanceof HTMLInputElement && field.type === "checkbox")
    return withValue(node.fields, path, field.checked || null);
  const { value } = /** @type {HTMLInputElement} */ (field);
  const isLines = field.dataset.as === "lines";
  const text = isLines ? value : value.replace(/\s*\n\s*/g, " ");
  const isAbsent = text.trim() === "" && !NEVER_ABSENT.includes(path);
  const written = field.dataset.as === "number" ? text.trim() : text;
  return withValue(node.fields, path, isAbsent ? null : written);
}
