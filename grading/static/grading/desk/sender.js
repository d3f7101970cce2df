/**
 * Sends what waits in the outbox, in order, until the server has acknowledged it. Only
 * one tab sends for a marking at a time (Web Locks); what comes back is told to all.
 *
 * @typedef {import("./store.js").Change} Change
 * @typedef {import("./store.js").Entry} Entry
 * @typedef {import("./outbox.js").Conflict} Conflict
 * @typedef {import("./outbox.js").Waiting} Waiting
 * @typedef {"saved" | "sending" | "no network" | "signed out" | "another person" |
 *   "released" | "not yours" | "trouble"} Standing
 * @typedef {{id: string, target: string, why: string, text: string, by: string,
 *   current: Entry | null}} Refusal
 * @typedef {{version: number, acknowledged: string[], refused: Refusal[], figures: any,
 *   targets?: Record<string, Entry>}} Answer
 */

import { ask } from "./server.js";
import { Settlement } from "./settlement.js";

const MOST_AT_ONCE = 200;
const POLL = 15_000;
const POLL_SIGNED_OUT = 4_000;
const LONGEST_PAUSE = 30_000;

export class Sender extends EventTarget {
  #desk;
  #channel;
  #settlement;
  #isRunning = false;
  #isWanted = false;
  #pause = 1000;
  /** @type {Change[]} done, and not yet on the device */
  #unkept = [];
  #inOutbox = 0;
  /** @type {Promise<void> | null} */
  #keeping = null;
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  #timer;
  /** @type {Standing} */
  standing = "saved";
  savedAt = Date.now();

