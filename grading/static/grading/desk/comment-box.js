/**
 * The comment in work: about the element just marked or the one in focus, at the moment
 * when it was opened. Digits put in a phrase while it is empty; Enter keeps it.
 *
 *   <comment-box><form><p class="about">…<select data-about></select></p>
 *     <textarea id="comment"></textarea> <ol class="phrases"></ol> …</form></comment-box>
 */

import { find, kbd, make, redraw } from "./markup.js";
import { asClock } from "./moments.js";
import { hasNextStep, offered } from "./phrases.js";

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
  #text = find(this, "textarea", HTMLTextAreaElement);
  #about = find(this, "[data-about]", HTMLSelectElement);

  /** @param {Desk} desk */
  begin(desk) {
    this.#desk = desk;
    const { signal } = desk;
    this.hidden = false;
    desk.sheet.addEventListener("move", () => this.#draw(), { signal });
    desk.clock.addEventListener("time", () => this.#drawMoment(), { signal });
    this.#about.addEventListener("change", () => this.#drawPhrases(), { signal });
    this.#text.addEventListener("focus", () => this.#start(), { signal });
    this.#text.addEventListener("keydown", (event) => this.#pressed(event), { signal });
    this.addEventListener("input", () => this.#typed(), { signal });
    this.addEventListener("click", (event) => this.#clicked(event), { signal });
    find(this, "form", HTMLFormElement).addEventListener(
      "submit",
      (event) => {
        event.preventDefault();
        this.#keep();
      },
      { signal },
    );
    this.#draw();
    this.#recall();
  }

  open() {
    if (!this.#open) this.#draw();
    this.#text.focus();
  }

  /** Takes a comment that stands back into the box. @param {string} id */
  edit(id) {
    const value = this.#desk?.store.value(`comment:${id}`);
    if (!value) return;
    this.#open = { id, at: value.at };
    this.#text.value = value.text;
    this.#kind = value.kind;
    this.#draw(value.element ?? "");
    this.#text.focus();
  }

  /** Begins a comment here and now, unless one is being written. */
  #start() {
    this.classList.add("is-open");
    this.#open ??= { id: crypto.randomUUID(), at: this.#desk?.stamp().at ?? null };
    this.#drawMoment();
    this.#drawPhrases();
  }

  /** Lets the comment go, and goes back to the sheet. */
  #drop() {
    this.#text.value = "";
    this.#typed();
    this.#open = this.#used = null;
    this.#kind = "improve";
    find(this, '[name="keep"]', HTMLInputElement).checked = false;
    this.#desk?.sheet.refocus();
    this.#draw();
  }

  #keep() {
    const desk = this.#desk;
    const text = this.#text.value.trim();
    if (!desk || !text) return this.#drop();
    this.#start();
    const { id, at } = /** @type {{id: string, at: number | null}} */ (this.#open);
    const element = this.#about.value || null;
    const value = { element, at, kind: this.#kind, text };
    const phrase = this.#phrase(text, element);
    desk.act("comment", [
      { target: `comment:${id}`, value, ...(phrase && { phrase }) },
    ]);
    desk.say("Comment kept.");
    this.#drop();
  }

  /** @param {string} text @param {string | null} element @returns {PhraseUse | null} */
  #phrase(text, element) {
    if (!find(this, '[name="keep"]', HTMLInputElement).checked) return this.#used;
    const phrase = {
      element: element ?? "",
      state: element ? this.#state() : "",
      kind: this.#kind,
      text: text.slice(0, LONGEST_PHRASE),
    };
    this.#desk?.data.phrases.unshift(phrase);
    return phrase;
  }

  get #kind() {
    return find(this, '[name="kind"]:checked', HTMLInputElement).value;
  }

  set #kind(kind) {
    find(this, `[name="kind"][value="${kind}"]`, HTMLInputElement).checked = true;
  }

  #state() {
    return this.#desk?.store.value(`element:${this.#about.value}`)?.state ?? "";
  }

  /** @param {KeyboardEvent} event */
  #pressed(event) {
    const digit =
      /^[1-9]$/.test(event.key) && !this.#text.value ? Number(event.key) : 0;
    const phrase = digit ? this.#offered()[digit - 1] : null;
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
    this.#text.value = phrase.text;
    this.#kind = phrase.kind;
    this.#text.focus();
    this.#typed();
  }

  #offered() {
    const element = this.#about.value || null;
    return offered(this.#desk?.data.phrases ?? [], element, this.#state());
  }

  #typed() {
    const text = this.#text.value;
    const isOpenEnded =
      this.#kind === "improve" && text.length > 12 && !hasNextStep(text);
    find(this, "[data-hint]", HTMLElement).hidden = !isOpenEnded;
    find(this, '[data-act="drop"]', HTMLElement).hidden = !text;
    this.#drawPhrases();
    if (!this.#open) return;
    const draft = { ...this.#open, element: this.#about.value, kind: this.#kind, text };
    this.#desk?.outbox.keep("comment", text ? draft : null);
  }

  /** The comment that was being written when the page was left. */
  async #recall() {
    const draft = await this.#desk?.outbox.kept("comment");
    if (!draft || this.#open) return;
    this.#open = { id: draft.id, at: draft.at };
    this.#text.value = draft.text;
    this.#kind = draft.kind;
    this.#draw(draft.element);
    this.#typed();
  }

  /** @param {Event} event */
  #clicked(event) {
    const button =
      event.target instanceof Element ? event.target.closest("button") : null;
    if (button?.dataset.act === "drop") this.#drop();
    const index = button?.dataset.phrase;
    if (index) this.#use(this.#offered()[Number(index)]);
  }

  /** @param {string} [chosen] the key of what an open comment is about */
  #draw(chosen) {
    const desk = this.#desk;
    this.classList.toggle("is-open", Boolean(this.#open));
    if (!desk || (this.#open && chosen === undefined)) return;
    const { justMarked, target } = desk.sheet;
    const keys = [justMarked, target]
      .filter((name) => name.startsWith("element:"))
      .map((name) => name.slice("element:".length));
    if (chosen) keys.unshift(chosen);
    const options = [...new Set(keys)].map((key) => {
      const row = desk.sheet.rowOf(`element:${key}`);
      return make("option", { value: key }, row?.dataset.name ?? key);
    });
    redraw(
      this.#about,
      ...options,
      make("option", { value: "" }, "the whole recording"),
    );
    if (chosen === "") this.#about.value = "";
    this.#drawMoment();
    this.#drawPhrases();
  }

  #drawMoment() {
    const at = this.#open ? this.#open.at : (this.#desk?.stamp().at ?? null);
    const words = at === null ? "without a moment" : `at ${asClock(at)}`;
    find(this, "[data-at]", HTMLElement).textContent = words;
  }

  #drawPhrases() {
    const isEmpty = !this.#text.value && Boolean(this.#open);
    const phrases = isEmpty ? this.#offered() : [];
    redraw(
      find(this, ".phrases", HTMLElement),
      ...phrases.map((phrase, i) =>
        make(
          "li",
          {},
          make(
            "button",
            { type: "button", class: "plain", "data-phrase": `${i}` },
            kbd(`${i + 1}`),
            ` ${phrase.text}`,
          ),
        ),
      ),
    );
  }
}

customElements.define("comment-box", CommentBox);
