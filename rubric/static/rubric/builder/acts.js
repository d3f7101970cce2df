/**
 * What can be done to a draft beyond changing a field: each is one step of undo, named,
 * with the node that is to have the focus after it. Null where there is nothing to do.
 *
 * @typedef {import("./tree.js").Tree} Tree
 * @typedef {import("./tree.js").DraftNode} DraftNode
 * @typedef {import("./tree.js").Kind} Kind
 * @typedef {import("./history.js").Act} Act
 */

import { keysOf, newId } from "./new-keys.js";
import { cellsOf, unused } from "./selectors.js";
import { before, inList, listOf } from "./tree.js";

/** @param {Tree} tree @param {string} id @returns {Act | null} */
export function duplicated(tree, id) {
  const node = tree.nodes.get(id);
  const list = listOf(tree, id);
  if (!node || !list) return null;
  const taken = keysOf(tree);
  const copy = copied(node, taken);
  const wish = { node: copy.id, kind: copy.kind, in: list, after: id };
  const parts = inList(tree, id).map((part) => copied(part, taken));
  return {
    label: `duplicated ${named(node)}`,
    focus: copy.id,
    wishes: [
      {
        act: "add",
        ...wish,
        fields: copy.fields,
        ...(node.kind === "section" && { parts }),
      },
    ],
  };
}

/** @param {DraftNode} node @param {Set<string>} taken */
function copied({ kind, fields }, taken) {
  const key = unused(String(fields.key ?? "copy"), taken);
  taken.add(key);
  if (kind === "grid")
    for (const cell of cellsOf({ ...fields, key })) taken.add(cell.key);
  return { id: newId(kind), kind, fields: { ...fields, key } };
}

/**
 * One place up or down; at the edge of a section, into the next one.
 * @param {Tree} tree
 * @param {string} id
 * @param {-1 | 1} by
 * @returns {Act | null}
 */
export function stepped(tree, id, by) {
  const list = listOf(tree, id);
  const node = tree.nodes.get(id);
  if (!list || !node) return null;
  const ids = tree.order.get(list) ?? [];
  const at = ids.indexOf(id);
  const label = `moved ${named(node)} ${by < 0 ? "up" : "down"}`;
  const target = at + by;
  if (target >= 0 && target < ids.length) {
    const after = by < 0 ? (ids[at - 2] ?? null) : ids[at + 1];
    return { label, focus: id, wishes: [{ act: "move", node: id, in: list, after }] };
  }
  const sections = tree.order.get("sections") ?? [];
  const next = sections[sections.indexOf(list) + by];
  if (!sections.includes(list) || !next) return null;
  return movedTo(tree, id, next, by > 0);
}

/** @param {Tree} tree @param {string} id @param {string} section @returns {Act | null} */
export function movedTo(tree, id, section, isFirst = false) {
  const node = tree.nodes.get(id);
  const parts = tree.order.get(section);
  if (!node || !parts) return null;
  const title = String(tree.nodes.get(section)?.fields.title ?? "");
  const after = isFirst ? null : (parts.at(-1) ?? null);
  return {
    label: `moved ${named(node)} into ${title || "a section"}`,
    focus: id,
    wishes: [{ act: "move", node: id, in: section, after }],
  };
}

/** @param {Tree} tree @param {string} id @returns {Act | null} */
export function removed(tree, id) {
  const node = tree.nodes.get(id);
  const list = listOf(tree, id);
  if (!node || !list) return null;
  const ids = tree.order.get(list) ?? [];
  const next = ids[ids.indexOf(id) + 1] ?? before(tree, id) ?? list;
  return {
    label: `removed ${named(node)}`,
    focus: next,
    wishes: [{ act: "remove", node: id }],
  };
}

/** What a person calls the node. @param {DraftNode} node */
export function named({ kind, fields }) {
  const words = String(fields.title ?? fields.text ?? "").trim();
  if (!words)
    return kind === "grid"
      ? "a site grid"
      : `${kind === "element" ? "an" : "a"} ${kind}`;
  return `“${words.length > 60 ? `${words.slice(0, 57)}…` : words}”`;
}
