/**
 * Sends what waits in the outbox, in order, until the server has acknowledged it. Only
 * one tab sends for a marking at a time (Web Locks); what comes back is told to all.
 *
 * Events: "waiting" (how much waits has changed), "figures", "conflicts" and "told"
 * (words about changes that were not taken).
 *
 * @typedef {import("./store.js").Change} Change
 * @typedef {import("./settlement.js").Answer} Answer
 */

import { Retry } from "./retry.js";
import { Settlement } from "./settlement.js";

const MOST_AT_ONCE = 200;

export class Sender extends EventTarget {
  #desk;
  #tabs;
  #settlement;
  #retry;
  #isRunning = false;
  #isWanted = false;
  #inOutbox = 0;

  /**
   * @param {{data: any, store: import("./store.js").MarkingStore,
   *   outbox: import("../../accounts/outbox.js").Outbox, played: import("./played.js").PlayedParts,
   *   link: import("./link.js").Link, signal: AbortSignal}} desk
   */
  constructor(desk) {
    super();
    this.#desk = desk;
    const { data, store, outbox, signal } = desk;
    this.#settlement = new Settlement(store, outbox);
    this.#retry = new Retry(() => this.look(), signal);
    this.#tabs = new BroadcastChannel(`bellside-desk-${data.person}-${data.marking}`);
    this.#tabs.addEventListener("message", (event) => this.#heard(event.data));
    signal.addEventListener("abort", () => this.#tabs.close());
    window.addEventListener("online", () => this.flush(), { signal });
    window.addEventListener("focus", () => this.look(), { signal });
    window.addEventListener("beforeunload", (event) => this.#leaving(event), {
      signal,
    });
    window.addEventListener("pagehide", () => this.#sendPlayed(), { signal });
  }

  /** Shows what waited on the device since the last visit, and sends it. */
  async begin() {
    const rows = await this.#desk.outbox.waiting();
    for (const { change } of rows) this.#desk.store.follow(change);
    await this.#settlement.recall();
    this.#count(rows.length);
    this.#tell("conflicts");
    await this.flush();
    this.#retry.schedule(this.#desk.link.standing);
  }

  /** How many changes the server has not acknowledged. */
  get waiting() {
    return this.#inOutbox + this.#desk.outbox.unkept.length;
  }

  get conflicts() {
    return this.#settlement.conflicts;
  }

  /** @param {Change[]} changes just proposed to the store */
  async add(changes) {
    const kept = this.#desk.outbox.add(changes);
    this.#tell("waiting");
    for (const { target } of changes) await this.#settlement.drop(target);
    await kept;
    this.#tabs.postMessage({ made: changes });
    this.#tell("conflicts");
    await this.flush();
  }

  /** Theirs stands. @param {string} target */
  async forget(target) {
    await this.#settlement.drop(target);
    this.#tabs.postMessage({ forgotten: target });
    this.#tell("conflicts");
  }

  /** Lets go of what waits, where it can never be taken. */
  async giveUp() {
    const rows = await this.#desk.outbox.waiting();
    await this.#desk.outbox.remove(rows.map(({ seq }) => seq));
    this.#count(0);
  }

  /** Says in this browser's other tabs that somebody has signed in again. */
  announceSignIn() {
    this.#tabs.postMessage({ signedIn: true });
  }

  async flush() {
    this.#isWanted = true;
    if (this.#isRunning) return;
    this.#isRunning = true;
    const { person, marking } = this.#desk.data;
    const name = `bellside-send-${person}-${marking}`;
    try {
      while (this.#isWanted) {
        this.#isWanted = false;
        if (navigator.locks) await navigator.locks.request(name, () => this.#send());
        else await this.#send();
      }
    } finally {
      this.#isRunning = false;
    }
  }

  async #send() {
    const { data, outbox, played, link } = this.#desk;
    for (;;) {
      const all = await outbox.waiting();
      const rows = all.slice(0, MOST_AT_ONCE);
      const spans = played.unsent();
      this.#count(all.length);
      if (!rows.length && !spans.length) return;
      const changes = rows.map(({ change }) => change);
      const answer = await link.save(changes, spans);
      if (!answer) return this.#retry.failed(link.standing);
      this.#retry.worked();
      played.sent(spans);
      const settled = await this.#settlement.settle(rows, answer);
      data.version = answer.version;
      this.#tabs.postMessage({ settled, answer });
      await this.#take(answer);
      link.stand("saved");
      if (settled.told.length) this.#tell("told", settled.told);
    }
  }

  /** @param {Answer} answer */
  async #take(answer) {
    const { store, outbox } = this.#desk;
    const unsent = await outbox.unsent();
    store.adopt(answer.targets ?? {}, new Set(unsent.map(({ target }) => target)));
    this.#count((await outbox.waiting()).length);
    this.#tell("figures", answer.figures);
    this.#tell("conflicts");
  }

  /** Sees whether others wrote and whether sending can go on; then sends. */
  async look() {
    const { data, link } = this.#desk;
    const state = document.hidden ? null : await link.state();
    // A save may have been answered since this was asked: then it is news no more.
    if (state?.targets && state.version >= data.version) {
      data.version = state.version;
      await this.#take(state);
    }
    if (state || document.hidden) await this.flush();
    this.#retry.schedule(link.standing);
  }

  /** @param {any} news from another tab of the same person on this marking */
  async #heard({ made, signedIn, forgotten, settled, answer }) {
    const { store, data, link } = this.#desk;
    for (const change of made ?? []) store.follow(change);
    if (signedIn) await this.look();
    if (forgotten) await this.#settlement.recall();
    if (settled) await this.#settlement.follow(settled);
    if (answer && answer.version >= data.version) {
      data.version = answer.version;
      link.savedAt = Date.now();
      await this.#take(answer);
    }
    this.#count((await this.#desk.outbox.waiting()).length);
    this.#tell("conflicts");
  }

  /** @param {Event} event */
  #leaving(event) {
    if (this.waiting) event.preventDefault();
  }

  #sendPlayed() {
    const { played, link } = this.#desk;
    played.cut();
    if (played.unsent().length && link.standing === "saved")
      link.save([], played.unsent(), true);
  }

  /** @param {number} inOutbox */
  #count(inOutbox) {
    this.#inOutbox = inOutbox;
    this.#tell("waiting");
  }

  /** @param {string} name @param {any} [detail] */
  #tell(name, detail) {
    this.dispatchEvent(new CustomEvent(name, { detail }));
  }
}
