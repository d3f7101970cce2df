/**
 * Hazards of the rubric, each with its sightings; `h` adds one at the moment seen, after
 * a digit where there are several.
 *
 *   <hazard-list></hazard-list>
 */

import { make, redraw } from "./markup.js";
import { asClock } from "./moments.js";

/** @typedef {import("./desk.js").MarkingDesk} Desk */

/** @type {Record<string, string>} */
const WORDS = {
  confirmed: "",
  awaiting: "a second person's word is awaited",
  rejected: "not confirmed by a second person",
};

export class HazardList extends HTMLElement {
  /** @type {Desk | null} */
  #desk = null;
  #list = make("ol", { class: "rows" });
  #chooser = make("dialog", { "aria-labelledby": "which-hazard", class: "chooser" });
  /** @type {{at: number | null, speed: number}} */
  #stamp = { at: null, speed: 1 };

  /** @param {Desk} desk */
  begin(desk) {
    this.#desk = desk;
    const { signal } = desk;
    desk.store.addEventListener("change", () => this.#draw(), { signal });
    desk.sender.addEventListener("figures", () => this.#draw(), { signal });
    this.addEventListener("click", (event) => this.#clicked(event), { signal });
    this.#chooser.addEventListener("keydown", (event) => this.#pressed(event), {
      signal,
    });
    this.#chooser.addEventListener("close", () => desk.sheet.refocus(), { signal });
    this.replaceChildren(this.#list, this.#chooser);
    this.#draw();
  }

  choose() {
    const desk = this.#desk;
    const hazards = desk?.data.hazards ?? [];
    if (!desk || !hazards.length) return desk?.say("This rubric names no hazards.");
    this.#stamp = desk.stamp();
    if (hazards.length === 1) return this.#add(hazards[0].key);
    const items = hazards.map(
      (
        /** @type {{key: string, text: string}} */ { key, text },
        /** @type {number} */ i,
      ) =>
        make(
          "li",
          {},
          make(
            "button",
            { type: "button", "data-hazard": key },
            make("kbd", {}, `${i + 1}`),
            ` ${text}`,
          ),
        ),
    );
    this.#chooser.replaceChildren(
      make(
        "h2",
        { id: "which-hazard" },
        `Which hazard at ${asClock(this.#stamp.at) || "no moment"}?`,
      ),
      make("ol", { class: "plain-list" }, ...items),
      make("p", { class: "soft small" }, make("kbd", {}, "Esc"), " none"),
    );
    this.#chooser.showModal();
  }

  /** @param {string} rule */
  #add(rule) {
    const target = `sighting:${crypto.randomUUID()}`;
    const text = this.#textOf(rule);
    this.#desk?.act(`hazard: ${text}`, [{ target, value: { rule, ...this.#stamp } }]);
    this.#desk?.say(
      `Hazard noted: ${text} at ${asClock(this.#stamp.at) || "no moment"}.`,
    );
    if (this.#chooser.open) this.#chooser.close();
  }

  /** @param {string} rule @returns {string} */
  #textOf(rule) {
    const hazards = this.#desk?.data.hazards ?? [];
    return (
      hazards.find((/** @type {{key: string}} */ { key }) => key === rule)?.text ?? rule
    );
  }

  /** @param {KeyboardEvent} event */
  #pressed(event) {
    const hazard = this.#desk?.data.hazards[Number(event.key) - 1];
    if (hazard) this.#add(hazard.key);
  }

  /** @param {Event} event */
  #clicked(event) {
    const desk = this.#desk;
    if (!desk || !(event.target instanceof Element)) return;
    const button = event.target.closest("button");
    const link = event.target.closest("a.at");
    if (link instanceof HTMLElement)
      desk.recording.follow(event, Number(link.dataset.at));
    if (button?.dataset.hazard) {
      if (!this.#chooser.open) this.#stamp = desk.stamp();
      this.#add(button.dataset.hazard);
    }
    if (button?.dataset.sighting) {
      const target = `sighting:${button.dataset.sighting}`;
      desk.act("sighting taken back", [{ target, value: null }]);
    }
  }

  #draw() {
    const desk = this.#desk;
    if (!desk) return;
    const sightings = desk.store.of("sighting");
    const items = desk.data.hazards.map(
      (/** @type {{key: string, text: string}} */ { key, text }) => {
        const seen = sightings
          .filter(([, { rule }]) => rule === key)
          .map(([id, { at }]) => this.#sighting(id, at));
        const add = make(
          "button",
          { type: "button", class: "plain", "data-hazard": key },
          "seen now",
        );
        return make("li", {}, make("span", { class: "name" }, text), add, ...seen);
      },
    );
    redraw(this.#list, ...items);
  }

  /** @param {string} id @param {number | null} at */
  #sighting(id, at) {
    const desk = /** @type {Desk} */ (this.#desk);
    const word = WORDS[desk.data.figures.words[id]] ?? "";
    const link = make(
      "a",
      {
        class: "at",
        href: desk.recording.linkTo(at),
        "data-at": `${at}`,
        target: "_blank",
        rel: "noopener noreferrer",
      },
      asClock(at) || "no moment",
    );
    return make(
      "p",
      { class: "sighting" },
      "seen at ",
      link,
      word ? make("span", { class: "soft" }, `, ${word}`) : "",
      " ",
      make(
        "button",
        { type: "button", class: "plain", "data-sighting": id },
        "take back",
      ),
    );
  }
}

customElements.define("hazard-list", HazardList);
