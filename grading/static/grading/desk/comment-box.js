/**
 * The comment in work: about the element just marked or the one in focus, at the moment
 * when it was begun. Digits put in a phrase while it is empty; Enter keeps it.
 *
 *   <comment-box><form><p class="about">…<select data-about></select></p>
 *     <textarea id="comment"></textarea> <ol class="phrases"></ol> …</form></comment-box>
 */

import { CommentForm } from "./comment-form.js";
import { find } from "./markup.js";
import { PhraseList } from "./phrases.js";

/** @typedef {import("./desk.js").MarkingDesk} Desk */
/** @typedef {import("./store.js").PhraseUse} PhraseUse */

const LONGEST_PHRASE = 500;

export class CommentBox extends HTMLElement {
  /** @type {Desk | null} */
  #desk = null;
  /** The comment that is being written, else null. @type {{id: string, at: number | null} | null} */
  #open = null;
  /** @type {PhraseUse | null} the phrase that was put in */
  #used = null;
  #form = new CommentForm(this);
  #phrases = new PhraseList(find(this, ".phrases", HTMLElement));

  /** @param {Desk} desk */
  begin(desk) {
    this.#desk = desk;
    const { signal } = desk;
    const { area } = this.#form;
    this.hidden = false;
    this.#phrases.all = desk.data.phrases;
    desk.sheet.addEventListener("move", () => this.#draw(), { signal });
    desk.clock.addEventListener("time", () => this.#drawMoment(), { signal });
    area.addEventListener("focus", () => this.#start(), { signal });
    area.addEventListener("keydown", (event) => this.#pressed(event), { signal });
    this.addEventListener("input", () => this.#typed(), { signal });
    this.addEventListener("click", (event) => this.#clicked(event), { signal });
    this.addEventListener("focusout", (event) => this.#left(event), { signal });
    this.addEventListener("submit", (event) => event.preventDefault(), { signal });
    this.addEventListener("submit", () => this.#keep(), { signal });
    this.#draw();
    this.#recall(desk);
  }

  open() {
    this.#draw();
    this.#form.area.focus();
  }

  /** Takes a comment that stands back into the box. @param {string} id */
  edit(id) {
    const value = this.#desk?.store.value(`comment:${id}`);
    if (!value) return;
    if (this.#form.text) this.#desk?.say("First keep or drop the comment in work.");
    else this.#take({ id, ...value });
    this.#form.area.focus();
  }

  /** @param {Record<string, any>} comment with its id */
  #take({ id, at, text, kind, element }) {
    this.#open = { id, at };
    this.#form.kind = kind;
    this.#form.text = text;
    this.#draw(element ?? "");
  }

  /** Begins a comment here and now, unless one is being written. */
  #start() {
    this.#open ??= { id: crypto.randomUUID(), at: this.#desk?.stamp().at ?? null };
    this.classList.add("is-open");
    this.#drawMoment();
    this.#offer();
  }

  /** Nothing is being written any more. */
  #end() {
    this.#form.clear();
    this.#open = this.#used = null;
    this.#desk?.outbox.keep("comment", null);
    this.#draw();
  }

  #keep() {
    const desk = this.#desk;
    const { text, kind, element } = this.#form;
    if (desk && text) {
      this.#start();
      const { id, at } = /** @type {{id: string, at: number | null}} */ (this.#open);
      const value = { element: element || null, at, kind, text };
      const phrase = this.#phrase();
      desk.act("comment", [
        { target: `comment:${id}`, value, ...(phrase && { phrase }) },
      ]);
      desk.say("Comment kept.");
    }
    this.#end();
    desk?.sheet.refocus();
  }

  /** What the comment is kept as, or was made with. @returns {PhraseUse | null} */
  #phrase() {
    const { text, kind, element, isPhrase } = this.#form;
    if (isPhrase && text.length <= LONGEST_PHRASE) {
      const phrase = { element, state: element && this.#state(), kind, text };
      this.#phrases.all.unshift(phrase);
      return phrase;
    }
    if (isPhrase)
      this.#desk?.say(`Too long for a phrase: at most ${LONGEST_PHRASE} signs.`);
    const isElsewhere = this.#used?.element && this.#used.element !== element;
    return isElsewhere ? null : this.#used;
  }

  #state() {
    return this.#desk?.store.value(`element:${this.#form.element}`)?.state ?? "";
  }

  #offer() {
    const isEmpty = this.#open && !this.#form.area.value;
    if (isEmpty) this.#phrases.offer(this.#form.element || null, this.#state());
    else this.#phrases.hide();
  }

  /** @param {KeyboardEvent} event */
  #pressed(event) {
    const isEmpty = !this.#form.area.value;
    const phrase = isEmpty ? this.#phrases.by(event.key) : undefined;
    if (phrase) this.#use(phrase);
    else if (event.key === "Enter" && !event.shiftKey && !event.isComposing)
      this.#keep();
    else if (event.key === "Escape") this.#desk?.sheet.refocus();
    else return;
    event.preventDefault();
  }

  /** @param {PhraseUse} phrase */
  #use(phrase) {
    this.#used = phrase;
    this.#form.kind = phrase.kind;
    this.#form.text = phrase.text;
    this.#form.area.focus();
    this.#typed();
  }

  #typed() {
    const { text, kind, element } = this.#form;
    this.#form.hint();
    this.#offer();
    const draft = { ...this.#open, element, kind, text };
    if (this.#open) this.#desk?.outbox.keep("comment", text ? draft : null);
  }

  /** The comment that was being written when the page was left. @param {Desk} desk */
  async #recall(desk) {
    const draft = await desk.outbox.kept("comment");
    if (draft && !this.#open) this.#take(draft);
  }

  /** An empty comment that is left was none. @param {FocusEvent} event */
  #left({ relatedTarget }) {
    if (relatedTarget instanceof Node && this.contains(relatedTarget)) return;
    if (this.#open && !this.#form.text) this.#end();
  }

  /** @param {Event} event */
  #clicked(event) {
    const button =
      event.target instanceof Element ? event.target.closest("button") : null;
    const phrase = this.#phrases.by(button?.dataset.phrase ?? "");
    if (phrase) this.#use(phrase);
    if (button?.dataset.act !== "drop") return;
    this.#end();
    this.#desk?.sheet.refocus();
  }

  /** @param {string} [chosen] what an open comment is about */
  #draw(chosen) {
    const desk = this.#desk;
    this.classList.toggle("is-open", Boolean(this.#open));
    if (!desk || (this.#open && chosen === undefined)) return;
    const { justMarked, target } = desk.sheet;
    /** @type {Map<string, string>} */
    const names = new Map();
    for (const name of [`element:${chosen ?? ""}`, justMarked, target]) {
      const row = desk.sheet.rowOf(name);
      if (row && name !== "rating") names.set(name.slice(8), row.dataset.name ?? "");
    }
    this.#form.offer(names, chosen);
    this.#drawMoment();
    this.#offer();
  }

  #drawMoment() {
    this.#form.showMoment((this.#open ?? this.#desk?.stamp())?.at ?? null);
  }
}

customElements.define("comment-box", CommentBox);
