/**
 * Brings the browser's store to what waits to be sent, so that it outlives the page.
 *
 * @typedef {import("./tree.js").Change} Change
 */

import { same } from "./values.js";

export class Keeping {
  #outbox;
  /** Changes that this page put there or found there: it takes no other page's away. */
  #mine = new Set();
  /** @type {Change[] | null} */
  #wanted = null;
  #isBusy = false;

  /** @param {import("../../accounts/outbox.js").Outbox} outbox */
  constructor(outbox) {
    this.#outbox = outbox;
  }

  /** What waits since an earlier visit, oldest first. @returns {Promise<Change[]>} */
  async older() {
    const rows = await this.#outbox.waiting();
    for (const { change } of rows) this.#mine.add(change.id);
    return rows.map(({ change }) => change);
  }

  /** What comes while the browser still writes goes after it. @param {Change[]} pending */
  async keep(pending) {
    this.#wanted = pending;
    if (this.#isBusy) return;
    this.#isBusy = true;
    while (this.#wanted) {
      // As it is now: typing goes on in the change itself.
      const changes = structuredClone(this.#wanted);
      this.#wanted = null;
      await this.#write(changes);
    }
    this.#isBusy = false;
  }

  /** @param {Change[]} changes */
  async #write(changes) {
    const wanted = new Map(changes.map((change) => [change.id, change]));
    const rows = await this.#outbox.waiting();
    const gone = rows.filter(
      ({ change: { id } }) => this.#mine.has(id) && !wanted.has(id),
    );
    await this.#outbox.remove(gone.map(({ seq }) => seq));
    for (const { seq, change } of rows) {
      const now = wanted.get(change.id);
      if (now && !same(now, change)) await this.#outbox.replace({ seq, change: now });
      wanted.delete(change.id);
    }
    for (const id of wanted.keys()) this.#mine.add(id);
    if (wanted.size) await this.#outbox.add([...wanted.values()]);
  }
}
