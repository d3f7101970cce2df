/**
 * The keys, and what may be changed about them.
 *
 *   <keys-help><dialog><h2>Keys</h2><div data-body></div></dialog></keys-help>
 */

import { KEYS } from "./keys.js";
import { find, make } from "./markup.js";

/** @typedef {import("./desk.js").MarkingDesk} Desk */
/** @typedef {import("./keys.js").Action} Action */

export class KeysHelp extends HTMLElement {
  /** @type {Desk | null} */
  #desk = null;
  #dialog = find(this, "dialog", HTMLDialogElement);

  /** @param {Desk} desk */
  begin(desk) {
    this.#desk = desk;
    const { signal } = desk;
    this.addEventListener("keydown", (event) => this.#pressed(event), { signal });
    this.addEventListener("click", (event) => this.#clicked(event), { signal });
    this.addEventListener("change", (event) => this.#changed(event), { signal });
    this.#dialog.addEventListener("close", () => desk.sheet.refocus(), { signal });
  }

  open() {
    this.#draw();
    this.#dialog.showModal();
    find(this, "[data-close]", HTMLElement).focus();
  }

  #draw() {
    const { keys } = /** @type {Desk} */ (this.#desk);
    const rows = /** @type {Action[]} */ (Object.keys(KEYS)).map((action) =>
      make(
        "li",
        {},
        make(
          "button",
          {
            type: "button",
            "data-action": action,
            "aria-label": `Change the key for ${KEYS[action].word}`,
          },
          make("kbd", {}, keys.nameOf(action)),
        ),
        ` ${KEYS[action].word}`,
      ),
    );
    const fixed = [
      ["1 to 9", "levels; phrases in the empty comment box"],
      ["arrows", "move; in a site grid, from cell to cell"],
      ["Esc", "back to the sheet"],
    ].map(([key, word]) => make("li", {}, make("kbd", {}, key), ` ${word}`));
    const isOn = make("input", { type: "checkbox", name: "on" });
    isOn.checked = keys.isOn;
    const back = make("input", {
      type: "number",
      name: "back",
      min: "0",
      max: "30",
      step: "0.5",
      placeholder: "2 × speed",
    });
    back.value = keys.setBack === null ? "" : String(keys.setBack);
    find(this, "[data-body]", HTMLElement).replaceChildren(
      make(
        "p",
        { class: "soft small" },
        "They act while the sheet has the focus. Press a key's button, then the new key.",
      ),
      make("p", { role: "status", "data-heard": "" }),
      make("ol", { class: "keys" }, ...rows, ...fixed),
      make("p", {}, make("label", {}, isOn, " Keys are on")),
      make(
        "p",
        {},
        make("label", {}, "Set-back in seconds ", back),
        make(
          "span",
          { class: "soft small" },
          " taken off when a key is pressed, since the hand follows the eye; empty: 2 s × speed",
        ),
      ),
      make(
        "p",
        { class: "acts" },
        make("button", { type: "button", class: "primary", "data-close": "" }, "Close"),
        make("button", { type: "button", "data-reset": "" }, "As they came"),
      ),
    );
  }

  /** @param {string} text */
  #hear(text) {
    find(this, "[data-heard]", HTMLElement).textContent = text;
  }

  /** @param {Event} event */
  #clicked(event) {
    const button =
      event.target instanceof Element ? event.target.closest("button") : null;
    if (!button) return;
    if ("close" in button.dataset) this.#dialog.close();
    if ("reset" in button.dataset) {
      this.#desk?.keys.reset();
      this.#draw();
    }
    for (const other of this.querySelectorAll("[aria-pressed]"))
      other.removeAttribute("aria-pressed");
    if (!button.dataset.action) return;
    button.setAttribute("aria-pressed", "true");
    this.#hear(
      `Press the new key for ${KEYS[/** @type {Action} */ (button.dataset.action)].word}.`,
    );
  }

  /** @param {KeyboardEvent} event */
  #pressed(event) {
    const button = this.querySelector('[data-action][aria-pressed="true"]');
    if (!(button instanceof HTMLElement) || event.key.length !== 1) return;
    event.preventDefault();
    if (/\d/.test(event.key)) return this.#hear("Digits are for levels and phrases.");
    const action = /** @type {Action} */ (button.dataset.action);
    const holder = this.#desk?.keys.change(action, event.key);
    if (holder) return this.#hear(`${event.key} is the key for ${KEYS[holder].word}.`);
    this.#draw();
    const again = this.querySelector(`[data-action="${action}"]`);
    if (again instanceof HTMLElement) again.focus();
    this.#hear(`${KEYS[action].word}: ${this.#desk?.keys.nameOf(action)}.`);
  }

  /** @param {Event} event */
  #changed(event) {
    const field = event.target;
    const keys = this.#desk?.keys;
    if (!keys || !(field instanceof HTMLInputElement)) return;
    if (field.name === "on") keys.isOn = field.checked;
    if (field.name === "back") {
      const seconds = field.value === "" ? null : Number(field.value);
      const isFit = seconds === null || (seconds >= 0 && seconds <= 30);
      field.setAttribute("aria-invalid", String(!isFit));
      if (!isFit) return this.#hear("The set-back must be 0 to 30 seconds.");
      keys.setBack = seconds;
    }
    keys.keep();
  }
}

customElements.define("keys-help", KeysHelp);
