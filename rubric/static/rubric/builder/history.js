/**
 * Undo and redo of all that was done at this page, without limit while it is open. Each
 * act keeps the changes that make it and those that take it back.
 *
 * @typedef {import("./tree.js").Tree} Tree
 * @typedef {Omit<import("./tree.js").Change, "id">} Wish a change not yet made
 * @typedef {{label: string, focus: string, wishes: Wish[]}} Act
 * @typedef {Act & {back: Wish[], merge: string}} Done
 */

import { applied, before, inList, listOf } from "./tree.js";
import { same } from "./values.js";

export class History {
  /** @type {Done[]} */
  #done = [];
  /** @type {Done[]} */
  #undone = [];

  get canUndo() {
    return this.#done.length > 0;
  }

  get canRedo() {
    return this.#undone.length > 0;
  }

  /**
   * Keeps an act that is about to be done; typing on in one field stays one act.
   * @param {Tree} tree as it is before
   * @param {Act} act
   * @param {string} [merge] the same for acts that are one
   */
  add(tree, act, merge = "") {
    this.#undone = [];
    const last = this.#done.at(-1);
    if (merge && last?.merge === merge) {
      const fields = { ...last.wishes[0].fields, ...act.wishes[0].fields };
      const old = { ...inverse(tree, act.wishes[0]).fields, ...last.back[0].fields };
      last.wishes = [{ ...last.wishes[0], fields }];
      last.back = [{ ...last.back[0], fields: old }];
      if (same(fields, old)) this.#done.pop();
      return;
    }
    const back = [];
    let now = tree;
    for (const wish of act.wishes) {
      back.unshift(inverse(now, wish));
      now = applied(now, { ...wish, id: "" });
    }
    this.#done.push({ ...act, back, merge });
  }

  /** What is typed next is an act of its own. */
  close() {
    const last = this.#done.at(-1);
    if (last) last.merge = "";
  }

  /** What takes the last act back, given what stands now. @param {Tree} tree */
  undo(tree) {
    return turn(this.#done, this.#undone, tree, "wishes", "back");
  }

  /** @param {Tree} tree */
  redo(tree) {
    return turn(this.#undone, this.#done, tree, "back", "wishes");
  }
}

/**
 * Fields that somebody else changed since are left as they are, and named in `kept`.
 * @param {Done[]} from
 * @param {Done[]} to
 * @param {Tree} tree
 * @param {"wishes" | "back"} made what made it as it is
 * @param {"wishes" | "back"} way
 */
function turn(from, to, tree, made, way) {
  const act = from.pop();
  if (!act) return null;
  to.push({ ...act, merge: "" });
  /** @type {string[]} */
  const kept = [];
  const wishes = [];
  for (const wish of act[way]) {
    if (wish.act !== "set") {
      wishes.push(wish);
      continue;
    }
    const now = tree.nodes.get(wish.node)?.fields ?? {};
    const ours = act[made]
      .filter(({ node, act }) => act === "set" && node === wish.node)
      .at(-1);
    const fields = Object.entries(wish.fields ?? {}).filter(([name]) => {
      const isOurs =
        !ours || same(now[name] ?? null, /** @type {any} */ (ours.fields)[name]);
      if (!isOurs) kept.push(name);
      return isOurs;
    });
    if (fields.length) wishes.push({ ...wish, fields: Object.fromEntries(fields) });
  }
  return { label: act.label, focus: act.focus, wishes, kept };
}

/** @param {Tree} tree @param {Wish} wish @returns {Wish} */
function inverse(tree, wish) {
  const { node: id } = wish;
  const node = tree.nodes.get(id);
  const place = { in: listOf(tree, id) ?? "", after: before(tree, id) };
  if (wish.act === "add") return { act: "remove", node: id };
  if (wish.act === "move") return { act: "move", node: id, ...place };
  if (wish.act === "set") {
    const names = Object.keys(wish.fields ?? {});
    const old = names.map((name) => [name, node?.fields[name] ?? null]);
    return { act: "set", node: id, fields: Object.fromEntries(old) };
  }
  const parts = inList(tree, id).map(({ id, kind, fields }) => ({ id, kind, fields }));
  return {
    act: "add",
    node: id,
    ...place,
    kind: node?.kind,
    fields: node?.fields,
    ...(node?.kind === "section" && { parts }),
  };
}
