/**
 * What a rule says after a renaming.
 *
 * @typedef {Record<string, any>} Values
 */

export const SELECTORS = ["of", "first", "then"];

/**
 * A rule's fields after a part has another key; null where the rule does not name it.
 * What begins with the key of a grid follows too.
 * @param {Values} fields
 * @param {string} from
 * @param {string} to
 * @param {boolean} isGrid
 */
export function renamed(fields, from, to, isGrid) {
  return rewritten(fields, (selector) => {
    if (selector === from) return to;
    const isBelow = isGrid && selector.startsWith(`${from}.`);
    return isBelow ? to + selector.slice(from.length) : selector;
  });
}

/** @param {Values} fields @param {(selector: string) => string} way */
function rewritten(fields, way) {
  /** @type {Values} */
  const changed = {};
  for (const name of SELECTORS) {
    if (!Array.isArray(fields[name])) continue;
    const list = fields[name].map((selector) => way(String(selector)));
    if (list.some((selector, n) => selector !== fields[name][n])) changed[name] = list;
  }
  return Object.keys(changed).length ? { ...fields, ...changed } : null;
}
