/**
 * Names for what is new: ids of nodes, and keys that nothing has yet.
 *
 * @typedef {import("./tree.js").Tree} Tree
 * @typedef {import("./tree.js").DraftNode} DraftNode
 * @typedef {import("./tree.js").Kind} Kind
 */

import { elementsOf, keyFrom, unused } from "./selectors.js";
import { listOf } from "./tree.js";

/** @param {Kind} kind */
export function newId(kind) {
  return `${kind[0]}${crypto.randomUUID().replaceAll("-", "").slice(0, 12)}`;
}

/** Every key in use: of sections, parts, cells and rules. @param {Tree} tree */
export function keysOf(tree) {
  const own = [...tree.nodes.values()].map(({ fields }) => String(fields.key ?? ""));
  return new Set([...own, ...elementsOf(tree).map(({ key }) => key)]);
}

/**
 * A key that nothing has yet, made of a node's words: below its section's for a part.
 * @param {Tree} tree
 * @param {DraftNode} node
 * @param {string} words
 */
export function newKey(tree, { id, kind, fields }, words) {
  const taken = keysOf(tree);
  taken.delete(String(fields.key ?? ""));
  const own = keyFrom(words) || (kind === "rule" ? "rule" : "new");
  if (kind === "section" || kind === "rule") return unused(own, taken);
  return unused(`${headOf(tree, listOf(tree, id) ?? "")}.${own}`, taken);
}

/** What the keys of a section's parts begin with. @param {Tree} tree @param {string} section */
export function headOf(tree, section) {
  return String(tree.nodes.get(section)?.fields.key ?? "") || "part";
}
