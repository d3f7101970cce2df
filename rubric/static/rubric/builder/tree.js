/**
 * A draft as nodes and their order, and what a change does to it: here at once, on the
 * server later. Nodes and lists are never changed, only replaced, so that what is still
 * the same object needs no drawing.
 *
 * @typedef {Record<string, any>} Values the keys that a rubric file has there
 * @typedef {"sheet" | "section" | "element" | "grid" | "rule"} Kind
 * @typedef {{id: string, kind: Kind, version: number, changed: Record<string, number>,
 *   by: string, fields: Values}} DraftNode
 * @typedef {{nodes: Map<string, DraftNode>, order: Map<string, string[]>}} Tree the order
 *   by list: "sections", "rules", and the parts of each section by its id
 * @typedef {{id: string, act: "set" | "add" | "move" | "remove", node: string,
 *   base?: number, fields?: Values, kind?: Kind, in?: string, after?: string | null,
 *   parts?: Piece[]}} Change
 * @typedef {{id: string, kind: Kind, fields: Values}} Piece
 */

import { renamed } from "./renaming.js";

/** @param {any} draft as the server writes it @returns {Tree} */
export function treeOf(draft) {
  const nodes = new Map([[draft.sheet.id, draft.sheet]]);
  const order = new Map([
    ["sections", draft.sections.map(take)],
    ["rules", draft.rules.map(take)],
  ]);
  for (const section of draft.sections) order.set(section.id, section.parts.map(take));
  return { nodes, order };

  /** @param {any} node */
  function take({ parts: _, ...node }) {
    nodes.set(node.id, node);
    return node.id;
  }
}

/**
 * The tree after a change; the same tree where the change has nothing to act on.
 * @param {Tree} tree
 * @param {Change} change
 * @returns {Tree}
 */
export function applied(tree, change) {
  switch (change.act) {
    case "set":
      return set(tree, change);
    case "add":
      return tree.nodes.has(change.node) ? tree : add(tree, change);
    case "move":
      return tree.nodes.has(change.node) ? move(tree, change) : tree;
    default:
      return remove(tree, change.node);
  }
}

/** The list that holds the node. @param {Tree} tree @param {string} id */
export function listOf(tree, id) {
  for (const [name, ids] of tree.order) if (ids.includes(id)) return name;
  return null;
}

/** What stands before the node in its list. @param {Tree} tree @param {string} id */
export function before(tree, id) {
  const ids = tree.order.get(listOf(tree, id) ?? "") ?? [];
  return ids[ids.indexOf(id) - 1] ?? null;
}

/** @param {Tree} tree @param {string} list @returns {DraftNode[]} */
export function inList(tree, list) {
  const nodes = (tree.order.get(list) ?? []).map((id) => tree.nodes.get(id));
  return /** @type {DraftNode[]} */ (nodes.filter(Boolean));
}

/**
 * The ids of the nodes that differ, and the names of the lists that do.
 * @param {Tree} a
 * @param {Tree} b
 */
export function differences(a, b) {
  const nodes = new Set(
    [...b.nodes].filter(([id, n]) => a.nodes.get(id) !== n).map(([id]) => id),
  );
  const lists = [...b.order].filter(([name, ids]) => a.order.get(name) !== ids);
  return { nodes, isReordered: lists.length > 0 || a.order.size !== b.order.size };
}

/** @param {Tree} tree @param {Change} change */
function set(tree, { node: id, fields = {} }) {
  const node = tree.nodes.get(id);
  if (!node) return tree;
  const values = { ...node.fields, ...fields };
  for (const [name, value] of Object.entries(fields))
    if (value === null) delete values[name];
  const nodes = new Map(tree.nodes).set(id, { ...node, fields: values });
  if (node.kind === "element" || node.kind === "grid")
    if (node.fields.key && values.key && values.key !== node.fields.key)
      for (const rule of inList(tree, "rules")) {
        const isGrid = node.kind === "grid";
        const follows = renamed(rule.fields, node.fields.key, values.key, isGrid);
        if (follows) nodes.set(rule.id, { ...rule, fields: follows });
      }
  return { ...tree, nodes };
}

/** @param {Tree} tree @param {Change} change */
function add(tree, change) {
  const list = change.in ?? "";
  if (!tree.order.has(list)) return tree;
  const nodes = new Map(tree.nodes);
  const order = new Map(tree.order);
  const kind = change.kind ?? "element";
  nodes.set(change.node, fresh(change.node, kind, change.fields ?? {}));
  order.set(list, placed(tree.order.get(list) ?? [], change));
  if (kind === "section") {
    const parts = change.parts ?? [];
    for (const part of parts)
      nodes.set(part.id, fresh(part.id, part.kind, part.fields));
    order.set(
      change.node,
      parts.map((part) => part.id),
    );
  }
  return { nodes, order };
}

/** @param {string} id @param {Kind} kind @param {Values} fields @returns {DraftNode} */
function fresh(id, kind, fields) {
  return { id, kind, version: 0, changed: {}, by: "", fields };
}

/** @param {Tree} tree @param {Change} change */
function move(tree, change) {
  const from = listOf(tree, change.node);
  const to = change.in ?? "";
  if (from === null || !tree.order.has(to)) return tree;
  const order = new Map(tree.order);
  const left = (order.get(from) ?? []).filter((id) => id !== change.node);
  order.set(from, left);
  order.set(to, placed(order.get(to) ?? [], change));
  return { ...tree, order };
}

/** @param {Tree} tree @param {string} id */
function remove(tree, id) {
  const list = listOf(tree, id);
  if (list === null) return tree;
  const nodes = new Map(tree.nodes);
  const order = new Map(tree.order);
  nodes.delete(id);
  order.set(
    list,
    (order.get(list) ?? []).filter((other) => other !== id),
  );
  for (const part of order.get(id) ?? []) nodes.delete(part);
  order.delete(id);
  return { nodes, order };
}

/** After the node named, first for null, last where that one is gone. */
function placed(/** @type {string[]} */ ids, /** @type {Change} */ { node, after }) {
  const at = after ? ids.indexOf(after) + 1 || ids.length : 0;
  return [...ids.slice(0, at), node, ...ids.slice(at)];
}
