/** What the keys do while the sheet has the focus. */

import { stepped } from "./sheet-order.js";
import { levelWords } from "./sheet-rows.js";

/** @typedef {import("./desk.js").MarkingDesk} Desk */
/** @typedef {import("./keys.js").Action} Action */
/** @typedef {import("./marking-sheet.js").MarkingSheet} MarkingSheet */

export class SheetKeys {
  #desk;
  #sheet;

  /** @param {Desk} desk @param {MarkingSheet} sheet */
  constructor(desk, sheet) {
    this.#desk = desk;
    this.#sheet = sheet;
    sheet.addEventListener("keydown", (event) => this.#pressed(event), {
      signal: desk.signal,
    });
  }

  /** @param {KeyboardEvent} event */
  #pressed(event) {
    const at = event.target;
    if (!(at instanceof HTMLElement) || at.closest("input, textarea, select")) return;
    // Space and Enter press the button that has the focus.
    if (at instanceof HTMLButtonElement && " Enter".includes(event.key)) return;
    const action = this.#desk.keys.actionOf(event);
    if (action) this.do(action);
    else if (event.key.startsWith("Arrow") && !hasModifier(event))
      this.#sheet.moveTo(stepped(this.#sheet.rows, this.#sheet.current, event.key));
    else if (/^[1-9]$/.test(event.key) && this.#desk.keys.isOn)
      this.level(Number(event.key));
    else return;
    event.preventDefault();
  }

  /** @param {Action} action */
  do(action) {
    const { clock, sheet } = this.#desk;
    const jump = (/** @type {number} */ by) =>
      clock.seek(Math.max(0, (clock.now() ?? 0) + by));
    const acts = {
      undo: () => this.#desk.undo(),
      redo: () => this.#desk.redo(),
      play: () => (clock.paused ? clock.play() : clock.pause()),
      back: () => jump(-5),
      on: () => jump(5),
      slower: () => this.#desk.recording.changeSpeed(-1),
      faster: () => this.#desk.recording.changeSpeed(1),
      go: () => this.#go(),
      restamp: () => sheet.restamp(),
      comment: () => this.#part("comment-box").open(),
      hazard: () => this.#part("hazard-list").choose(),
      find: () => this.#part("find-element").open(),
      help: () => this.#part("keys-help").open(),
    };
    if (action in acts) acts[/** @type {keyof typeof acts} */ (action)]();
    else this.give(action);
  }

  /** @param {string} state */
  give(state) {
    const row = this.#sheet.current;
    if (this.#sheet.target === "rating")
      return this.#desk.say("Give the global rating by its digit.");
    if (row.dataset.words && state !== "unseen" && state !== "excused")
      return this.#desk.say(`This element has levels: 1 to ${levelWords(row).length}.`);
    if (state !== "excused") return this.#sheet.mark(state);
    if (!this.#sheet.mayExcuseAny && !("mayExcuse" in row.dataset))
      return this.#desk.say("Only a course lead may excuse this element.");
    this.#part("state-choice").askReason();
  }

  /** @param {number} level */
  level(level) {
    const words = levelWords(this.#sheet.current);
    if (!words.length) return;
    if (level > words.length)
      return this.#desk.say(`There are ${words.length} levels.`);
    this.#sheet.mark("level", { level });
  }

  #go() {
    const at = this.#desk.store.value(this.#sheet.target)?.at ?? null;
    if (at === null) this.#desk.say("This element has no moment yet.");
    else this.#desk.clock.seek(at);
  }

  /** @param {string} name @returns {any} */
  #part(name) {
    return this.#desk.querySelector(name);
  }
}

/** @param {KeyboardEvent} event */
function hasModifier({ ctrlKey, metaKey, altKey }) {
  return ctrlKey || metaKey || altKey;
}
