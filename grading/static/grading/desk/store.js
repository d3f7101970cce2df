/**
 * The marking as this page knows it: for each target its value, and the id of the change
 * that wrote it. What a person does shows here at once, long before it is saved.
 *
 * @typedef {Record<string, any>} Value
 * @typedef {{change: string, value: Value | null}} Entry
 * @typedef {{element: string, state: string, kind: string, text: string}} PhraseUse
 * @typedef {{id: string, target: string, after: string | null, value: Value | null,
 *   phrase?: PhraseUse}} Change
 */

export class MarkingStore extends EventTarget {
  /** @type {Map<string, Entry>} */
  #entries = new Map();
  /** @type {Map<string, string>} what the server is known to hold, target to change */
  #held = new Map();

  /** @param {Record<string, Entry>} targets as the server sent them */
  constructor(targets) {
    super();
    for (const [target, entry] of Object.entries(targets)) {
      this.#entries.set(target, entry);
      this.#held.set(target, entry.change);
    }
  }

  /** @param {string} target */
  value(target) {
    return this.#entries.get(target)?.value ?? null;
  }

  /** @param {string} target */
  entry(target) {
    return this.#entries.get(target) ?? null;
  }

  /** @param {string} target the change of it that the server is known to hold */
  held(target) {
    return this.#held.get(target) ?? null;
  }

  /**
   * Everything of one kind that stands, by the part of its name after the colon.
   * @param {string} kind
   * @returns {[string, Value][]}
   */
  of(kind) {
    /** @type {[string, Value][]} */
    const found = [];
    for (const [target, { value }] of this.#entries) {
      const [name, rest = ""] = split(target);
      if (name === kind && value !== null) found.push([rest, value]);
    }
    return found;
  }

  /**
   * A new change by the person at this desk.
   * @param {string} target
   * @param {Value | null} value
   * @param {PhraseUse} [phrase]
   * @returns {Change}
   */
  propose(target, value, phrase) {
    const after = this.#entries.get(target)?.change ?? null;
    const id = crypto.randomUUID();
    this.#set({ [target]: { change: id, value } });
    return { id, target, after, value, ...(phrase && { phrase }) };
  }

  /**
   * A change made in another tab, or one found waiting on the device. One that was
   * made without knowing what stands here is left to the server to judge.
   * @param {Change} change
   */
  follow({ id, target, after, value }) {
    if ((this.entry(target)?.change ?? null) === after)
      this.#set({ [target]: { change: id, value } });
  }

  /** @param {string} target @param {string} change */
  acknowledge(target, change) {
    this.#held.set(target, change);
  }

  /**
   * What the server holds. Targets that wait to be sent keep what the person did.
   * @param {Record<string, Entry>} targets
   * @param {Set<string>} waiting
   */
  adopt(targets, waiting = new Set()) {
    /** @type {Record<string, Entry>} */
    const newer = {};
    for (const [target, entry] of Object.entries(targets)) {
      if (waiting.has(target)) continue;
      this.#held.set(target, entry.change);
      if (this.#entries.get(target)?.change !== entry.change) newer[target] = entry;
    }
    this.#set(newer);
  }

  /**
   * Puts a target back to what the server holds.
   * @param {string} target
   * @param {Entry | null} entry
   */
  revert(target, entry) {
    if (entry) {
      this.#held.set(target, entry.change);
      this.#set({ [target]: entry });
    } else {
      this.#held.delete(target);
      this.#entries.delete(target);
      this.#tell([target]);
    }
  }

  /** @param {Record<string, Entry>} entries */
  #set(entries) {
    const targets = Object.keys(entries);
    for (const target of targets) this.#entries.set(target, entries[target]);
    if (targets.length) this.#tell(targets);
  }

  /** @param {string[]} targets */
  #tell(targets) {
    this.dispatchEvent(new CustomEvent("change", { detail: targets }));
  }
}

/** @param {string} target */
function split(target) {
  const at = target.indexOf(":");
  return at < 0 ? [target] : [target.slice(0, at), target.slice(at + 1)];
}

/**
 * Whether two values say the same, whatever the order of their names.
 * @param {Value | null} a
 * @param {Value | null} b
 */
export function same(a, b) {
  return canonical(a) === canonical(b);
}

/** @param {Value | null} value */
function canonical(value) {
  if (value === null) return "null";
  const said = Object.entries(value).filter(([, v]) => v !== null && v !== "");
  return JSON.stringify(said.sort(([a], [b]) => (a < b ? -1 : 1)));
}
