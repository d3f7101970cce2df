/**
 * The sheet: sections with their parts, then the rules, kept in the draft's order. Rows
 * are moved, never made anew, and the focus stays where it is.
 *
 * @typedef {import("./tree.js").DraftNode} DraftNode
 * @typedef {import("./tree.js").Tree} Tree
 * @typedef {import("./draft.js").Draft} Draft
 */

import { find, findAll, make } from "../../accounts/markup.js";
import { control, show } from "./controls.js";
import { counted, faults, more, partRow, showPart } from "./rows.js";
import { ruleRow, showRule } from "./rule-row.js";
import { elementsOf } from "./selectors.js";

export class SheetView {
  #draft;
  #sections;
  #rules;
  /** @type {Map<string, HTMLElement>} rows and sections by node */
  #items = new Map();
  #cells;

  /** @param {Draft} draft @param {HTMLElement} sections @param {HTMLElement} rules */
  constructor(draft, sections, rules) {
    this.#draft = draft;
    this.#sections = sections;
    this.#rules = rules;
    this.#cells = elementsOf(draft.tree);
    this.#arrange();
  }

  /** The elements of the draft, grids expanded. */
  get cells() {
    return this.#cells;
  }

  /** @param {string} id */
  item(id) {
    return this.#items.get(id) ?? null;
  }

  /** @param {Set<string>} ids @param {boolean} isReordered */
  show(ids, isReordered) {
    this.#cells = elementsOf(this.#draft.tree);
    if (isReordered) this.#arrange();
    for (const id of ids) this.#show(id);
    for (const { id } of this.#draft.in("rules")) this.#show(id);
    for (const section of this.#draft.in("sections")) this.#sum(section);
  }

  /** @param {string} id */
  #show(id) {
    const node = this.#draft.node(id);
    const item = this.#items.get(id);
    if (!node || !item) return;
    if (node.kind === "section") showSection(item, node);
    else if (node.kind === "rule") showRule(item, node, this.#cells);
    else showPart(item, node);
  }

  #arrange() {
    const held = document.activeElement;
    this.#place(this.#sections, this.#draft.in("sections"));
    for (const section of this.#draft.in("sections")) {
      const item = /** @type {HTMLElement} */ (this.#items.get(section.id));
      this.#place(find(item, "[data-parts]", HTMLElement), this.#draft.in(section.id));
      this.#sum(section);
    }
    this.#place(this.#rules, this.#draft.in("rules"));
    for (const [id, item] of this.#items)
      if (!this.#draft.node(id)) {
        item.remove();
        this.#items.delete(id);
      }
    if (held !== document.activeElement && held?.isConnected)
      if (held instanceof HTMLElement) held.focus();
  }

  /** @param {HTMLElement} list @param {DraftNode[]} nodes */
  #place(list, nodes) {
    const wanted = nodes.map((node) => this.#items.get(node.id) ?? this.#make(node));
    let at = list.firstElementChild;
    for (const item of wanted) {
      if (item === at) at = at.nextElementSibling;
      else list.insertBefore(item, at);
    }
  }

  /** @param {DraftNode} node */
  #make(node) {
    const item =
      node.kind === "section"
        ? sectionBlock(node)
        : node.kind === "rule"
          ? ruleRow(node, this.#cells)
          : partRow(node);
    this.#items.set(node.id, item);
    return item;
  }

  /** @param {DraftNode} section */
  #sum({ id, fields }) {
    const item = this.#items.get(id);
    if (!item) return;
    const { elements, points } = counted(this.#draft.in(id));
    const count = elements === 1 ? "1 element" : `${elements} elements`;
    const least = fields.minimum_percent;
    const minimum = least === undefined ? "" : ` · minimum ${least}%`;
    write(item, "[data-held]", `${count}${minimum}`);
    write(item, "[data-points]", points === "1" ? "1 point" : `${points} points`);
  }
}

/** @param {DraftNode} node */
function sectionBlock(node) {
  const id = node.id;
  const title = { node: id, path: "title", as: /** @type {const} */ ("line") };
  const item = make(
    "section",
    { class: "section", "aria-labelledby": `h-${id}` },
    make("h2", { id: `h-${id}`, class: "unseen-by-eye", "data-heading": "" }),
    make(
      "header",
      { "data-row": id },
      control({ ...title, label: "Title of the section", hint: "Section" }),
      make("span", { class: "soft small", "data-held": "" }),
      make("span", { class: "soft small points", "data-points": "" }),
      more("section"),
      faults(),
    ),
    make("ol", { class: "parts", "data-parts": "", role: "list" }),
    make(
      "p",
      { class: "adds" },
      add("element", "element"),
      add("grid", "site grid"),
      add("paste", "paste a list"),
    ),
  );
  item.dataset.section = id;
  showSection(item, node);
  return item;
}

/** @param {string} what @param {string} word */
function add(what, word) {
  return make(
    "button",
    { type: "button", class: "plain", "data-act": `add-${what}` },
    `+ ${word}`,
  );
}

/** @param {HTMLElement} item @param {DraftNode} node */
function showSection(item, node) {
  const head = findAll(item, "[data-row]", HTMLElement)[0];
  show(head, node);
  write(
    item,
    "[data-heading]",
    String(node.fields.title ?? "") || "Section without a title",
  );
}

/** @param {HTMLElement} item @param {string} place @param {string} text */
function write(item, place, text) {
  const found = find(item, place, HTMLElement);
  if (found.textContent !== text) found.textContent = text;
}
