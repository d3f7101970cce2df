/**
 * Elements into a site grid and out of it. Each is one step of undo; rules that name the
 * elements follow them.
 *
 * @typedef {import("./tree.js").Tree} Tree
 * @typedef {import("./tree.js").Values} Values
 * @typedef {import("./history.js").Act} Act
 * @typedef {import("./history.js").Wish} Wish
 */

import { named } from "./acts.js";
import { newId } from "./new-keys.js";
import { renamed, SELECTORS } from "./renaming.js";
import { AXES, axisKey, cellsOf, sizeOf } from "./selectors.js";
import { before, inList, listOf } from "./tree.js";

const AXIS_TEXT = "(.+?)";

/** An element becomes a site of the grid above it. @param {Tree} tree @param {string} id @returns {Act | null} */
export function indented(tree, id) {
  const node = tree.nodes.get(id);
  const above = before(tree, id);
  const grid = above ? tree.nodes.get(above) : null;
  if (node?.kind !== "element" || grid?.kind !== "grid") return null;
  const site = siteOf(grid.fields, String(node.fields.text ?? ""));
  if (!site) return null;
  const sites = list(grid.fields.sites);
  const isKnown = sites.some((name) => axisKey(name) === axisKey(site));
  const fields = { sites: isKnown ? sites : [...sites, site] };
  const key = `${grid.fields.key}.${axisKey(site)}`;
  const isOne = sizeOf({ ...grid.fields, sites: [site] }) === 1;
  const follow = rules(tree, (rule) =>
    renamed(rule, String(node.fields.key ?? ""), isOne ? key : `${key}.*`, false),
  );
  return {
    label: `put ${named(node)} into the grid above as the site “${site}”`,
    focus: grid.id,
    wishes: [
      { act: "set", node: grid.id, fields },
      ...follow,
      { act: "remove", node: id },
    ],
  };
}

/** A grid that asks for sites, made of an element. @param {Tree} tree @param {string} id @returns {Act | null} */
export function madeGrid(tree, id) {
  const node = tree.nodes.get(id);
  const section = listOf(tree, id);
  if (node?.kind !== "element" || !section) return null;
  const { levels: _, ...fields } = node.fields;
  const text = String(fields.text ?? "").trim();
  const grid = newId("grid");
  const own = { ...fields, text: `${text}: {site}`, sites: [] };
  const follow = rules(tree, (rule) => asBeginning(rule, String(fields.key ?? "")));
  const wish = { node: grid, in: section, after: before(tree, id), fields: own };
  return {
    label: `made ${named(node)} a site grid`,
    focus: grid,
    wishes: [
      { act: "remove", node: id },
      { act: "add", kind: "grid", ...wish },
      ...follow,
    ],
  };
}

/**
 * The elements of a grid's last site, or of the site named, become elements below it.
 * @param {Tree} tree
 * @param {string} id
 * @param {string} [name]
 * @returns {Act | null}
 */
export function outdented(tree, id, name) {
  const grid = tree.nodes.get(id);
  const section = listOf(tree, id);
  if (grid?.kind !== "grid" || !section) return null;
  const sites = list(grid.fields.sites);
  const site = name ?? sites.at(-1);
  if (site === undefined) return null;
  const left = sites.filter((other) => other !== site);
  const cells = cellsOf({ ...grid.fields, sites: [site] });
  let after = left.length ? id : before(tree, id);
  const wishes = cells.map((cell) => {
    const node = newId("element");
    const fields = elementFields(grid.fields, cell);
    const wish = { node, kind: "element", in: section, after, fields };
    after = node;
    return /** @type {Wish} */ ({ act: "add", ...wish });
  });
  /** @type {Wish} */
  const rest = left.length
    ? { act: "set", node: id, fields: { sites: left } }
    : { act: "remove", node: id };
  return {
    label: `took the site “${site}” out of its grid`,
    focus: left.length ? id : wishes[0].node,
    wishes: [rest, ...wishes],
  };
}

/** The site that the element's words name where they fit the grid's, else its words. */
function siteOf(/** @type {Values} */ grid, /** @type {string} */ text) {
  const pattern = String(grid.text ?? "").replace(/[.*+?^$()|[\]\\]/g, "\\$&");
  const fit = AXES.reduce(
    (made, [axis]) => made.replace(`{${axis}}`, `(?<${axis}>${AXIS_TEXT.slice(1)}`),
    pattern,
  ).replace(/[{}]/g, "\\$&");
  const found = new RegExp(`^${fit}$`, "i").exec(text.trim())?.groups?.site;
  const words = (found ?? text).match(/[\p{L}\p{M}\p{Nd}]+(?:-[\p{L}\p{M}\p{Nd}]+)*/gu);
  return (words ?? []).join(" ");
}

/** @param {Values} grid @param {{key: string, text: string, names: string[]}} cell */
function elementFields(grid, { key, text, names }) {
  const held = AXES.filter(([, axis], n) => n === 0 || grid[axis]?.length);
  const { sites: _, sides: _s, instruments: _i, points_shared: _p, ...kept } = grid;
  const expects = held.reduce(
    (made, [axis], n) => made.replaceAll(`{${axis}}`, names[n]),
    String(grid.expects ?? ""),
  );
  return {
    ...kept,
    key,
    text,
    points: grid.points ?? "1",
    ...(expects && { expects }),
  };
}

/** @param {Values} rule @param {string} key */
function asBeginning(rule, key) {
  return renamed(rule, key, `${key}.*`, false);
}

/** @param {Tree} tree @param {(rule: Values) => Values | null} way @returns {Wish[]} */
function rules(tree, way) {
  return inList(tree, "rules").flatMap(({ id, fields }) => {
    const after = way(fields);
    if (!after) return [];
    const lists = SELECTORS.filter((name) => after[name]).map((name) => [
      name,
      after[name],
    ]);
    return [{ act: "set", node: id, fields: Object.fromEntries(lists) }];
  });
}

/** @param {any} names */
function list(names) {
  return Array.isArray(names) ? names.map(String) : [];
}
