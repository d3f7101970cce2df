/**
 * What the elements of a grid weigh: points for each, or points that all of them share.
 *
 *   <points-choice data-node="g1" data-path="points"></points-choice>
 */

import { make } from "../../accounts/markup.js";
import { faultOf, settle } from "./controls.js";

/** @typedef {import("./tree.js").DraftNode} DraftNode */

export class PointsChoice extends HTMLElement {
  #amount = make("input", {
    type: "text",
    inputmode: "decimal",
    "data-as": "number",
    "data-low": "0",
    "data-high": "10000",
    "aria-label": "Points",
  });
  #way = make(
    "select",
    { "aria-label": "Points are for each element or shared" },
    make("option", { value: "points" }, "each"),
    make("option", { value: "points_shared" }, "shared"),
  );

  /** Shown before it is on the page, so made then. */
  #make() {
    if (this.firstChild) return;
    this.append(this.#amount, this.#way);
    this.addEventListener("input", (event) => this.#changed(event));
    this.addEventListener("change", (event) => event.stopPropagation());
  }

  /** @param {DraftNode} node */
  show({ fields }) {
    this.#make();
    const isShared = "points_shared" in fields && !("points" in fields);
    this.#way.value = isShared ? "points_shared" : "points";
    const amount = String((isShared ? fields.points_shared : fields.points) ?? "");
    if (document.activeElement !== this.#amount) this.#amount.value = amount;
    settle(this.#amount);
  }

  get fault() {
    return faultOf(this.#amount);
  }

  /** @param {Event} event */
  #changed(event) {
    event.stopPropagation();
    const other = this.#way.value === "points" ? "points_shared" : "points";
    const amount = this.#amount.value.trim();
    const fields = { [this.#way.value]: amount || null, [other]: null };
    const detail = { fields, merge: event.target === this.#amount ? "points" : "" };
    this.dispatchEvent(new CustomEvent("edit", { bubbles: true, detail }));
  }
}

customElements.define("points-choice", PointsChoice);
