/**
 * The rest of what a row holds: its key, what it expects, its source, its levels, and
 * what can be done with it. Beside the sheet where there is room, else in the row.
 *
 *   <part-details></part-details>
 */

import { make } from "../../accounts/markup.js";
import { labelled, show } from "./controls.js";

/** @typedef {import("./tree.js").DraftNode} DraftNode */
/** @typedef {import("./controls.js").Described} Described */
/** @typedef {Omit<Described, "node">} Part */

const KEY = /** @type {Part} */ ({ path: "key", as: "key", label: "Key" });
const BOTH = /** @type {Part[]} */ ([
  {
    path: "expects",
    as: "lines",
    label: "Expects",
    hint: "what is to be found and said",
  },
  {
    path: "source",
    as: "lines",
    label: "Source",
    hint: "who says so, or: common practice",
  },
]);
const CREDIT = /** @type {Part[]} */ ([
  {
    path: "credit.partly",
    as: "number",
    label: "Credit for partly",
    high: 1,
    hint: "as the sheet",
  },
  {
    path: "credit.said",
    as: "number",
    label: "Credit for said only",
    high: 1,
    hint: "as the sheet",
  },
]);
const EXCUSE = /** @type {Part} */ ({
  ...{
    path: "may_excuse",
    as: "truth",
    label: "The marker may excuse it, with a reason",
  },
});
const PER = /** @type {[string, string][]} */ ([
  ["", "once for all"],
  ["site", "per site"],
  ["side", "per side"],
  ["instrument", "per instrument"],
]);
const SLACK = /** @type {Part[]} */ ([
  { path: "per", as: "choice", label: "Read", options: PER },
  {
    path: "slack_seconds",
    as: "number",
    label: "Slack in seconds",
    high: 3600,
    hint: "5",
  },
]);
const MINIMUM = /** @type {Part} */ ({
  ...{ path: "minimum_percent", as: "number", label: "Minimum in %", hint: "none" },
});
const HEADS = {
  element: "This element",
  grid: "This site grid",
  section: "This section",
  rule: "This rule",
  sheet: "",
};

export class PartDetails extends HTMLElement {
  /** What is shown: the node and what its form depends on. */
  #shown = "";

  /** @param {DraftNode} node @param {[string, string][]} sections */
  show(node, sections) {
    const { kind, fields } = node;
    const isOrder = fields.kind === "before";
    const places = JSON.stringify(sections);
    const shown = `${node.id} ${kind} ${isOrder} ${"levels" in fields} ${places}`;
    if (shown !== this.#shown) {
      const hadFocus = this.contains(document.activeElement);
      const path = hadFocus ? pathOf(document.activeElement) : "";
      this.#shown = shown;
      this.replaceChildren(...this.#form(node, sections));
      if (hadFocus) this.enter(path);
    }
    show(this, node);
  }

  clear() {
    this.#shown = "";
    this.replaceChildren();
  }

  /** @param {string} [path] */
  enter(path = "") {
    const wanted = path && this.querySelector(`[data-path="${path}"]`);
    const found = wanted || this.querySelector("input, textarea, select, button");
    if (found instanceof HTMLElement) found.focus();
  }

  /** @param {DraftNode} node @param {[string, string][]} sections */
  #form({ id, kind, fields }, sections) {
    const isPart = kind === "element" || kind === "grid";
    const fieldOf = (/** @type {Part} */ part) => labelled({ ...part, node: id });
    /** @type {HTMLElement[]} */
    const rows = isPart ? BOTH.map(fieldOf) : [];
    if (kind === "section") rows.push(fieldOf(MINIMUM));
    if (kind === "rule" && fields.kind === "before") rows.push(...SLACK.map(fieldOf));
    if (isPart && !("levels" in fields)) rows.push(pair(...CREDIT.map(fieldOf)));
    const data = { "data-node": id };
    if (kind === "element")
      rows.push(
        block("Levels", make("level-list", { ...data, "data-path": "levels" })),
      );
    if (isPart) {
      const word = { "data-path": "say", "data-word": "spoken word" };
      rows.push(block("Also heard as", make("chip-list", { ...data, ...word })));
      rows.push(fieldOf(EXCUSE));
    }
    rows.push(fieldOf(KEY));
    return [
      make("h2", {}, HEADS[kind]),
      ...rows,
      ...(isPart && sections.length > 1 ? [moveTo(id, sections)] : []),
      make("p", { class: "row-acts" }, ...acts(kind)),
    ];
  }
}

/** @param {Element | null} at */
function pathOf(at) {
  return at instanceof HTMLElement ? (at.dataset.path ?? "") : "";
}

/** @param {...HTMLElement} fields */
function pair(...fields) {
  return make("div", { class: "pair" }, ...fields);
}

/** @param {string} word @param {HTMLElement} inner */
function block(word, inner) {
  return make(
    "div",
    { class: "labelled" },
    make("span", { class: "label" }, word),
    inner,
  );
}

/** @param {string} id @param {[string, string][]} sections */
function moveTo(id, sections) {
  const choose = make("select", { "data-act": "move-to", "data-for": id });
  choose.append(make("option", { value: "" }, "choose a section"));
  for (const [value, word] of sections) choose.append(make("option", { value }, word));
  return make(
    "label",
    { class: "labelled" },
    make("span", { class: "label" }, "Move to"),
    choose,
  );
}

/** @param {string} kind */
function acts(kind) {
  const isPart = kind === "element" || kind === "grid";
  return [
    ...(isPart ? [act("below", "Add below")] : []),
    act("up", "Up"),
    act("down", "Down"),
    act("duplicate", "Duplicate"),
    ...(kind === "element"
      ? [act("into", "Into the grid above"), act("make-grid", "Make it a site grid")]
      : []),
    ...(kind === "grid" ? [act("out", "Take the last site out")] : []),
    act("remove", "Remove"),
  ];
}

/** @param {string} name @param {string} word */
function act(name, word) {
  return make("button", { type: "button", class: "plain", "data-act": name }, word);
}

customElements.define("part-details", PartDetails);
