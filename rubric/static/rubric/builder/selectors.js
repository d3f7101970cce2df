/**
 * Keys and selectors as a rubric file has them: the elements of a draft with grids
 * expanded, which of them a selector holds, and what a rule says after a renaming.
 *
 * @typedef {import("./tree.js").Tree} Tree
 * @typedef {import("./tree.js").Values} Values
 * @typedef {{key: string, text: string, node: string, path: string[]}} Cell an element;
 *   path: the words of each part of its key that the draft itself has words for
 */

import { inList } from "./tree.js";

export const AXES = /** @type {const} */ ([
  ["site", "sites"],
  ["side", "sides"],
  ["instrument", "instruments"],
]);
const WORD = /[\p{L}\p{M}\p{Nd}]+/gu;

/** The part of a key that a site, side or instrument gives. @param {string} name */
export function axisKey(name) {
  return String(name).normalize("NFC").toLowerCase().trim().replaceAll(" ", "-");
}

/** A key's part made of the first words of a text. @param {string} text */
export function keyFrom(text, words = 4) {
  const plain = text.replace(/\{[^}]*\}?/g, " ").normalize("NFC");
  return (plain.toLowerCase().match(WORD) ?? []).slice(0, words).join("-");
}

/** The key, or with a number where it is taken. @param {string} key @param {Set<string>} taken */
export function unused(key, taken) {
  for (let n = 2, tried = key; ; n += 1) {
    if (!taken.has(tried)) return tried;
    tried = `${key}-${n}`;
  }
}

/** @param {Values} grid @returns {string[][]} the names of its axes that it has */
export function axesOf(grid) {
  return AXES.map(([, list]) => (Array.isArray(grid[list]) ? grid[list] : []))
    .map((names, n) => (n && !names.length ? [] : names.map(String)))
    .filter((names, n) => n === 0 || names.length);
}

/** How many elements a grid has. @param {Values} grid */
export function sizeOf(grid) {
  return axesOf(grid).reduce((size, names) => size * names.length, 1);
}

/**
 * A grid's elements in their order: site by site, then side, then instrument.
 * @param {Values} grid
 * @returns {{key: string, text: string, names: string[]}[]}
 */
export function cellsOf(grid) {
  /** @type {string[][]} */
  let rows = [[]];
  for (const names of axesOf(grid))
    rows = rows.flatMap((row) => names.map((name) => [...row, name]));
  const held = AXES.filter(([, list], n) => n === 0 || grid[list]?.length);
  return rows.map((names) => ({
    key: [grid.key ?? "", ...names.map(axisKey)].join("."),
    text: held.reduce(
      (text, [axis], n) => text.replaceAll(`{${axis}}`, names[n]),
      String(grid.text ?? ""),
    ),
    names,
  }));
}

/** Every element of the draft, in exam order. @param {Tree} tree @returns {Cell[]} */
export function elementsOf(tree) {
  return inList(tree, "sections").flatMap((section) =>
    inList(tree, section.id).flatMap(({ id, kind, fields }) => {
      const text = String(fields.text ?? "");
      const head = String(section.fields.title ?? "");
      if (kind === "element")
        return [{ key: String(fields.key ?? ""), text, node: id, path: [head] }];
      return cellsOf(fields).map((cell) => ({
        ...cell,
        node: id,
        path: [head, text, ...cell.names],
      }));
    }),
  );
}

/** @param {string} selector @param {string} key */
export function holds(selector, key) {
  return selector.endsWith(".*")
    ? key.startsWith(selector.slice(0, -1))
    : key === selector;
}

/** The elements that any of the selectors holds. @param {Cell[]} cells @param {any} selectors */
export function held(cells, selectors) {
  const wanted = Array.isArray(selectors) ? selectors.map(String) : [];
  return cells.filter(({ key }) => wanted.some((selector) => holds(selector, key)));
}
