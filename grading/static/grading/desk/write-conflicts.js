/**
 * What somebody else, or another tab, changed in between: both values, and the choice
 * which of them stands.
 *
 *   <write-conflicts></write-conflicts>
 */

import { make, redraw } from "./markup.js";
import { asClock } from "./moments.js";
import { stateWord } from "./sheet-rows.js";

/** @typedef {import("./desk.js").MarkingDesk} Desk */
/** @typedef {import("./settlement.js").Conflict} Conflict */
/** @typedef {import("./store.js").Value} Value */

/** @type {Record<string, string>} */
const KINDS = {
  comment: "Comment",
  sighting: "Hazard sighting",
  ruling: "Ruling",
  rating: "Global rating",
  start: "Where the examination begins",
  length: "Length of the recording",
};

export class WriteConflicts extends HTMLElement {
  /** @type {Desk | null} */
  #desk = null;

  /** @param {Desk} desk */
  begin(desk) {
    this.#desk = desk;
    const { signal } = desk;
    desk.sender.addEventListener("conflicts", () => this.#draw(), { signal });
    this.addEventListener("click", (event) => this.#clicked(event), { signal });
    this.#draw();
  }

  #draw() {
    const conflicts = this.#desk?.sender.conflicts ?? [];
    redraw(this, ...conflicts.map((conflict) => this.#item(conflict)));
  }

  /** @param {Conflict} conflict */
  #item({ target, mine, theirs, by }) {
    const row = this.#desk?.sheet.rowOf(target) ?? null;
    const name = row?.dataset.name ?? KINDS[target.split(":")[0]] ?? target;
    const who = by ? `by ${by}` : "in between";
    return make(
      "div",
      { class: "flags heavy", role: "alert" },
      make(
        "p",
        {},
        make("b", {}, name),
        ` was changed ${who}. It stands as theirs until you choose.`,
      ),
      make(
        "p",
        { class: "acts" },
        choice(target, "theirs", `Theirs: ${this.#words(row, theirs?.value ?? null)}`),
        choice(target, "mine", `Yours: ${this.#words(row, mine)}`),
      ),
    );
  }

  /** @param {HTMLElement | null} row @param {Value | null} value */
  #words(row, value) {
    if (value === null) return "taken back";
    const at = asClock(value.at);
    const when = at ? ` at ${at}` : "";
    if (row) return `${stateWord(row, value)}${when}`;
    return `${value.text ?? value.result ?? value.rule ?? asClock(value.seconds)}${when}`;
  }

  /** @param {Event} event */
  async #clicked(event) {
    const desk = this.#desk;
    const button =
      event.target instanceof Element ? event.target.closest("button") : null;
    if (!desk || !button) return;
    const { target = "", choose } = button.dataset;
    const conflict = desk.sender.conflicts.find((other) => other.target === target);
    if (choose === "mine" && conflict)
      desk.act("yours stands", [{ target, value: conflict.mine }]);
    else await desk.sender.forget(target);
    desk.say(choose === "mine" ? "Yours stands." : "Theirs stands.");
    if (!desk.sheet.goTo(target)) desk.sheet.refocus();
  }
}

/** @param {string} target @param {"mine" | "theirs"} choose @param {string} words */
function choice(target, choose, words) {
  return make(
    "button",
    { type: "button", "data-target": target, "data-choose": choose },
    words,
  );
}

customElements.define("write-conflicts", WriteConflicts);
