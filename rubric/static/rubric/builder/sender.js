/**
 * Sends what waits, in order, until the server has acknowledged it, and fetches what
 * others did. One request at a time, so that no answer comes before an older one.
 *
 * Events: "standing" (how saving stands has changed), "clashes", "aside" (html),
 * "others" (nodes that others changed).
 *
 * @typedef {import("./tree.js").Change} Change
 * @typedef {import("./tree.js").DraftNode} DraftNode
 * @typedef {{change: Change, theirs: DraftNode | null, before: DraftNode | null,
 *   why: string}} Clash why: the server's words where it refused; `before`: the node as
 *   this page last knew it
 */

import { Outbox } from "../../accounts/outbox.js";
import { Keeping } from "./keeping.js";
import { same } from "./values.js";

const PAUSE = 400; // after the last key
const CALM = 4000; // between looks at what others did
const SHORTEST = 1000;
const LONGEST = 30_000;

export class Sender extends EventTarget {
  #draft;
  #line;
  #outbox;
  #keeping;
  /** @type {Clash[]} */
  clashes = [];
  #isRunning = false;
  #retry = SHORTEST;
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  #timer;

  /**
   * @param {{draft: import("./draft.js").Draft, line: import("./line.js").Line,
   *   person: number, rubric: string, signal: AbortSignal}} page
   */
  constructor({ draft, line, person, rubric, signal }) {
    super();
    this.#draft = draft;
    this.#line = line;
    this.#outbox = new Outbox(person, `rubric ${rubric}`);
    this.#keeping = new Keeping(this.#outbox);
    draft.addEventListener("pending", () => this.#changed(), { signal });
    line.addEventListener("standing", () => this.#tell("standing"), { signal });
    for (const name of ["online", "focus"])
      window.addEventListener(name, () => this.#run(), { signal });
    document.addEventListener("visibilitychange", () => this.#run(), { signal });
    window.addEventListener("beforeunload", (event) => this.#leaving(event), {
      signal,
    });
    signal.addEventListener("abort", () => clearTimeout(this.#timer));
  }

  /** How many changes the server has not acknowledged. */
  get waiting() {
    return this.#draft.pending.length;
  }

  get isKept() {
    return this.#outbox.isKept;
  }

  /** Shows what waited on the device since the last visit, and sends it. */
  async begin() {
    const older = await this.#keeping.older();
    this.clashes = (await this.#outbox.kept("conflicts")) ?? [];
    this.#tell("clashes");
    this.#draft.restore(older);
    this.#again(older.length ? 0 : CALM);
  }

  /** The person has chosen; what to write, if anything, is put by the page. @param {Clash} clash */
  async chosen(clash) {
    this.clashes = this.clashes.filter((other) => other !== clash);
    await this.#keepClashes();
  }

  #changed() {
    this.#tell("standing");
    this.#keeping.keep(this.#draft.pending);
    if (this.waiting) this.#again(this.#line.standing === "fine" ? PAUSE : this.#retry);
  }

  /** @param {number} milliseconds */
  #again(milliseconds) {
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => this.#run(), milliseconds);
  }

  async #run() {
    if (this.#isRunning) return;
    this.#isRunning = true;
    clearTimeout(this.#timer);
    try {
      while (this.waiting && (await this.#send())) this.#retry = SHORTEST;
      if (!this.waiting && !document.hidden) await this.#look();
    } finally {
      this.#isRunning = false;
    }
    const isFine = this.#line.standing === "fine";
    this.#again(isFine ? (this.waiting ? PAUSE : CALM) : this.#retry);
    if (!isFine) this.#retry = Math.min(2 * this.#retry, LONGEST);
  }

  async #send() {
    const batch = this.#draft.next();
    const answer = await this.#line.send(batch, this.#draft.version);
    if (!answer) return false;
    const found = new Map(answer.results.map((/** @type {any} */ r) => [r.id, r]));
    for (const change of batch) {
      const result = found.get(change.id);
      if (result?.status === "kept") this.#draft.settle(change, true, result.nodes);
      else this.#clash(change, result);
    }
    this.#take(answer);
    return true;
  }

  async #look() {
    const { version } = this.#draft;
    const news = await this.#line.news(version);
    if (news && news.version !== version) this.#take(news);
  }

  /** @param {any} news what others did too, since this page's version */
  #take(news) {
    const known = this.#draft.held.nodes;
    const others = news.nodes.filter(
      (/** @type {DraftNode} */ { id, fields }) =>
        !same(known.get(id)?.fields ?? null, fields),
    );
    this.#draft.adopt(news);
    if (news.aside !== undefined) this.#tell("aside", news.aside);
    if (others.length) this.#tell("others", others);
  }

  /** @param {Change} change @param {any} result */
  #clash(change, result) {
    const before = this.#draft.held.nodes.get(change.node) ?? null;
    const theirs = result?.node ?? null;
    this.#draft.settle(change, false, theirs ? [theirs] : []);
    const why =
      result?.status === "clash" ? "" : (result?.why ?? "no reason was given");
    const [apart, rest] = theirs && !why ? parted(change, theirs) : [change.fields, {}];
    this.clashes = [
      ...this.clashes,
      { change: { ...change, ...(apart && { fields: apart }) }, theirs, before, why },
    ];
    this.#keepClashes();
    if (Object.keys(rest).length)
      this.#draft.put([{ act: "set", node: change.node, fields: rest }]);
  }

  #keepClashes() {
    this.#tell("clashes");
    return this.#outbox.keep("conflicts", this.clashes.length ? this.clashes : null);
  }

  /** @param {Event} event */
  #leaving(event) {
    if (this.waiting) event.preventDefault();
  }

  /** @param {string} name @param {any} [detail] */
  #tell(name, detail) {
    this.dispatchEvent(new CustomEvent(name, { detail }));
  }
}

/**
 * Of a change, the fields that both have changed, and those that nobody else did.
 * @param {Change} change
 * @param {DraftNode} theirs
 * @returns {[Record<string, any>, Record<string, any>]}
 */
function parted({ act, fields = {}, base = 0 }, theirs) {
  if (act !== "set") return [fields, {}];
  const isDisputed = (/** @type {[string, any]} */ [name, value]) =>
    (theirs.changed[name] ?? 0) > base && !same(theirs.fields[name] ?? null, value);
  const pairs = Object.entries(fields);
  return [
    Object.fromEntries(pairs.filter(isDisputed)),
    Object.fromEntries(pairs.filter((pair) => !isDisputed(pair))),
  ];
}