  /**
   * @param {{data: any, store: import("./store.js").MarkingStore,
   *   outbox: import("./outbox.js").Outbox, played: import("./played.js").PlayedParts,
   *   signal: AbortSignal}} desk
   */
  constructor(desk) {
    super();
    this.#desk = desk;
    this.#settlement = new Settlement(desk.store, desk.outbox);
    const { person, marking } = desk.data;
    this.#channel = new BroadcastChannel(`bellside-desk-${person}-${marking}`);
    this.#channel.addEventListener("message", ({ data }) => this.#heard(data));
    const { signal } = desk;
    signal.addEventListener("abort", () => {
      this.#channel.close();
      clearTimeout(this.#timer);
    });
    window.addEventListener("online", () => this.flush(), { signal });
    window.addEventListener("focus", () => this.look(), { signal });
    window.addEventListener(
      "beforeunload",
      (event) => {
        if (this.waiting) event.preventDefault();
      },
      { signal },
    );
  }

  /** Shows what waited on the device since the last visit, and sends it. */
  async begin() {
    const rows = await this.#desk.outbox.waiting();
    for (const { change } of rows) this.#desk.store.follow(change);
    await this.#settlement.recall();
    this.#count(rows.length);
    this.#tell("conflicts");
    this.#schedule();
    await this.flush();
  }

  /** How many changes the server has not acknowledged. */
  get waiting() {
    return this.#inOutbox + this.#unkept.length;
  }

  get conflicts() {
    return this.#settlement.conflicts;
  }

  /** @param {Change[]} changes just proposed to the store */
  async add(changes) {
    this.#unkept.push(...changes);
    this.#tell("standing");
    this.#keeping ??= this.#keep().finally(() => {
      this.#keeping = null;
    });
    await this.#keeping;
    await this.flush();
  }

  /** Writes to the device what was done meanwhile, all of it in one go, in its order. */
  async #keep() {
    while (this.#unkept.length) {
      const changes = [...this.#unkept];
      for (const { target } of changes) await this.#settlement.drop(target);
      await this.#desk.outbox.add(changes);
      this.#unkept.splice(0, changes.length);
      this.#inOutbox += changes.length;
      this.#channel.postMessage({ made: changes });
    }
    this.#tell("conflicts");
  }

  /** Theirs stands. @param {string} target */
  async forget(target) {
    await this.#settlement.drop(target);
    this.#channel.postMessage({ forgotten: target });
    this.#tell("conflicts");
  }

  /** Says in this browser's other tabs that somebody has signed in again. */
  announceSignIn() {
    this.#channel.postMessage({ signedIn: true });
  }

  async flush() {
    if (this.#isRunning) {
      this.#isWanted = true;
      return;
    }
    this.#isRunning = true;
    const { person, marking } = this.#desk.data;
    const name = `bellside-send-${person}-${marking}`;
    try {
      do {
        this.#isWanted = false;
        if (navigator.locks) await navigator.locks.request(name, () => this.#send());
        else await this.#send();
      } while (this.#isWanted);
    } finally {
      this.#isRunning = false;
    }
  }

  async #send() {
    const { data, outbox, played } = this.#desk;
    for (;;) {
      const all = await outbox.waiting();
      const rows = all.slice(0, MOST_AT_ONCE);
      this.#count(all.length);
      const spans = played.unsent();
      if (!rows.length && !spans.length) return this.#stand("saved");
      this.#stand("sending");
      const { status, body } = await ask(data.urls.save, data.csrf, {
        person: data.person,
        version: data.version,
        changes: rows.map(({ change }) => change),
        played: spans,
      });
      if (status !== 200) return this.#failed(status, body);
      played.sent(spans);
      this.#pause = 1000;
      this.savedAt = Date.now();
      await this.#settle(rows, body);
    }
  }

  /** @param {Waiting[]} rows @param {Answer} answer */
  async #settle(rows, answer) {
    const settled = await this.#settlement.settle(rows, answer);
    this.#desk.data.version = answer.version;
    const waiting = await this.#desk.outbox.waiting();
    this.#desk.store.adopt(answer.targets ?? {}, await this.#targets());
    this.#channel.postMessage({ settled, answer });
    this.#count(waiting.length);
    this.#tell("figures", answer.figures);
    if (settled.told.length) this.#tell("told", settled.told);
    this.#tell("conflicts");
  }

  /** @param {number} status @param {any} body */
  async #failed(status, body) {
    if (status === 0) this.#stand("no network");
    else if (status === 401) this.#stand("signed out");
    else if (status === 403) await this.#renew();
    else if (status === 404) this.#stand("not yours");
    else if (status === 409)
      this.#stand(body?.error === "released" ? "released" : "another person");
    else this.#stand("trouble");
    this.#schedule();
    this.#pause = Math.min(2 * this.#pause, LONGEST_PAUSE);
  }

  /** A sign-in changes the token that must come with a save; the state brings a new one. */
  async #renew() {
    const before = this.#desk.data.csrf;
    await this.#look();
    if (this.#desk.data.csrf !== before) this.#isWanted = true;
    else if (this.standing === "sending") this.#stand("not yours");
  }

  /** Sees whether others wrote and whether sending can go on; then sends. */
  async look() {
    if (document.hidden || (await this.#look())) await this.flush();
  }

  /** @returns {Promise<boolean>} whether changes may be sent */
  async #look() {
    const { data, store } = this.#desk;
    const { status, body } = await ask(`${data.urls.state}?version=${data.version}`);
    if (status !== 200) {
      if (status === 401) this.#stand("signed out");
      else if (status === 403 || status === 404) this.#stand("not yours");
      else if (this.waiting) this.#stand(status ? "trouble" : "no network");
      return false;
    }
    if (body.person !== data.person) {
      this.#stand("another person");
      return false;
    }
    data.csrf = body.csrf;
    if (body.closed) this.#stand("released");
    else if (this.standing !== "sending") this.#stand("saved");
    // A save may have been answered since this was asked: then it is news no more.
    if (body.targets && body.version >= data.version) {
      data.version = body.version;
      store.adopt(body.targets, await this.#targets());
      this.#tell("figures", body.figures);
    }
    return !body.closed;
  }

  /** @param {any} data from another tab of the same person on this marking */
  async #heard(data) {
    const { store, outbox } = this.#desk;
    if (data.made) for (const change of data.made) store.follow(change);
    if (data.signedIn) await this.look();
    if (data.forgotten) {
      await this.#settlement.recall();
      this.#tell("conflicts");
    }
    if (data.settled) {
      for (const [target, id] of data.settled.acknowledged)
        store.acknowledge(target, id);
      for (const [target, entry] of data.settled.reverted) store.revert(target, entry);
      if (data.answer.version >= this.#desk.data.version) {
        store.adopt(data.answer.targets ?? {}, await this.#targets());
        this.#desk.data.version = data.answer.version;
      }
      this.savedAt = Date.now();
      await this.#settlement.recall();
      this.#tell("figures", data.answer.figures);
      this.#tell("conflicts");
    }
    this.#count((await outbox.waiting()).length);
  }

  #schedule() {
    const isOut = this.standing === "signed out" || this.standing === "another person";
    const isCut = this.standing === "no network" || this.standing === "trouble";
    clearTimeout(this.#timer);
    this.#timer = setTimeout(
      async () => {
        await this.look();
        this.#schedule();
      },
      isCut ? this.#pause : isOut ? POLL_SIGNED_OUT : POLL,
    );
  }

  /** What the server cannot know yet. */
  async #targets() {
    const rows = await this.#desk.outbox.waiting();
    const changes = [...rows.map(({ change }) => change), ...this.#unkept];
    return new Set(changes.map(({ target }) => target));
  }

  /** @param {Standing} standing */
  #stand(standing) {
    this.standing = standing;
    this.#tell("standing");
  }

  /** @param {number} inOutbox */
  #count(inOutbox) {
    this.#inOutbox = inOutbox;
    this.#tell("standing");
  }

  /** @param {string} name @param {any} [detail] */
  #tell(name, detail) {
    this.dispatchEvent(new CustomEvent(name, { detail }));
  }
}
