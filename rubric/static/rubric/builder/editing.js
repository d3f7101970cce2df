/**
 * What is typed and chosen in fields, as changes of the draft; typing on in a field is one
 * step of undo, and a new part's key follows its words until it is left.
 *
 * @typedef {import("./builder.js").RubricBuilder} Builder
 * @typedef {import("./tree.js").DraftNode} DraftNode
 * @typedef {import("./tree.js").Values} Values
 */

import { named } from "./acts.js";
import { edited, settle, show } from "./controls.js";
import { newKey } from "./new-keys.js";
import { RULE_KEYS } from "./rule-row.js";
import { NAMES, same } from "./values.js";

export class Editing {
  #page;
  /** Nodes made here whose keys still follow their words, with the last such key. */
  #followed = new Map();
  /** The text of the field in focus when it got it. */
  #atFocus = "";

  /** @param {Builder} page */
  constructor(page) {
    this.#page = page;
    const { signal } = page;
    page.addEventListener("input", (event) => this.#typed(event), { signal });
    page.addEventListener("change", (event) => this.#chosen(event), { signal });
    page.addEventListener("edit", (event) => this.#edited(event), { signal });
    page.addEventListener("focusin", (event) => this.#entered(event), { signal });
    page.addEventListener("focusout", (event) => this.#left(event), { signal });
  }

  /** Lets a new part's key follow what is typed. @param {string} id */
  follow(id) {
    this.#followed.set(id, this.#page.draft.node(id)?.fields.key);
  }

  /** Whether the field's own undo has something to take back. @param {EventTarget | null} field */
  hasOwnUndo(field) {
    const isText =
      field instanceof HTMLTextAreaElement || field instanceof HTMLInputElement;
    return isText && field.value !== this.#atFocus;
  }

  /** @param {Event} event */
  #typed(event) {
    const field = event.target;
    if (!(field instanceof HTMLElement) || !field.dataset.path) return;
    settle(field);
    if (field instanceof HTMLSelectElement) return;
    if (field instanceof HTMLInputElement && field.type === "checkbox") return;
    field.dataset.typed = "true";
    if (field.dataset.as === "key") return;
    this.#take(field, "typing");
  }

  /** @param {Event} event */
  #chosen(event) {
    const field = event.target;
    if (!(field instanceof HTMLElement) || !field.dataset.path) return;
    const isTick = field instanceof HTMLInputElement && field.type === "checkbox";
    if (field.dataset.as === "key" || field instanceof HTMLSelectElement || isTick)
      this.#take(field, "");
  }

  /** @param {HTMLElement} field @param {string} merge */
  #take(field, merge) {
    const { node: id = "", path = "" } = field.dataset;
    const node = this.#page.draft.node(id);
    if (!node) return;
    const fields = edited(field, node);
    if (path === "kind") Object.assign(fields, this.#otherKind(node, fields.kind));
    this.#set(node, fields, merge && `${id} ${path}`);
  }

  /** @param {Event} event from a control of more than one field */
  #edited(event) {
    const { detail, target } = /** @type {CustomEvent} */ (event);
    if (!(target instanceof HTMLElement)) return;
    const node = this.#page.draft.node(target.dataset.node ?? "");
    if (!node) return;
    const { fields, merge } = detail;
    if ("global_rating" in fields) withBorderline(fields, node.fields.global_rating);
    this.#set(node, fields, merge && `${node.id} ${merge}`);
  }

  /** @param {DraftNode} node @param {Values} fields @param {string} merge */
  #set(node, fields, merge) {
    const names = Object.keys(fields);
    if (names.every((name) => same(node.fields[name] ?? null, fields[name]))) return;
    const words = names.map((name) => NAMES[name] ?? name).join(", ");
    const label = `${words} of ${node.kind === "sheet" ? "the rubric" : named(node)}`;
    if (this.#followed.has(node.id)) Object.assign(fields, this.#ownKey(node, fields));
    this.#page.act(
      { label, focus: node.id, wishes: [{ act: "set", node: node.id, fields }] },
      merge,
    );
    this.#page.place.mark();
  }

  /** The key that follows the words of a new part. @param {DraftNode} node @param {Values} fields */
  #ownKey(node, fields) {
    const words = fields.text ?? fields.title;
    if (words === undefined) return {};
    if (node.fields.key !== this.#followed.get(node.id)) return {};
    const { tree } = this.#page.draft;
    const key = newKey(tree, node, String(words));
    this.#followed.set(node.id, key);
    return { key };
  }

  /** What a rule of another kind has no place for, and what it needs. @param {DraftNode} node @param {string} kind */
  #otherKind({ fields }, kind) {
    const keys = RULE_KEYS[kind] ?? [];
    const old = Object.values(RULE_KEYS)
      .flat()
      .filter((key) => key in fields && !keys.includes(key));
    const named = fields.of ?? fields.first ?? [];
    /** @type {Values} */
    const needed = { count: "1", of: named, first: named, minutes: "20" };
    const lacking = keys.filter((key) => key in needed && !(key in fields));
    return Object.fromEntries([
      ...old.map((key) => [key, null]),
      ...lacking.map((key) => [key, needed[key]]),
    ]);
  }

  /** @param {FocusEvent} event */
  #entered({ target }) {
    const isText =
      target instanceof HTMLTextAreaElement || target instanceof HTMLInputElement;
    this.#atFocus = isText ? target.value : "";
  }

  /** @param {FocusEvent} event */
  #left({ target }) {
    this.#page.history.close();
    if (!(target instanceof HTMLElement)) return;
    delete target.dataset.typed;
    const row = target.closest("[data-row]");
    if (!(row instanceof HTMLElement)) return;
    const id = row.dataset.row ?? "";
    const node = this.#page.draft.node(id);
    if (node && (node.fields.text || node.fields.title)) this.#followed.delete(id);
    // What others wrote or the server refused while this was typed in shows only now.
    if (node?.kind === "sheet")
      setTimeout(() => this.#page.head.show(this.#page.sheet));
    else if (node) setTimeout(() => show(row, this.#page.draft.node(id) ?? node));
    setTimeout(() => this.#page.place.mark());
  }
}

/**
 * The borderline stays with its word when words come, go or change places.
 * @param {Values} fields
 * @param {any} old the rating as it was
 */
function withBorderline(fields, old) {
  const words = fields.global_rating?.words;
  if (!words?.length) {
    fields.global_rating = null;
    return;
  }
  const at = words.indexOf(old?.words?.[Number(old?.borderline) - 1]);
  const same = Math.min(Number(old?.borderline) || 1, words.length);
  fields.global_rating.borderline = String(at < 0 ? same : at + 1);
}
