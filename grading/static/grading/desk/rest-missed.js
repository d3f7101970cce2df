/**
 * Marks all still open as missed, after showing what that is, criticals first; one undo
 * brings all of it back. Elements with levels stay open: their lowest word is a judgement.
 *
 *   <rest-missed><button>…</button><dialog><form method="dialog">…<div data-list></div>
 *     <button value="yes">…</button></form></dialog></rest-missed>
 */

import { find, make } from "./markup.js";

/** @typedef {import("./desk.js").MarkingDesk} Desk */

export class RestMissed extends HTMLElement {
  /** @type {Desk | null} */
  #desk = null;

  /** @param {Desk} desk */
  begin(desk) {
    this.#desk = desk;
    const { signal } = desk;
    const dialog = find(this, "dialog", HTMLDialogElement);
    this.hidden = false;
    find(this, "button", HTMLButtonElement).addEventListener(
      "click",
      () => this.#ask(),
      {
        signal,
      },
    );
    dialog.addEventListener(
      "close",
      () => {
        if (dialog.returnValue === "yes") this.#mark();
        else desk.sheet.refocus();
      },
      { signal },
    );
    const draw = () => {
      find(this, "button", HTMLButtonElement).disabled = !this.#open().length;
    };
    desk.sheet.addEventListener("move", draw, { signal });
    draw();
  }

  #open() {
    const { sheet } = /** @type {Desk} */ (this.#desk);
    return sheet.rows.filter((row) => sheet.isOpen(row) && !row.dataset.words);
  }

  #ask() {
    const open = this.#open();
    const criticals = open.filter((row) => "critical" in row.dataset);
    const others = open.filter((row) => !("critical" in row.dataset));
    const parts = [];
    if (criticals.length)
      parts.push(make("h3", {}, `Critical (${criticals.length})`), list(criticals));
    if (others.length)
      parts.push(make("h3", {}, `Others (${others.length})`), list(others));
    parts.push(
      make(
        "p",
        { class: "soft small" },
        "Elements with levels and the global rating stay open.",
      ),
    );
    find(this, "[data-list]", HTMLElement).replaceChildren(...parts);
    const dialog = find(this, "dialog", HTMLDialogElement);
    dialog.returnValue = "";
    dialog.showModal();
    find(this, ".primary", HTMLButtonElement).focus();
  }

  #mark() {
    const open = this.#open();
    const value = { state: "missed", at: null, speed: null };
    this.#desk?.act(
      `${open.length} marked missed`,
      open.map((row) => ({ target: row.dataset.target ?? "", value })),
    );
    this.#desk?.say(`${open.length} marked missed.`);
    this.#desk?.sheet.goOn();
  }
}

/** @param {HTMLElement[]} rows */
function list(rows) {
  return make("ul", {}, ...rows.map((row) => make("li", {}, row.dataset.name ?? "")));
}

customElements.define("rest-missed", RestMissed);
