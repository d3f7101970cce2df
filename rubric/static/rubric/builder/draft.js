/**
 * The draft as this page knows it: what the server is known to hold, with the changes
 * that wait to be sent laid over it. What a person does shows at once; what others did
 * comes in underneath.
 *
 * Events: "change" (detail: nodes that differ, whether an order does), "pending".
 *
 * @typedef {import("./tree.js").Tree} Tree
 * @typedef {import("./tree.js").Change} Change
 * @typedef {import("./tree.js").DraftNode} DraftNode
 * @typedef {import("./tree.js").Values} Values
 * @typedef {{version: number, nodes: DraftNode[], order: Record<string, string[]>}} News
 */

import { applied, differences, inList, listOf, treeOf } from "./tree.js";

const MOST_AT_ONCE = 200;

export class Draft extends EventTarget {
  /** @type {Tree} as the server holds it */
  held;
  /** @type {Tree} as the page shows it */
  tree;
  /** @type {Change[]} oldest first */
  pending = [];
  /** @type {Set<string>} changes that have gone out, and may have arrived */
  #sent = new Set();
  /** All that happened up to this version is known here. @type {number} */
  version;

  /** @param {any} draft as the server writes it */
  constructor(draft) {
    super();
    this.version = draft.version;
    this.held = treeOf(draft);
    this.tree = this.held;
  }

  /** @param {string} id */
  node(id) {
    return this.tree.nodes.get(id) ?? null;
  }

  /** @param {string} list */
  in(list) {
    return inList(this.tree, list);
  }

  /** The last node of a list. @param {string} list */
  last(list) {
    return this.tree.order.get(list)?.at(-1) ?? null;
  }

  /** @param {string} id */
  listOf(id) {
    return listOf(this.tree, id);
  }

  /** Changes by the person at this page, not yet sent. @param {Omit<Change, "id">[]} changes */
  put(changes) {
    let tree = this.tree;
    for (const change of changes) {
      const whole = { ...change, id: crypto.randomUUID() };
      if (change.act === "set")
        whole.base = this.held.nodes.get(change.node)?.version ?? 0;
      if (change.act === "remove") whole.base = this.#lastSeen(change.node);
      tree = applied(tree, whole);
      if (!this.#isMerged(whole)) this.pending.push(whole);
    }
    this.#show(tree);
    this.#tell("pending");
  }

  /** Changes that waited on the device since an earlier visit. @param {Change[]} changes */
  restore(changes) {
    const known = new Set(this.pending.map(({ id }) => id));
    const older = changes.filter(({ id }) => !known.has(id));
    if (!older.length) return;
    for (const { id } of older) this.#sent.add(id);
    this.pending = [...older, ...this.pending];
    this.#replay();
    this.#tell("pending");
  }

  /**
   * What to send next: no node twice, and a new key last, since the server's answer says
   * what a later change of the same node has to start from.
   */
  next() {
    const touched = new Set();
    const batch = [];
    for (const change of this.pending.slice(0, MOST_AT_ONCE)) {
      const isLater = change.act === "remove" && batch.length > 0;
      if (touched.has(change.node) || isLater) break;
      touched.add(change.node);
      batch.push(change);
      if (change.act === "set" && change.fields && "key" in change.fields) break;
    }
    for (const { id } of batch) this.#sent.add(id);
    return batch;
  }

  /**
   * The server has dealt with a change; `nodes` are those that differ there since.
   * @param {Change} change
   * @param {boolean} isKept
   * @param {DraftNode[]} nodes
   */
  settle(change, isKept, nodes) {
    this.pending = this.pending.filter(({ id }) => id !== change.id);
    this.#sent.delete(change.id);
    if (isKept) this.held = applied(this.held, change);
    this.#hold(nodes);
    for (const node of nodes) this.#follow(node);
    this.#replay();
    this.#tell("pending");
  }

  /** What others did since. @param {News} news */
  adopt({ version, nodes, order }) {
    this.version = version;
    const ids = new Set([...Object.keys(order), ...Object.values(order).flat()]);
    const kept = [...this.held.nodes].filter(
      ([id, n]) => ids.has(id) || n.kind === "sheet",
    );
    const known = new Map(kept);
    for (const node of nodes) known.set(node.id, bare(node));
    const lists = Object.entries(order).map(([name, list]) => {
      const old = this.held.order.get(name);
      const isSame =
        old?.length === list.length && list.every((id, n) => id === old[n]);
      return /** @type {[string, string[]]} */ ([name, isSame ? old : list]);
    });
    this.held = { nodes: known, order: new Map(lists) };
    this.#replay();
  }

  /** @param {DraftNode[]} nodes */
  #hold(nodes) {
    const known = new Map(this.held.nodes);
    for (const node of nodes) if (known.has(node.id)) known.set(node.id, bare(node));
    this.held = { ...this.held, nodes: known };
  }

  /** Changes of a node that wait start from what this page's own last change left. */
  #follow(/** @type {DraftNode} */ { id, version, changed }) {
    this.pending = this.pending.map((change) => {
      const { base } = change;
      const isAbout =
        change.node === id || this.held.order.get(change.node)?.includes(id);
      if (!isAbout || base === undefined) return change;
      const names = change.act === "set" ? Object.keys(change.fields ?? {}) : null;
      const isOurs = Object.entries(changed).every(
        ([name, at]) =>
          at <= base || at === version || (names && !names.includes(name)),
      );
      return isOurs ? { ...change, base: version } : change;
    });
  }

  /** Typing on makes one change of many, as long as none of them has gone out. */
  #isMerged(/** @type {Change} */ change) {
    if (change.act !== "set") return false;
    const last = this.pending.filter(({ node }) => node === change.node).at(-1);
    if (!last || this.#sent.has(last.id) || !["set", "add"].includes(last.act))
      return false;
    last.fields = { ...last.fields, ...change.fields };
    if (last.act === "add")
      for (const [name, value] of Object.entries(last.fields))
        if (value === null) delete last.fields[name];
    return true;
  }

  /** A section is as new as the newest of its parts. @param {string} id */
  #lastSeen(id) {
    const parts = (this.held.order.get(id) ?? []).map((part) =>
      this.held.nodes.get(part),
    );
    const versions = [this.held.nodes.get(id), ...parts].map((n) => n?.version ?? 0);
    return Math.max(...versions);
  }

  #replay() {
    this.#show(this.pending.reduce(applied, this.held));
  }

  /** @param {Tree} tree */
  #show(tree) {
    const detail = { ...differences(this.tree, tree), before: this.tree };
    this.tree = tree;
    if (detail.nodes.size || detail.isReordered)
      this.dispatchEvent(new CustomEvent("change", { detail }));
  }

  /** @param {string} name */
  #tell(name) {
    this.dispatchEvent(new Event(name));
  }
}

/** A section comes with its parts, which have their own place here. */
function bare(/** @type {any} */ { parts: _, ...node }) {
  return /** @type {DraftNode} */ (node);
}
