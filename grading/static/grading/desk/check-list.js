/**
 * Checks that are violated or that wait for the marker, as the last save found them,
 * each with the way to it; orders that the times contradict are ruled on here.
 *
 *   <check-list></check-list>
 */

import { make, redraw } from "./markup.js";
import { weighs } from "./total-shown.js";

/** @typedef {import("./desk.js").MarkingDesk} Desk */
/** @typedef {{key: string, kind: string, result: string, effect: string,
 *   consequence: string, text: string, elements: string[],
 *   ruling: {result: string, note: string} | null}} Check */

const RULINGS = /** @type {const} */ ([
  ["met", "In order"],
  ["violated", "Out of order"],
  ["cannot_tell", "Cannot tell"],
]);

export class CheckList extends HTMLElement {
  /** @type {Desk | null} */
  #desk = null;
  #isOpen = true;

  /** @param {Desk} desk */
  begin(desk) {
    this.#desk = desk;
    const { signal } = desk;
    desk.sender.addEventListener(
      "figures",
      (event) => {
        desk.data.figures = /** @type {CustomEvent} */ (event).detail;
        this.#draw();
      },
      { signal },
    );
    this.addEventListener("click", (event) => this.#clicked(event), { signal });
    this.addEventListener("keydown", (event) => this.#pressed(event), { signal });
    this.#draw();
  }

  open() {
    this.#isOpen = true;
    this.#draw();
    this.scrollIntoView({ block: "start" });
    this.querySelector("button")?.focus({ preventScroll: true });
  }

  #draw() {
    /** @type {Check[]} */
    const checks = this.#desk?.data.figures.checks ?? [];
    const heavy = checks.filter(weighs);
    const light = checks.filter((check) => !weighs(check));
    const box = make("details", { class: heavy.length ? "flags heavy" : "flags" });
    box.open = this.#isOpen;
    box.addEventListener("toggle", () => {
      this.#isOpen = box.open;
    });
    const many = heavy.length > 1 ? "things weigh" : "thing weighs";
    if (heavy.length) {
      box.append(summary(`${heavy.length} ${many} on the outcome`), this.#list(heavy));
      if (light.length)
        box.append(
          make("details", {}, summary(`${light.length} noted`), this.#list(light)),
        );
    } else box.append(summary(`${light.length} noted`), this.#list(light));
    redraw(this, ...(checks.length ? [box] : []));
  }

  /** @param {Check[]} checks */
  #list(checks) {
    return make("ol", {}, ...checks.map((check) => this.#item(check)));
  }

  /** @param {Check} check */
  #item(check) {
    const item = make("li", {}, make("span", {}, check.text));
    if (check.kind === "before" && (check.result === "awaited" || check.ruling))
      item.append(" ", make("span", {}, this.#question(check)), this.#ruling(check));
    else if (check.result === "awaited")
      item.append(" A second person's word is awaited.");
    else if (weighs(check))
      item.append(make("span", { class: "soft" }, ` So ${check.consequence}.`));
    if (check.elements.length) {
      const words =
        check.elements.length > 1 ? ["go to the first", "the second"] : ["go to it"];
      for (const [i, word] of words.entries())
        item.append(
          " ",
          make(
            "button",
            { type: "button", class: "plain", "data-go": check.elements[i] },
            word,
          ),
        );
    }
    return item;
  }

  /** @param {Check} check */
  #question({ ruling, consequence }) {
    if (!ruling) return `Was the order kept all the same? If not, ${consequence}.`;
    const said = RULINGS.find(([result]) => result === ruling.result)?.[1] ?? "";
    return `You ruled: ${said.toLowerCase()}.`;
  }

  /** @param {Check} check */
  #ruling({ key, ruling }) {
    const buttons = RULINGS.map(([result, word]) =>
      make(
        "button",
        {
          type: "button",
          "data-rule": key,
          "data-result": result,
          "aria-pressed": String(ruling?.result === result),
        },
        word,
      ),
    );
    const note = make("input", {
      type: "text",
      maxlength: "500",
      "aria-label": "Note to this ruling",
      placeholder: "note, if any",
      "data-note": key,
    });
    note.setAttribute("value", ruling?.note ?? "");
    const back = make(
      "button",
      { type: "button", class: "plain", "data-rule": key, "data-result": "" },
      "take back",
    );
    return make("p", { class: "ruling" }, ...buttons, note, ...(ruling ? [back] : []));
  }

  /** @param {KeyboardEvent} event */
  #pressed(event) {
    if (event.key === "Escape") this.#desk?.sheet.refocus();
    const note = event.target;
    if (event.key !== "Enter" || !(note instanceof HTMLInputElement)) return;
    const given = this.#desk?.store.value(`ruling:${note.dataset.note}`);
    if (given) this.#rule(note.dataset.note ?? "", given.result, note.value);
    else this.#desk?.say("Choose in order, out of order or cannot tell.");
  }

  /** @param {Event} event */
  #clicked(event) {
    const button =
      event.target instanceof Element ? event.target.closest("button") : null;
    if (!button) return;
    const { go, rule, result } = button.dataset;
    if (go) this.#desk?.sheet.goTo(`element:${go}`);
    if (rule === undefined) return;
    const note = button.parentElement?.querySelector("input")?.value ?? "";
    this.#rule(rule, result ?? "", note);
  }

  /** @param {string} rule @param {string} result @param {string} note */
  #rule(rule, result, note) {
    const value = result ? { result, note: note.trim() } : null;
    this.#desk?.act("ruling", [{ target: `ruling:${rule}`, value }]);
    this.#desk?.say(result ? "Ruling kept." : "Ruling taken back.");
    this.#desk?.sheet.refocus();
  }
}

/** @param {string} words */
function summary(words) {
  return make("summary", {}, make("b", {}, words));
}

customElements.define("check-list", CheckList);
