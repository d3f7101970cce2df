/**
 * The levels of an element, lowest first: each a label and its share of the points.
 *
 *   <level-list data-node="p1" data-path="levels"></level-list>
 */

import { findAll, make } from "../../accounts/markup.js";
import { control, show } from "./controls.js";

/** @typedef {import("./tree.js").DraftNode} DraftNode */

const MOST = 7;

export class LevelList extends HTMLElement {
  #rows = make("ol");
  #add = make("button", { type: "button", class: "plain" }, "add a level");
  /** @type {any[]} */
  #levels = [];

  /** Shown before it is on the page, so made then. */
  #make() {
    if (this.firstChild) return;
    this.append(this.#rows, this.#add);
    this.addEventListener("click", (event) => this.#clicked(event));
  }

  /** @param {DraftNode} node */
  show(node) {
    this.#make();
    this.#levels = Array.isArray(node.fields.levels) ? node.fields.levels : [];
    const rows = [...this.#rows.children];
    for (const row of rows.slice(this.#levels.length)) row.remove();
    for (let n = rows.length; n < this.#levels.length; n += 1)
      this.#rows.append(this.#row(node.id, n));
    this.#add.textContent = this.#levels.length ? "add a level" : "mark it by levels";
    this.#add.hidden = this.#levels.length >= MOST;
    show(this.#rows, node);
  }

  /** @param {string} node @param {number} n */
  #row(node, n) {
    const at = `level ${n + 1}`;
    const label = {
      node,
      path: `levels.${n}.label`,
      as: /** @type {const} */ ("word"),
    };
    const credit = {
      node,
      path: `levels.${n}.credit`,
      as: /** @type {const} */ ("number"),
    };
    return make(
      "li",
      {},
      control({ ...label, label: `Words of ${at}`, hint: "what is seen" }),
      control({ ...credit, label: `Credit of ${at}, 0 to 1`, low: 0, high: 1 }),
      act("up", n, `Move ${at} up`, "↑"),
      act("down", n, `Move ${at} down`, "↓"),
      act("out", n, `Take ${at} out`, "×"),
    );
  }

  /** @param {Event} event */
  #clicked(event) {
    const { target } = event;
    if (!(target instanceof HTMLButtonElement)) return;
    const levels = [...this.#levels];
    const at = Number(target.dataset.at);
    const way = target.dataset.way ?? "add";
    let to = at;
    if (way === "add") {
      if (levels.length) levels.push({ label: "", credit: "1" });
      else levels.push({ label: "", credit: "0" }, { label: "", credit: "1" });
      to = this.#levels.length;
    } else if (way === "out") {
      levels.splice(at, 1);
      to = Math.max(0, at - 1);
    } else {
      to = at + (way === "up" ? -1 : 1);
      if (to < 0 || to >= levels.length) return;
      levels.splice(to, 0, ...levels.splice(at, 1));
    }
    const detail = { fields: { levels: levels.length ? levels : null }, merge: "" };
    this.dispatchEvent(new CustomEvent("edit", { bubbles: true, detail }));
    const wanted = way === "add" ? "input" : `[data-way="${way}"]`;
    const row = this.#rows.children[to];
    const found = row ? findAll(row, wanted, HTMLElement)[0] : this.#add;
    found?.focus();
  }
}

/** @param {string} way @param {number} n @param {string} label @param {string} sign */
function act(way, n, label, sign) {
  const data = { "data-way": way, "data-at": String(n) };
  return make("button", { type: "button", "aria-label": label, ...data }, sign);
}

customElements.define("level-list", LevelList);
