/**
 * What the server says of the draft: findings, weights, what changed since the last
 * edition. Its links lead to their place, its mends are changes like any other.
 *
 *   <side-panel><section>…</section></side-panel>
 *
 * @typedef {{isMust: boolean, node: string, key: string, words: string}} Finding
 */

import { findAll } from "../../accounts/markup.js";

export class SidePanel extends HTMLElement {
  /** @type {(node: string, key: string) => void} */
  goTo = () => {};
  /** @type {(node: string, fields: Record<string, any>, words: string) => void} */
  mend = () => {};

  connectedCallback() {
    this.addEventListener("click", (event) => this.#clicked(event));
  }

  /** @param {string} html from our own server */
  show(html) {
    const made = document.createElement("template");
    made.innerHTML = html;
    const old = [...this.children];
    const parts = [...made.content.children];
    const at = document.activeElement;
    const held = at instanceof HTMLElement && this.contains(at) ? said(at) : null;
    const open = new Set(opened(this));
    for (const details of opened(made.content, false))
      if (open.has(summary(details))) details.open = true;
    const isSame =
      parts.length === old.length && parts.every((p, n) => p.isEqualNode(old[n]));
    if (isSame) return;
    this.replaceChildren(...parts);
    if (held === null) return;
    const again = findAll(this, "a, button", HTMLElement).find((e) => said(e) === held);
    (again ?? this).focus();
  }

  /** @returns {Finding[]} */
  get findings() {
    return findAll(this, "[data-finding]", HTMLElement).map((item) => ({
      isMust: item.dataset.finding === "must",
      node: item.dataset.node ?? "",
      key: item.dataset.key ?? "",
      words: item.querySelector("[data-words]")?.textContent?.trim() ?? "",
    }));
  }

  /** @param {Event} event */
  #clicked(event) {
    const { target } = event;
    const found = target instanceof Element ? target.closest("a, button") : null;
    if (!(found instanceof HTMLElement) || !found.dataset.node) return;
    event.preventDefault();
    const { node, key = "", mend } = found.dataset;
    const words = found.firstChild?.textContent?.trim() ?? "";
    if (mend) this.mend(node, JSON.parse(mend), words);
    else this.goTo(node, key);
  }
}

/** What tells a link or button from the others. @param {HTMLElement} element */
function said(element) {
  return JSON.stringify([element.dataset, element.textContent]);
}

/** @param {ParentNode} root @returns {any[]} */
function opened(root, areOpen = true) {
  const all = findAll(root, "details", HTMLDetailsElement);
  return areOpen ? all.filter((d) => d.open).map(summary) : all;
}

/** @param {HTMLDetailsElement} details */
function summary(details) {
  return details.querySelector("summary")?.firstChild?.textContent ?? "";
}

customElements.define("side-panel", SidePanel);
