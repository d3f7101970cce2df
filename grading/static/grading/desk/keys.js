/**
 * The desk's keys, and what the person made of them: kept for each person on the device.
 *
 * @typedef {keyof typeof KEYS} Action
 */

export const KEYS = {
  done: { key: "d", word: "done" },
  partly: { key: "p", word: "partly" },
  said: { key: "s", word: "said only" },
  missed: { key: "m", word: "missed" },
  unseen: { key: "n", word: "not seen" },
  excused: { key: "x", word: "excused (asks for the reason)" },
  comment: { key: "c", word: "comment on this element here" },
  hazard: { key: "h", word: "hazard seen here" },
  find: { key: "/", word: "find an element" },
  undo: { key: "u", word: "undo" },
  redo: { key: "U", word: "do again" },
  play: { key: " ", word: "play and pause" },
  back: { key: ",", word: "5 seconds back" },
  on: { key: ".", word: "5 seconds on" },
  slower: { key: "<", word: "slower" },
  faster: { key: ">", word: "faster" },
  go: { key: "g", word: "go to the element's moment" },
  restamp: { key: "t", word: "the element's moment is now" },
  help: { key: "?", word: "these keys" },
};

export class Keys extends EventTarget {
  #place;
  isOn = true;
  /** Seconds taken off when a key is pressed; null: 2 s x speed. @type {number | null} */
  setBack = null;
  /** @type {Map<Action, string>} */
  #own = new Map();

  /** @param {number} person */
  constructor(person) {
    super();
    this.#place = `bellside-keys-${person}`;
    try {
      const kept = JSON.parse(localStorage.getItem(this.#place) ?? "{}");
      this.isOn = kept.isOn ?? true;
      this.setBack = kept.setBack ?? null;
      for (const [action, key] of Object.entries(kept.own ?? {}))
        if (action in KEYS) this.#own.set(/** @type {Action} */ (action), String(key));
    } catch {
      // unreadable or switched off: the keys as they come
    }
  }

  /** @param {Action} action */
  keyOf(action) {
    return this.#own.get(action) ?? KEYS[action].key;
  }

  /** @param {Action} action as the key is written on the page */
  nameOf(action) {
    const key = this.keyOf(action);
    return key === " " ? "space" : key;
  }

  /**
   * What a key press asks for; digits and arrows are not among them.
   * @param {KeyboardEvent} event
   * @returns {Action | null}
   */
  actionOf(event) {
    if (!this.isOn || event.ctrlKey || event.metaKey || event.altKey) return null;
    for (const action of /** @type {Action[]} */ (Object.keys(KEYS)))
      if (this.keyOf(action) === event.key) return action;
    return null;
  }

  /**
   * @param {Action} action
   * @param {string} key one sign
   * @returns {Action | null} the action that holds the key already: then nothing changes
   */
  change(action, key) {
    const holders = /** @type {Action[]} */ (Object.keys(KEYS));
    const holder = holders.find(
      (other) => other !== action && this.keyOf(other) === key,
    );
    if (holder) return holder;
    this.#own.set(action, key);
    this.keep();
    return null;
  }

  /** Back to the keys as they come. */
  reset() {
    this.#own.clear();
    this.isOn = true;
    this.setBack = null;
    this.keep();
  }

  keep() {
    const { isOn, setBack } = this;
    const own = Object.fromEntries(this.#own);
    try {
      localStorage.setItem(this.#place, JSON.stringify({ isOn, setBack, own }));
    } catch {
      // they hold until the page is left
    }
    this.dispatchEvent(new Event("change"));
  }
}
