/** Making and finding pieces of a page. */

/**
 * @template {string} K
 * @param {K} tag
 * @param {Record<string, string>} [attributes]
 * @param {...(Node | string)} children
 * @returns {K extends keyof HTMLElementTagNameMap ? HTMLElementTagNameMap[K] : HTMLElement}
 */
export function make(tag, attributes = {}, ...children) {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes))
    element.setAttribute(name, value);
  element.append(...children);
  return /** @type {any} */ (element);
}

/**
 * @template {Element} T
 * @param {ParentNode} root
 * @param {string} selector
 * @param {new (...args: any[]) => T} kind
 * @returns {T}
 */
export function find(root, selector, kind) {
  const found = root.querySelector(selector);
  if (!(found instanceof kind)) throw new Error(`the page has no ${selector}`);
  return found;
}

/**
 * @template {Element} T
 * @param {ParentNode} root
 * @param {string} selector
 * @param {new (...args: any[]) => T} kind
 * @returns {T[]}
 */
export function findAll(root, selector, kind) {
  const found = [...root.querySelectorAll(selector)];
  return /** @type {T[]} */ (found.filter((element) => element instanceof kind));
}
