/**
 * Undo and redo, without limit while the page is open. An act is one or more changes.
 *
 * @typedef {import("./store.js").Value} Value
 * @typedef {{target: string, before: Value | null, after: Value | null}} Step
 * @typedef {{label: string, steps: Step[]}} Act
 */

import { same } from "./store.js";

export class History {
  /** @type {Act[]} */
  #done = [];
  /** @type {Act[]} */
  #undone = [];

  /** @param {Act} act */
  add(act) {
    this.#done.push(act);
    this.#undone = [];
  }

  /**
   * Takes back the last act.
   * @param {(target: string) => Value | null} current
   * @param {(target: string, value: Value | null) => void} put
   */
  undo(current, put) {
    return this.#turn(this.#done, this.#undone, current, put, "after", "before");
  }

  /**
   * Does again what was taken back last.
   * @param {(target: string) => Value | null} current
   * @param {(target: string, value: Value | null) => void} put
   */
  redo(current, put) {
    return this.#turn(this.#undone, this.#done, current, put, "before", "after");
  }

  /**
   * What somebody else changed since is left alone, and named in `kept`.
   * @param {Act[]} from
   * @param {Act[]} to
   * @param {(target: string) => Value | null} current
   * @param {(target: string, value: Value | null) => void} put
   * @param {"before" | "after"} found
   * @param {"before" | "after"} wanted
   */
  #turn(from, to, current, put, found, wanted) {
    const act = from.pop();
    if (!act) return null;
    const kept = [];
    const turned = [];
    for (const step of [...act.steps].reverse()) {
      if (same(current(step.target), step[found])) {
        put(step.target, step[wanted]);
        turned.unshift(step);
      } else kept.push(step.target);
    }
    if (turned.length) to.push({ label: act.label, steps: turned });
    return { label: act.label, targets: turned.map(({ target }) => target), kept };
  }
}
