/**
 * What becomes of each change once the server has answered.
 *
 * A change refused because somebody wrote in between leaves the outbox and becomes a
 * conflict: both values are shown, and the person chooses. One that was refused only
 * because the change before it was (not allowed, not fitting) is sent again on top of
 * what stands.
 *
 * @typedef {import("./store.js").Entry} Entry
 * @typedef {import("../../accounts/outbox.js").Waiting} Waiting
 * @typedef {{target: string, mine: Record<string, any> | null, theirs: Entry | null,
 *   by: string, text: string}} Conflict
 * @typedef {{id: string, target: string, why: string, text: string, by: string,
 *   current: Entry | null}} Refusal
 * @typedef {{version: number, acknowledged: string[], refused: Refusal[], figures: any,
 *   targets?: Record<string, Entry>}} Answer
 * @typedef {{acknowledged: [string, string][], reverted: [string, Entry | null][],
 *   told: string[]}} Settled
 */

import { same } from "./store.js";

export class Settlement {
  #store;
  #outbox;
  /** @type {Map<string, Conflict>} */
  #conflicts = new Map();

  /**
   * @param {import("./store.js").MarkingStore} store
   * @param {import("../../accounts/outbox.js").Outbox} outbox
   */
  constructor(store, outbox) {
    this.#store = store;
    this.#outbox = outbox;
  }

  get conflicts() {
    return [...this.#conflicts.values()];
  }

  /** Reads the conflicts that are kept on the device, also by other tabs. */
  async recall() {
    /** @type {Conflict[]} */
    const kept = (await this.#outbox.kept("conflicts")) ?? [];
    this.#conflicts = new Map(kept.map((conflict) => [conflict.target, conflict]));
  }

  /** The person has acted on this target anew, knowing what stands. @param {string} target */
  async drop(target) {
    if (this.#conflicts.delete(target)) await this.#keep();
  }

  /** What another tab settled. @param {Settled} settled */
  async follow({ acknowledged, reverted }) {
    for (const [target, id] of acknowledged) this.#store.acknowledge(target, id);
    for (const [target, entry] of reverted) this.#store.revert(target, entry);
    await this.recall();
  }

  /**
   * @param {Waiting[]} rows what was sent
   * @param {Answer} answer
   */
  async settle(rows, answer) {
    /** @type {Settled} */
    const settled = { acknowledged: [], reverted: [], told: [] };
    const sent = new Map(rows.map((row) => [row.change.id, row]));
    const gone = [];
    for (const id of answer.acknowledged) {
      const row = sent.get(id);
      if (!row) continue;
      gone.push(row.seq);
      settled.acknowledged.push([row.change.target, id]);
      this.#store.acknowledge(row.change.target, id);
    }
    await this.#outbox.remove(gone);
    for (const refusal of answer.refused) await this.#refused(refusal, sent, settled);
    return settled;
  }

  /**
   * @param {Refusal} refusal
   * @param {Map<string, Waiting>} sent
   * @param {Settled} settled
   */
  async #refused({ id, why, text, current, by }, sent, settled) {
    const row = sent.get(id);
    if (!row) return;
    const { target } = row.change;
    const stands = current?.change ?? null;
    const waiting = await this.#outbox.waiting();
    // Another change of ours comes first and is sent again: this one keeps its place.
    if (waiting.some(({ change }) => change.id === row.change.after)) return;
    const later = waiting.filter(
      ({ change, seq }) => change.target === target && seq >= row.seq,
    );
    if (later[0]?.seq !== row.seq) return; // left the outbox with an earlier conflict
    if (why === "older" && stands === this.#store.held(target)) {
      await this.#outbox.replace({ ...row, change: { ...row.change, after: stands } });
      return;
    }
    if (why === "older") {
      const mine = later[later.length - 1].change.value;
      await this.#outbox.remove(later.map(({ seq }) => seq));
      if (!same(mine, current?.value ?? null)) {
        this.#conflicts.set(target, { target, mine, theirs: current, by, text });
        await this.#keep();
      }
    } else {
      await this.#outbox.remove([row.seq]);
      settled.told.push(text);
      const [next] = later.slice(1);
      if (next) {
        await this.#outbox.replace({
          ...next,
          change: { ...next.change, after: stands },
        });
        return;
      }
    }
    this.#store.revert(target, current);
    settled.reverted.push([target, current]);
  }

  async #keep() {
    await this.#outbox.keep("conflicts", this.conflicts.length ? this.conflicts : null);
  }
}
