/** The fields of the comment in work, as the comment box sees them. */

import { find, make, redraw } from "./markup.js";
import { asClock } from "./moments.js";
import { hasNextStep } from "./phrases.js";

const FIRST_KIND = "improve";
// Shorter ones are still being begun.
const SHORTEST_HINTED = 12;

export class CommentForm {
  #root;
  #about;
  area;

  /** @param {HTMLElement} root */
  constructor(root) {
    this.#root = root;
    this.#about = find(root, "[data-about]", HTMLSelectElement);
    this.area = find(root, "textarea", HTMLTextAreaElement);
  }

  get text() {
    return this.area.value.trim();
  }

  set text(text) {
    this.area.value = text;
    this.hint();
  }

  /** The key of the element it is about; empty for the whole recording. */
  get element() {
    return this.#about.value;
  }

  get kind() {
    return find(this.#root, '[name="kind"]:checked', HTMLInputElement).value;
  }

  set kind(kind) {
    find(this.#root, `[name="kind"][value="${kind}"]`, HTMLInputElement).checked = true;
  }

  get isPhrase() {
    return find(this.#root, '[name="keep"]', HTMLInputElement).checked;
  }

  clear() {
    this.text = "";
    this.kind = FIRST_KIND;
    find(this.#root, '[name="keep"]', HTMLInputElement).checked = false;
  }

  /** Quietly asks for the next step, where a "to improve" has none. */
  hint() {
    const { text, kind } = this;
    const isLacking =
      kind === FIRST_KIND && text.length > SHORTEST_HINTED && !hasNextStep(text);
    find(this.#root, "[data-hint]", HTMLElement).hidden = !isLacking;
    find(this.#root, '[data-act="drop"]', HTMLElement).hidden = !text;
  }

  /** @param {number | null} at */
  showMoment(at) {
    const words = at === null ? "without a moment" : `at ${asClock(at)}`;
    find(this.#root, "[data-at]", HTMLElement).textContent = words;
  }

  /**
   * @param {Map<string, string>} elements their names by key, the likeliest first
   * @param {string} [chosen]
   */
  offer(elements, chosen) {
    const options = [...elements].map(([value, name]) =>
      make("option", { value }, name),
    );
    redraw(
      this.#about,
      ...options,
      make("option", { value: "" }, "the whole recording"),
    );
    if (chosen !== undefined) this.#about.value = chosen;
  }
}
