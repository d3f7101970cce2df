/**
 * The states that the element in focus may be given: sign, word and key of each. It
 * stands under that element, wherever the focus goes.
 *
 *   <state-choice><div class="choices"><button data-state="done">…</button>…</div>
 *     <p class="reason" hidden>…</p> <p class="expects"></p> <p class="moment">…</p>
 *   </state-choice>
 */

import { find, kbd, make, redraw } from "./markup.js";
import { asClock } from "./moments.js";
import { levelWords } from "./sheet-rows.js";

/** @typedef {import("./desk.js").MarkingDesk} Desk */

export class StateChoice extends HTMLElement {
  /** @type {Desk | null} */
  #desk = null;
  /** @type {HTMLElement | null} the list item or table row that holds this */
  #holder = null;

  /** @param {Desk} desk */
  begin(desk) {
    this.#desk = desk;
    const { signal } = desk;
    desk.sheet.addEventListener("move", () => this.#draw(), { signal });
    desk.keys.addEventListener("change", () => this.#drawKeys(), { signal });
    this.addEventListener("click", (event) => this.#clicked(event), { signal });
    find(this, "#reason", HTMLInputElement).addEventListener(
      "keydown",
      (event) => {
        if (event.key === "Enter") this.#keepReason();
        else if (event.key === "Escape") this.#closeReason();
        else return;
        event.preventDefault();
      },
      { signal },
    );
    this.#drawKeys();
  }

  askReason() {
    const place = find(this, ".reason", HTMLElement);
    const field = find(this, "#reason", HTMLInputElement);
    place.hidden = false;
    field.value = this.#desk?.store.value(this.#desk.sheet.target)?.reason ?? "";
    field.focus();
  }

  #keepReason() {
    const field = find(this, "#reason", HTMLInputElement);
    const reason = field.value.trim();
    field.setAttribute("aria-invalid", String(!reason));
    if (!reason) return this.#desk?.say("Excused needs a reason.");
    find(this, ".reason", HTMLElement).hidden = true;
    this.#desk?.sheet.mark("excused", { reason });
  }

  #closeReason() {
    find(this, ".reason", HTMLElement).hidden = true;
    this.#desk?.sheet.refocus();
  }

  #draw() {
    const desk = this.#desk;
    if (!desk) return;
    const row = desk.sheet.current;
    for (const other of desk.sheet.querySelectorAll('[aria-expanded="true"]'))
      if (other !== row) other.setAttribute("aria-expanded", "false");
    if (row.getAttribute("aria-expanded") !== "true") this.#moveUnder(row);
    row.setAttribute("aria-expanded", "true");
    const value = desk.store.value(desk.sheet.target);
    const isRating = desk.sheet.target === "rating";
    this.#drawLevels(row, value?.level ?? value?.value ?? 0);
    for (const button of this.querySelectorAll("[data-state]")) {
      if (!(button instanceof HTMLButtonElement)) continue;
      const state = button.dataset.state ?? "";
      const isOther = state !== "unseen" && state !== "excused";
      button.hidden = isRating || (isOther && "words" in row.dataset);
      button.setAttribute("aria-pressed", String(value?.state === state));
      button.disabled =
        state === "excused" &&
        !desk.sheet.mayExcuseAny &&
        !("mayExcuse" in row.dataset);
    }
    find(this, ".expects", HTMLElement).textContent = row.dataset.expects ?? "";
    const at = value?.at ?? null;
    this.#show("go", at !== null).title = asClock(at);
    this.#show("restamp", Boolean(value?.state));
    this.#show("clear", value !== null);
    this.#show("comment", !isRating);
  }

  /** @param {HTMLElement} row */
  #moveUnder(row) {
    find(this, ".reason", HTMLElement).hidden = true;
    if (this.#holder?.matches("tr.choice-row")) this.#holder.remove();
    const item = row.closest("li");
    const line = row.closest("tr");
    if (item) this.#holder = item;
    else if (line) {
      const cell = make("td", { colspan: String(line.cells.length) });
      this.#holder = make("tr", { class: "choice-row" }, cell);
      line.after(this.#holder);
    }
    (line ? this.#holder?.firstElementChild : this.#holder)?.append(this);
    this.hidden = false;
  }

  /** @param {HTMLElement} row @param {number} given */
  #drawLevels(row, given) {
    const buttons = levelWords(row).map((word, i) =>
      make(
        "button",
        {
          type: "button",
          "data-level": `${i + 1}`,
          "aria-pressed": `${given === i + 1}`,
        },
        `${word} `,
        kbd(String(i + 1)),
      ),
    );
    redraw(find(this, ".levels", HTMLElement), ...buttons);
  }

  #drawKeys() {
    const keys = this.#desk?.keys;
    if (!keys) return;
    for (const button of this.querySelectorAll("[data-state], [data-act]")) {
      const { state, act } = /** @type {HTMLElement} */ (button).dataset;
      const place = button.querySelector("kbd");
      const action = /** @type {import("./keys.js").Action} */ (state ?? act);
      if (!place || act === "keep-reason") continue;
      place.textContent = keys.nameOf(action);
      place.hidden = !keys.isOn;
    }
  }

  /** @param {string} act @param {boolean} isShown */
  #show(act, isShown) {
    const button = find(this, `[data-act="${act}"]`, HTMLButtonElement);
    button.hidden = !isShown;
    return button;
  }

  /** @param {Event} event */
  #clicked(event) {
    const desk = this.#desk;
    const button =
      event.target instanceof Element ? event.target.closest("button") : null;
    if (!desk || !button) return;
    const { state, level, act } = button.dataset;
    const keys = desk.sheet.keys;
    if (state) keys?.give(state);
    else if (level) keys?.level(Number(level));
    else if (act === "keep-reason") this.#keepReason();
    else if (act === "clear") desk.sheet.clear();
    else if (act) keys?.do(/** @type {import("./keys.js").Action} */ (act));
  }
}

customElements.define("state-choice", StateChoice);
