/**
 * What is said in the recording, from the captions handed in; each line jumps.
 *
 *   <spoken-words data-captions="/…/captions.vtt"><details><summary>What is said
 *     </summary><ol></ol></details></spoken-words>
 */

import { find, make } from "./markup.js";
import { asClock, readClock } from "./moments.js";

/** @typedef {import("./desk.js").MarkingDesk} Desk */

/**
 * The cues of a WebVTT file (W3C), without their settings and tags.
 * @param {string} text
 */
export function cues(text) {
  const found = [];
  for (const block of text.replace(/\r\n?/g, "\n").split(/\n{2,}/)) {
    const lines = block.split("\n");
    const at = lines.findIndex((line) => line.includes("-->"));
    if (at < 0) continue;
    const [start, end] = lines[at]
      .split("-->")
      .map((part) => part.trim().split(/\s/)[0]);
    const said = lines
      .slice(at + 1)
      .join(" ")
      .replace(/<[^>]*>/g, "");
    const from = readClock(start);
    if (from !== null && said) found.push({ from, to: readClock(end) ?? from, said });
  }
  return found;
}

export class SpokenWords extends HTMLElement {
  /** @type {{from: number, to: number, said: string}[]} */
  #cues = [];

  /** @param {Desk} desk */
  begin(desk) {
    const { signal } = desk;
    const details = find(this, "details", HTMLDetailsElement);
    this.hidden = false;
    details.addEventListener("toggle", () => this.#fetch(), { signal });
    desk.clock.addEventListener("time", () => this.#follow(desk.clock.now()), {
      signal,
    });
    this.addEventListener(
      "click",
      (event) => {
        const button =
          event.target instanceof Element ? event.target.closest("button") : null;
        if (!button) return;
        desk.clock.seek(this.#cues[Number(button.dataset.cue)].from);
        desk.sheet.refocus();
      },
      { signal },
    );
  }

  async #fetch() {
    if (this.#cues.length) return;
    const list = find(this, "ol", HTMLElement);
    try {
      const response = await fetch(this.dataset.captions ?? "");
      if (!response.ok) throw new Error(response.statusText);
      this.#cues = cues(await response.text());
    } catch {
      list.replaceChildren(
        make("li", {}, "The captions could not be fetched. Close and open this again."),
      );
      return;
    }
    list.replaceChildren(
      ...this.#cues.map(({ from, said }, i) =>
        make(
          "li",
          {},
          make(
            "button",
            { type: "button", class: "plain", "data-cue": `${i}` },
            asClock(from),
          ),
          ` ${said}`,
        ),
      ),
    );
  }

  /** @param {number | null} now */
  #follow(now) {
    if (now === null || !find(this, "details", HTMLDetailsElement).open) return;
    const items = find(this, "ol", HTMLElement).children;
    for (const [i, { from, to }] of this.#cues.entries()) {
      const isNow = from <= now && now < to;
      if (isNow && !items[i].hasAttribute("aria-current"))
        items[i].scrollIntoView({ block: "nearest" });
      items[i].toggleAttribute("aria-current", isNow);
    }
  }
}

customElements.define("spoken-words", SpokenWords);
