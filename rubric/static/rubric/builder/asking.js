/**
 * What the page asks in a dialog or a box, and what becomes of the answer: pasted lines,
 * elements of a rule, mends, and which of two people's changes is to stand.
 *
 * @typedef {import("./builder.js").RubricBuilder} Builder
 * @typedef {import("./tree.js").DraftNode} DraftNode
 */

import { named } from "./acts.js";
import { taken } from "./adding.js";

const HEADS = new Map([
  ["of", "Elements of the rule"],
  ["first", "What comes first"],
  ["then", "What comes after"],
]);

export class Asking {
  #page;

  /** @param {Builder} page */
  constructor(page) {
    this.#page = page;
    const { signal } = page;
    page.addEventListener("paste", (event) => this.#pasted(event), { signal });
    page.clashes.choose = (clash, isMine) => this.#choose(clash, isMine);
    page.panel.goTo = (node, key) => page.place.goTo(node, key);
    page.panel.mend = (node, fields, words) => this.#mend(node, fields, words);
  }

  /** What others did, in words. @param {DraftNode[]} nodes */
  news(nodes) {
    const [first] = nodes;
    const more = nodes.length > 1 ? ` and ${nodes.length - 1} more` : "";
    const what = first.kind === "sheet" ? "what holds for the rubric" : named(first);
    return `${first.by || "Somebody else"} changed ${what}${more}.`;
  }

  /** @param {ClipboardEvent} event */
  #pasted(event) {
    const { target } = event;
    const text = event.clipboardData?.getData("text") ?? "";
    const isLine =
      target instanceof HTMLTextAreaElement && target.dataset.path === "text";
    const node = isLine ? this.#page.draft.node(target.dataset.node ?? "") : null;
    const lines = text.split("\n").filter((line) => line.trim());
    if (node?.kind !== "element" || lines.length < 2) return;
    event.preventDefault();
    this.lines(this.#page.draft.listOf(node.id) ?? "", node.id, text);
  }

  /** @param {string} section @param {string | null} after @param {string} text */
  lines(section, after, text) {
    this.#page.paste.read = (text) => this.#page.line.read(text, section);
    this.#page.paste.take = (rows) =>
      this.#page.doing.done(taken(this.#page.draft.tree, section, after, rows), "");
    this.#page.paste.open(text);
  }

  /** @param {string} id a rule @param {string} list */
  elements(id, list) {
    const { draft, view, choice } = this.#page;
    const node = draft.node(id);
    if (!node) return;
    const names = new Map();
    for (const { fields } of draft.tree.nodes.values())
      if (fields.key)
        names.set(
          String(fields.key),
          String(fields.title ?? fields.text ?? fields.key),
        );
    const head = HEADS.get(list) ?? "";
    choice.open(
      head,
      view.cells,
      (node.fields[list] ?? []).map(String),
      names,
      (selectors) => {
        const wishes = [
          {
            act: /** @type {const} */ ("set"),
            node: id,
            fields: { [list]: selectors },
          },
        ];
        this.#page.act({ label: `elements of ${named(node)}`, focus: id, wishes });
      },
    );
  }

  /** @param {string} node @param {Record<string, any>} fields @param {string} words */
  #mend(node, fields, words) {
    const wishes = [{ act: /** @type {const} */ ("set"), node, fields }];
    this.#page.act({ label: words, focus: node, wishes });
    this.#page.say(`Mended: ${words}. Undo takes it back.`);
  }

  /** @param {import("./sender.js").Clash} clash @param {boolean} isMine */
  #choose(clash, isMine) {
    const { change, before, theirs } = clash;
    this.#page.sender.chosen(clash);
    if (!isMine) return;
    const { id: _, base: _b, ...wish } = change;
    const isGone =
      change.act === "set" && !theirs && !this.#page.draft.node(change.node);
    if (!isGone || !before)
      return void this.#page.act({
        label: "took my own",
        focus: change.node,
        wishes: [wish],
      });
    const fields = { ...before.fields, ...change.fields };
    const list =
      before.kind === "rule"
        ? "rules"
        : before.kind === "section"
          ? "sections"
          : this.#sectionFor(String(before.fields.key ?? ""));
    const back = {
      act: /** @type {const} */ ("add"),
      node: change.node,
      kind: before.kind,
      in: list,
      after: this.#page.draft.last(list),
      fields,
    };
    this.#page.act({
      label: `brought ${named(before)} back`,
      focus: change.node,
      wishes: [back],
    });
  }

  /** The section that a part's key begins with, else the last. @param {string} key */
  #sectionFor(key) {
    const { draft } = this.#page;
    const head = key.split(".")[0];
    for (const { id, kind, fields } of draft.tree.nodes.values())
      if (kind === "section" && fields.key === head && draft.node(id)) return id;
    return draft.last("sections") ?? "";
  }
}
