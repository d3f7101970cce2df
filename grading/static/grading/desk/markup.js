/** Small pieces of HTML that several parts of the desk draw. */

import { findAll, make } from "../../accounts/markup.js";

export { find, findAll, make } from "../../accounts/markup.js";

const SVG = "http://www.w3.org/2000/svg";

export const WORDS = /** @type {Record<string, string>} */ ({
  done: "done",
  partly: "partly",
  said: "said only",
  missed: "missed",
  unseen: "not seen",
  excused: "excused",
  open: "open",
});

/**
 * @param {string} tag
 * @param {Record<string, string | number>} [attributes]
 * @param {...(Node | string)} children
 */
export function draw(tag, attributes = {}, ...children) {
  const element = document.createElementNS(SVG, tag);
  for (const [name, value] of Object.entries(attributes))
    element.setAttribute(name, String(value));
  element.append(...children);
  return element;
}

/**
 * The sign of a state; a level shows its digit. Its word must stand beside it.
 * @param {string} glyphs address of the file of symbols
 * @param {string} state
 * @param {number | null} [level]
 */
export function glyph(glyphs, state, level = null) {
  if (level)
    return make("span", { class: "level", "aria-hidden": "true" }, String(level));
  return draw(
    "svg",
    { class: `glyph ${state}`, "aria-hidden": "true" },
    draw("use", { href: `${glyphs}#${state}` }),
  );
}

/** @param {string} key */
export function kbd(key) {
  return make("kbd", {}, key);
}

/**
 * Puts new children in place, unless they are the same already: a save's answer must not
 * take the focus, or what is being typed, from under the person's hands.
 * @param {Element} root
 * @param {...Element} children
 */
export function redraw(root, ...children) {
  const old = [...root.children];
  if (old.length === children.length && children.every((c, i) => c.isEqualNode(old[i])))
    return;
  const at = document.activeElement;
  const held = at instanceof HTMLElement && root.contains(at) ? said(at) : "";
  const typed = findAll(root, "input", HTMLInputElement)
    .filter((field) => field.value !== field.defaultValue)
    .map((field) => /** @type {[string, string]} */ ([said(field), field.value]));
  root.replaceChildren(...children);
  for (const field of findAll(root, "input", HTMLInputElement))
    field.value = new Map(typed).get(said(field)) ?? field.value;
  if (!held) return;
  const same = findAll(root, at?.tagName ?? "", HTMLElement).filter(
    (e) => said(e) === held,
  );
  same[0]?.focus();
}

/** @param {HTMLElement} element what tells it from others of its kind */
function said(element) {
  return JSON.stringify(element.dataset);
}
