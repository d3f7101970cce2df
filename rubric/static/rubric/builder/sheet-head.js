/**
 * What holds for the whole rubric: its title, limits, credits and the words of the
 * global rating.
 *
 *   <sheet-head></sheet-head>
 */

import { make } from "../../accounts/markup.js";
import { control, labelled, show } from "./controls.js";
import { faults } from "./rows.js";

/** @typedef {import("./tree.js").DraftNode} DraftNode */
/** @typedef {Omit<import("./controls.js").Described, "node">} Part */

const FIELDS = /** @type {Part[]} */ ([
  { path: "pass_percent", as: "number", label: "Pass mark in %" },
  {
    path: "unseen_limit_percent",
    as: "number",
    label: "Not seen, at most %",
    hint: "10",
  },
  {
    ...{ path: "unseen", as: "choice", label: "What is not seen" },
    options: [
      ["", "is left out"],
      ["range", "must not decide (range)"],
    ],
  },
  {
    path: "credit.partly",
    as: "number",
    label: "Credit for partly",
    high: 1,
    hint: "0.5",
  },
  {
    path: "credit.said",
    as: "number",
    label: "Credit for said only",
    high: 1,
    hint: "0",
  },
  { path: "language", as: "word", label: "Language", hint: "en" },
]);

export class SheetHead extends HTMLElement {
  #borderline = make("select", { "data-as": "choice" });
  #isMade = false;

  /** @param {DraftNode} node */
  show(node) {
    if (!this.#isMade) this.#make(node.id);
    this.#isMade = true;
    const rating = node.fields.global_rating;
    const words = Array.isArray(rating?.words) ? rating.words.map(String) : [];
    const shown = JSON.stringify(words);
    if (this.#borderline.dataset.words !== shown) {
      this.#borderline.dataset.words = shown;
      this.#borderline.replaceChildren(
        ...words.map((/** @type {string} */ word, /** @type {number} */ n) =>
          make("option", { value: String(n + 1) }, word),
        ),
      );
    }
    const label = /** @type {HTMLElement} */ (this.#borderline.closest("label"));
    label.hidden = !words.length;
    const shownNode = node.fields.unseen === "exclude" ? withoutUnseen(node) : node;
    show(this, shownNode);
  }

  /** @param {string} id */
  #make(id) {
    const title = { node: id, path: "title", as: /** @type {const} */ ("line") };
    Object.assign(this.#borderline.dataset, {
      node: id,
      path: "global_rating.borderline",
    });
    const chips = {
      "data-node": id,
      "data-path": "global_rating.words",
      "data-word": "word",
    };
    const label = (/** @type {string} */ word) =>
      make("span", { class: "label" }, word);
    this.replaceChildren(
      make(
        "div",
        { class: "labelled title" },
        label("Title"),
        control({ ...title, label: "Title of the rubric", hint: "what is examined" }),
      ),
      make(
        "div",
        { class: "limits" },
        ...FIELDS.map((part) => labelled({ ...part, node: id })),
      ),
      make(
        "div",
        { class: "rating" },
        make(
          "div",
          { class: "labelled" },
          label("Global rating, 3 to 7 words, lowest first"),
          make("chip-list", chips),
        ),
        make("label", { class: "labelled" }, label("The borderline"), this.#borderline),
      ),
      faults(),
    );
    this.dataset.row = id;
  }
}

/** The policy that is meant where none is written. @param {DraftNode} node @returns {DraftNode} */
function withoutUnseen(node) {
  const { unseen: _, ...fields } = node.fields;
  return { ...node, fields };
}

customElements.define("sheet-head", SheetHead);
