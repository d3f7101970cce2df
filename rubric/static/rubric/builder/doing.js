/**
 * Keys and buttons of the sheet, and the acts they ask for.
 *
 * @typedef {import("./builder.js").RubricBuilder} Builder
 * @typedef {import("./history.js").Act} Act
 * @typedef {import("./tree.js").DraftNode} DraftNode
 */

import { duplicated, movedTo, removed, stepped } from "./acts.js";
import { partAdded, ruleAdded, sectionAdded } from "./adding.js";
import { indented, madeGrid, outdented } from "./grid-acts.js";
import { actOf } from "./keys.js";

export class Doing {
  #page;

  /** @param {Builder} page */
  constructor(page) {
    this.#page = page;
    const { signal } = page;
    page.addEventListener("click", (event) => this.#clicked(event), { signal });
    page.addEventListener("change", (event) => this.#moved(event), { signal });
    document.addEventListener("keydown", (event) => this.#pressed(event), { signal });
  }

  /** @param {KeyboardEvent} event */
  #pressed(event) {
    const isWithin = event.target instanceof Node && this.#page.contains(event.target);
    const isDialog = event.target instanceof Element && event.target.closest("dialog");
    if (isDialog || (!isWithin && event.target !== document.body)) return;
    const act = actOf(event);
    if (!act || (act === "undo" && this.#page.editing.hasOwnUndo(event.target))) return;
    if (act === "redo" && this.#page.editing.hasOwnUndo(event.target)) return;
    if (this.#do(act, this.#page.place.current)) event.preventDefault();
  }

  /** @param {Event} event */
  #clicked(event) {
    const { target } = event;
    const button =
      target instanceof Element ? target.closest("button[data-act]") : null;
    if (!(button instanceof HTMLButtonElement)) return;
    const { act = "", choose = "", kind = "" } = button.dataset;
    const { place, details } = this.#page;
    const row = button.closest("[data-row]");
    const section = button.closest("[data-section]");
    const rowId = row instanceof HTMLElement ? row.dataset.row : undefined;
    if (rowId) place.current = rowId;
    const sectionId =
      section instanceof HTMLElement ? (section.dataset.section ?? "") : "";
    if (act === "choose") return this.#page.asking.elements(place.current, choose);
    if (act === "more") {
      place.refresh();
      return place.toDetails();
    }
    if (act === "add-rule")
      return this.#added(
        ruleAdded(this.#page.draft.tree, kind, this.#page.draft.last("rules")),
      );
    if (act === "add-section")
      return this.#added(
        sectionAdded(this.#page.draft.tree, this.#page.draft.last("sections")),
      );
    if (act === "add-paste")
      return this.#page.asking.lines(sectionId, this.#page.draft.last(sectionId), "");
    if (act.startsWith("add-")) {
      const kind = act === "add-grid" ? "grid" : "element";
      return this.#added(
        partAdded(
          this.#page.draft.tree,
          this.#page.draft.last(sectionId) ?? sectionId,
          kind,
        ),
      );
    }
    this.#do(
      act,
      details.contains(button) ? (details.dataset.for ?? "") : place.current,
    );
  }

  /** @param {string} act @param {string} id the node it is about */
  #do(act, id) {
    const { draft, place, help } = this.#page;
    const node = draft.node(id);
    switch (act) {
      case "help":
        help.open();
        return true;
      case "undo":
      case "redo":
        this.#page.turn(act);
        return true;
      case "details":
        if (node) place.toDetails();
        return node !== null;
      case "back":
        if (node) place.back();
        return node !== null;
      case "previous":
      case "next":
        return this.#step(id, act === "next" ? 1 : -1);
    }
    return node !== null && this.#change(act, node);
  }

  /** @param {string} act @param {DraftNode} node */
  #change(act, { id, kind }) {
    const { tree } = this.#page.draft;
    switch (act) {
      case "below":
        if (kind === "rule")
          return this.#added(
            ruleAdded(tree, String(tree.nodes.get(id)?.fields.kind), id),
          );
        return this.#added(partAdded(tree, id, "element"), true);
      case "section":
        return this.#added(sectionAdded(tree, this.#sectionOf(id)));
      case "up":
      case "down":
        return this.done(
          stepped(tree, id, act === "up" ? -1 : 1),
          `It is ${act === "up" ? "first" : "last"} already.`,
        );
      case "duplicate":
        return this.done(duplicated(tree, id), "");
      case "remove":
        return this.done(
          kind === "sheet" ? null : removed(tree, id),
          "",
          "Undo brings it back.",
        );
      case "into":
        return this.done(
          indented(tree, id),
          "There is no site grid above to put it into.",
        );
      case "make-grid":
        return this.done(madeGrid(tree, id), "");
      case "out":
        return this.done(
          outdented(tree, id),
          "Only a site of a grid can be taken out.",
        );
    }
    return false;
  }

  /** @param {Act | null} act @param {string} why where there is nothing to do @param {string} [after] */
  done(act, why, after = "") {
    if (!this.#page.act(act)) {
      if (why) this.#page.say(why);
      return true;
    }
    const label = act?.label ?? "";
    this.#page.say(`${label[0].toUpperCase()}${label.slice(1)}. ${after}`.trim());
    this.#page.place.goTo(act?.focus ?? "");
    return true;
  }

  /** A new part, ready to be typed in. @param {Act | null} act @param {boolean} [isQuiet] */
  #added(act, isQuiet = false) {
    if (!act) return isQuiet;
    this.#page.act(act);
    this.#page.editing.follow(act.focus);
    this.#page.place.goTo(act.focus);
    return true;
  }

  /** To the row above or below, whatever it is. @param {string} id @param {-1 | 1} by */
  #step(id, by) {
    const rows = [...this.#page.querySelectorAll("[data-row]")];
    const at = rows.findIndex(
      (row) => row instanceof HTMLElement && row.dataset.row === id,
    );
    const next = rows[at + by];
    if (at >= 0 && next instanceof HTMLElement)
      this.#page.place.goTo(next.dataset.row ?? "");
    return at >= 0;
  }

  /** @param {string} id */
  #sectionOf(id) {
    const { draft } = this.#page;
    if (draft.node(id)?.kind === "section") return id;
    const list = draft.listOf(id);
    return list && draft.node(list) ? list : this.#page.draft.last("sections");
  }

  /** @param {Event} event */
  #moved(event) {
    const { target } = event;
    if (!(target instanceof HTMLSelectElement) || target.dataset.act !== "move-to")
      return;
    const { for: id = "" } = target.dataset;
    this.done(movedTo(this.#page.draft.tree, id, target.value), "");
  }
}
