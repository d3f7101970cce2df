/**
 * How far the sheet is; and total and outcome, once the save's answer gives them (every
 * element has a state and the rating is given, or the assignment is for practice).
 */

import { find, make } from "./markup.js";

/** @typedef {import("./desk.js").MarkingDesk} Desk */

export class TotalShown {
  #desk;
  #place = make("span", { class: "total" });

  /** @param {Desk} desk */
  constructor(desk) {
    this.#desk = desk;
    find(desk, "[data-sum]", HTMLElement).append(this.#place);
    desk.sender.addEventListener(
      "figures",
      (event) => this.#draw(/** @type {CustomEvent} */ (event).detail),
      { signal: desk.signal },
    );
    this.#draw(desk.data.figures);
    for (const act of ["help", "release", "checks"])
      desk
        .querySelector(`.desk-bar [data-act="${act}"]`)
        ?.addEventListener("click", (event) => this.#clicked(event, act), {
          signal: desk.signal,
        });
    find(desk, '[data-act="help"]', HTMLElement).hidden = false;
  }

  /** @param {any} figures */
  #draw({ total, is_complete, checks }) {
    const heavy = checks.filter(weighs).length;
    const flags = find(this.#desk, '[data-act="checks"]', HTMLElement);
    flags.hidden = !heavy;
    flags.replaceChildren(
      `${heavy} ${heavy === 1 ? "weighs" : "weigh"}`,
      make("span", {}, "on the outcome"),
    );
    this.#place.textContent = total ? ` · ${said(total)}` : "";
    find(this.#desk, '[data-act="release"]', HTMLElement).classList.toggle(
      "primary",
      is_complete,
    );
  }

  /** @param {string} name @returns {any} */
  #part(name) {
    return this.#desk.querySelector(name);
  }

  /** @param {Event} event @param {string} act */
  async #clicked(event, act) {
    if (act === "help") return this.#part("keys-help").open();
    if (act === "checks") return this.#part("check-list").open();
    // The result is worked out from what the server holds, so that must be all.
    if (!this.#desk.sender.waiting && !this.#desk.sender.conflicts.length) return;
    event.preventDefault();
    await this.#desk.sender.flush();
    if (this.#desk.sender.conflicts.length)
      this.#desk.say("First choose which of the two values stands.");
    else if (this.#desk.sender.waiting)
      this.#desk.say("Some changes are not saved yet.");
    else location.assign(this.#desk.data.urls.release);
  }
}

/** Whether a check is against the student and changes the result. @param {any} check */
export function weighs({ effect, result }) {
  return effect !== "flag" && (result === "violated" || result === "awaited");
}

/** @param {any} total */
function said({ percent, earned, possible, outcome, outcome_words, is_final }) {
  const points = `${earned} of ${possible} points`;
  const share = percent === null ? points : `${percent}% (${points})`;
  if (is_final) return `${share}, ${outcome_words}`;
  return outcome === "incomplete" ? `${share} so far` : share;
}
