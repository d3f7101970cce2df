/**
 * A rule as a row of the sheet, read as a sentence.
 *
 * @typedef {import("./tree.js").DraftNode} DraftNode
 * @typedef {import("./selectors.js").Cell} Cell
 */

import { findAll, make } from "../../accounts/markup.js";
import { control, show } from "./controls.js";
import { faults, more } from "./rows.js";
import { held } from "./selectors.js";

export const RULE_KINDS = /** @type {[string, string][]} */ ([
  ["at_least", "At least"],
  ["before", "In order"],
  ["hazard", "Hazard"],
  ["within", "Within"],
]);
/** What a rule of each kind needs, and what it may have. */
export const RULE_KEYS = /** @type {Record<string, string[]>} */ ({
  at_least: ["count", "of"],
  before: ["first", "then", "per", "slack_seconds"],
  hazard: [],
  within: ["minutes"],
});
const LONGEST = 70;

/** @param {DraftNode} node @param {Cell[]} cells */
export function ruleRow(node, cells) {
  const hint = "The rule in words, as students read it";
  const text = { node: node.id, path: "text", as: /** @type {const} */ ("line") };
  const row = make(
    "div",
    { class: "row" },
    control({ ...text, label: "The rule in words", hint }),
    make("effect-choice", { "data-node": node.id, "data-path": "effect" }),
    more("rule"),
  );
  const sentence = make("div", { class: "sentence", "data-sentence": "" });
  const item = make("li", { class: "rule", "data-row": node.id });
  item.append(row, sentence, faults());
  showRule(item, node, cells);
  return item;
}

/** @param {Element} item @param {DraftNode} node @param {Cell[]} cells */
export function showRule(item, node, cells) {
  const sentence = /** @type {HTMLElement} */ (item.querySelector("[data-sentence]"));
  const kind = String(node.fields.kind ?? "");
  if (sentence.dataset.sentence !== kind) {
    const hasFocus = sentence.contains(document.activeElement);
    sentence.dataset.sentence = kind;
    sentence.replaceChildren(...words(node.id, kind));
    if (hasFocus) sentence.querySelector("select")?.focus();
  }
  for (const button of findAll(item, "[data-choose]", HTMLButtonElement))
    name(button, held(cells, node.fields[button.dataset.choose ?? ""]));
  show(item, node);
}

/** @param {string} node @param {string} kind @returns {(Node | string)[]} */
function words(node, kind) {
  const head = control({
    ...{ node, path: "kind", as: "choice", label: "Kind of rule" },
    options: RULE_KINDS,
  });
  const number = /** @type {const} */ ("number");
  if (kind === "at_least") {
    const count = { node, path: "count", as: number, label: "How many", isWhole: true };
    return [head, control({ ...count, low: 1, high: 1000 }), " of ", choice("of")];
  }
  if (kind === "before") return [head, choice("first"), ", then ", choice("then")];
  if (kind === "within") {
    const minutes = { node, path: "minutes", as: number, label: "Minutes" };
    return [head, control({ ...minutes, high: 1440 }), " minutes from start to end"];
  }
  return [head, make("span", { class: "soft" }, "must not happen")];
}

/** @param {string} list */
function choice(list) {
  return make("button", {
    type: "button",
    class: "choose",
    "data-act": "choose",
    "data-choose": list,
  });
}

/** @param {HTMLButtonElement} button @param {Cell[]} cells */
function name(button, cells) {
  const count = cells.length === 1 ? "1 element" : `${cells.length} elements`;
  const first = cells[0]?.text ?? "";
  const rest = cells.length > 1 ? ` … ${cells[cells.length - 1].text}` : "";
  const words = cells.length ? `${count}: ${first}${rest}` : "no element yet: choose";
  button.textContent = words.length > LONGEST ? `${words.slice(0, LONGEST)}…` : words;
}
