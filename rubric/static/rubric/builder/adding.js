/**
 * New parts, sections and rules, each one step of undo.
 *
 * @typedef {import("./tree.js").Tree} Tree
 * @typedef {import("./tree.js").Values} Values
 * @typedef {import("./history.js").Act} Act
 * @typedef {import("./history.js").Wish} Wish
 */

import { headOf, keysOf, newId } from "./new-keys.js";
import { keyFrom, unused } from "./selectors.js";
import { listOf } from "./tree.js";

const WORDS = { element: "an element", grid: "a site grid" };

/**
 * A new part after a node, or first in a section.
 * @param {Tree} tree
 * @param {string} at a part or a section
 * @param {"element" | "grid"} kind
 * @returns {Act | null}
 */
export function partAdded(tree, at, kind) {
  const isSection = tree.nodes.get(at)?.kind === "section";
  const section = isSection ? at : listOf(tree, at);
  if (!section) return null;
  const node = newId(kind);
  const last = tree.nodes.get(at)?.fields.technique;
  const technique = isSection ? "perform" : (last ?? "perform");
  const fields = {
    text: "",
    technique,
    points: "1",
    key: unused(`${headOf(tree, section)}.new`, keysOf(tree)),
    ...(kind === "grid" && { sites: [] }),
  };
  const after = isSection ? null : at;
  return {
    label: `added ${WORDS[kind]}`,
    focus: node,
    wishes: [{ act: "add", node, kind, in: section, after, fields }],
  };
}

/** @param {Tree} tree @param {string | null} after @returns {Act} */
export function sectionAdded(tree, after) {
  const node = newId("section");
  const fields = { title: "", key: unused("section", keysOf(tree)) };
  const wish = { node, after, in: "sections", fields };
  return {
    label: "added a section",
    focus: node,
    wishes: [{ act: "add", kind: "section", ...wish, parts: [] }],
  };
}

const RULE_FIELDS = /** @type {Record<string, Values>} */ ({
  at_least: { count: "1", of: [] },
  // biome-ignore lint/suspicious/noThenProperty: so the file format calls it
  before: { first: [], then: [] },
  hazard: {},
  within: { minutes: "20" },
});

/** @param {Tree} tree @param {string} kind @param {string | null} after @returns {Act} */
export function ruleAdded(tree, kind, after) {
  const node = newId("rule");
  const own = { kind, effect: "flag", text: "", ...RULE_FIELDS[kind] };
  const key = unused(`rule-${kind.replace("_", "-")}`, keysOf(tree));
  return {
    label: "added a rule",
    focus: node,
    wishes: [
      {
        act: "add",
        kind: "rule",
        node,
        in: "rules",
        after,
        fields: { ...own, key },
      },
    ],
  };
}

/**
 * Rows that were read from pasted lines, as elements after a node or at a section's end.
 * A row with a title begins a section, which takes the rows that follow.
 * @param {Tree} tree
 * @param {string} section
 * @param {string | null} after
 * @param {Values[]} rows
 * @returns {Act}
 */
export function taken(tree, section, after, rows) {
  const keys = keysOf(tree);
  let last = after;
  let within = section;
  let head = headOf(tree, section);
  let isNew = false;
  const wishes = rows.map((fields) => {
    if (fields.title !== undefined) {
      const node = newId("section");
      head = unused(keyFrom(String(fields.title)) || "section", keys);
      keys.add(head);
      const wish = { node, in: "sections", after: within, parts: [] };
      [within, last, isNew] = [node, null, true];
      const own = { title: fields.title, key: head };
      return /** @type {Wish} */ ({
        act: "add",
        kind: "section",
        ...wish,
        fields: own,
      });
    }
    const node = newId("element");
    const own = String(fields.key ?? keyFrom(String(fields.text ?? ""))) || "new";
    const name = isNew ? own.slice(own.indexOf(".") + 1) : own;
    const key = unused(name.includes(".") ? name : `${head}.${name}`, keys);
    keys.add(key);
    const wish = { node, in: within, after: last, fields: { ...fields, key } };
    last = node;
    return /** @type {Wish} */ ({ act: "add", kind: "element", ...wish });
  });
  const label = rows.length === 1 ? "added 1 line" : `added ${rows.length} lines`;
  return { label, focus: wishes[0]?.node ?? section, wishes };
}
