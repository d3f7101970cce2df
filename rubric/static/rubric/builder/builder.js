/**
 * The rubric builder: makes the parts that have no place on the page (draft, history,
 * line, sender) and joins them to those that have one.
 *
 *   <rubric-builder data-person="3" data-rubric="7" data-csrf="…" data-changes="…" …>
 */

import "./chip-list.js";
import "./effect-choice.js";
import "./level-list.js";
import "./points-choice.js";
import { find } from "../../accounts/markup.js";
import { Asking } from "./asking.js";
import { ClashList } from "./clash-list.js";
import { Doing } from "./doing.js";
import { Draft } from "./draft.js";
import { Editing } from "./editing.js";
import { ElementChoice } from "./element-choice.js";
import { History } from "./history.js";
import { KeysHelp } from "./keys-help.js";
import { exact, Line } from "./line.js";
import { PartDetails } from "./part-details.js";
import { PasteBox } from "./paste-box.js";
import { Place } from "./place.js";
import { SavingLine } from "./saving-line.js";
import { Sender } from "./sender.js";
import { SheetHead } from "./sheet-head.js";
import { SheetView } from "./sheet-view.js";
import { SidePanel } from "./side-panel.js";

/** @typedef {import("./history.js").Act} Act */
/** @typedef {import("./history.js").Wish} Wish */
/** @typedef {import("./tree.js").DraftNode} DraftNode */

export class RubricBuilder extends HTMLElement {
  #ends = new AbortController();
  signal = this.#ends.signal;
  draft = new Draft(exact(document.getElementById("draft")?.textContent ?? ""));
  history = new History();
  line = new Line(this.dataset);
  sender = new Sender({
    draft: this.draft,
    line: this.line,
    person: Number(this.dataset.person),
    rubric: this.dataset.rubric ?? "",
    signal: this.signal,
  });
  head = find(this, "sheet-head", SheetHead);
  details = find(this, "part-details", PartDetails);
  panel = find(this, "side-panel", SidePanel);
  clashes = find(this, "clash-list", ClashList);
  choice = find(this, "element-choice", ElementChoice);
  paste = find(this, "paste-box", PasteBox);
  help = find(this, "keys-help", KeysHelp);
  view = new SheetView(
    this.draft,
    find(this, "[data-sections]", HTMLElement),
    find(this, "[data-rules]", HTMLElement),
  );
  place = new Place(this);
  doing = new Doing(this);
  editing = new Editing(this);
  asking = new Asking(this);

  connectedCallback() {
    if (location.hash === "#signed-in" && window.opener) return window.close();
    const { draft, sender, line, signal } = this;
    draft.addEventListener("change", (event) => this.#changed(event), { signal });
    for (const name of ["standing", "clashes"])
      sender.addEventListener(name, () => this.#showSaving(), { signal });
    sender.addEventListener("aside", (event) => this.#aside(event), { signal });
    sender.addEventListener("others", (event) => this.#others(event), { signal });
    line.addEventListener("standing", () => this.#showSaving(), { signal });
    this.head.show(this.sheet);
    this.place.mark();
    this.#showSaving();
    this.#showHistory();
    sender.begin();
    navigator.storage?.persist?.();
    this.toggleAttribute("data-ready", true);
  }

  disconnectedCallback() {
    this.#ends.abort();
  }

  /** The node of what holds for the whole rubric. */
  get sheet() {
    return /** @type {DraftNode} */ (this.draft.node("sheet"));
  }

  /**
   * One act of the person: kept for undo, shown at once, on its way to the server.
   * @param {Act | null} act
   * @param {string} [merge] the same for what is one step of undo
   */
  act(act, merge = "") {
    if (!act?.wishes.length) return false;
    this.history.add(this.draft.tree, act, merge);
    this.draft.put(act.wishes);
    this.#showHistory();
    return true;
  }

  /** @param {"undo" | "redo"} way */
  turn(way) {
    this.history.close();
    const turned = this.history[way](this.draft.tree);
    if (!turned) return this.say(`Nothing to ${way}.`);
    this.draft.put(turned.wishes);
    this.#showHistory();
    const left = turned.kept.length
      ? ` Changed by others since, left alone: ${turned.kept.join(", ")}.`
      : "";
    this.say(`${way === "undo" ? "Undone" : "Done again"}: ${turned.label}.${left}`);
    this.place.goTo(turned.focus);
  }

  /** In the one polite place for news. @param {string} text */
  say(text) {
    find(this, "[data-say]", HTMLElement).textContent = text;
  }

  /** @param {Event} event */
  #changed(event) {
    const { nodes, isReordered } = /** @type {CustomEvent} */ (event).detail;
    this.view.show(nodes, isReordered);
    if (nodes.has("sheet")) this.head.show(this.sheet);
    const title = String(this.sheet.fields.title ?? "").trim() || "Untitled rubric";
    const heading = find(this, "h1", HTMLElement);
    if (heading.textContent !== title) {
      heading.textContent = title;
      document.title = `${title} · Bellside`;
    }
    this.place.refresh();
  }

  /** @param {Event} event */
  #aside(event) {
    this.panel.show(/** @type {CustomEvent<string>} */ (event).detail);
    this.place.mark();
  }

  /** @param {Event} event */
  #others(event) {
    const nodes = /** @type {CustomEvent<DraftNode[]>} */ (event).detail;
    this.say(this.asking.news(nodes));
  }

  #showSaving() {
    find(this, "saving-line", SavingLine).show(this.sender, this.line);
    this.clashes.show(this.sender.clashes);
  }

  #showHistory() {
    find(this, "[data-act=undo]", HTMLButtonElement).disabled = !this.history.canUndo;
    find(this, "[data-act=redo]", HTMLButtonElement).disabled = !this.history.canRedo;
  }
}

customElements.define("rubric-builder", RubricBuilder);
