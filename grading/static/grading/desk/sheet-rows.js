/** How the rows of the sheet show what stands, and the counts of what is open. */

import { find, glyph, make, WORDS } from "./markup.js";
import { asClock } from "./moments.js";

/** @typedef {import("./desk.js").MarkingDesk} Desk */

/**
 * The words of an element's levels, or of the global rating.
 * @param {HTMLElement} row
 * @returns {string[]}
 */
export function levelWords(row) {
  return row.dataset.words ? JSON.parse(row.dataset.words) : [];
}

/** @param {HTMLElement} row @param {Record<string, any> | null} value */
export function stateWord(row, value) {
  const level = value?.level ?? value?.value;
  if (level) return levelWords(row)[level - 1];
  return WORDS[value?.state ?? "open"];
}

/** @param {Desk} desk @param {HTMLElement} row */
export function drawRow(desk, row) {
  const value = desk.store.value(row.dataset.target ?? "");
  const level = value?.level ?? value?.value ?? null;
  const sign = glyph(desk.glyphs, value?.state ?? "open", level);
  find(row, ".mark", HTMLElement).replaceChildren(sign);
  const word = find(row, ".word", HTMLElement);
  word.textContent = stateWord(row, value);
  row.classList.toggle("is-open", value === null);
  word.title = value?.reason ?? "";
  drawMoment(desk, row, value?.at ?? null);
}

/**
 * The link to the element's moment, beside it.
 * @param {Desk} desk
 * @param {HTMLElement} row
 * @param {number | null} at
 */
function drawMoment(desk, row, at) {
  const beside = row.nextElementSibling;
  if (at === null) {
    if (beside?.matches("a.at")) beside.remove();
    return;
  }
  const link = make(
    "a",
    {
      class: "at",
      href: desk.recording.linkTo(at),
      target: "_blank",
      rel: "noopener noreferrer",
      tabindex: "-1",
      "data-at": String(at),
      "aria-label": `${row.dataset.name}: go to ${asClock(at)}`,
    },
    asClock(at),
  );
  if (beside?.matches("a.at")) beside.replaceWith(link);
  else row.after(link);
}

/** Progress by section, in the strip and in the section heads, and in all. */
export class SheetCounts {
  #desk;
  /** @type {{rows: HTMLElement[], places: HTMLElement[], strip: HTMLElement | null}[]} */
  #sections;

  /** @param {Desk} desk */
  constructor(desk) {
    this.#desk = desk;
    this.#sections = [...desk.sheet.querySelectorAll("section[data-section]")].map(
      (section) => {
        const key = section.getAttribute("data-section");
        const strip = desk.querySelector(`.section-strip [data-section="${key}"]`);
        const rows = [...section.querySelectorAll(".element")];
        const places = [section, strip].map((at) => at?.querySelector("[data-count]"));
        if (strip instanceof HTMLElement) strip.style.flexGrow = String(rows.length);
        return {
          rows: /** @type {HTMLElement[]} */ (rows),
          places: /** @type {HTMLElement[]} */ (places.filter(Boolean)),
          strip: strip instanceof HTMLElement ? strip : null,
        };
      },
    );
  }

  draw() {
    let all = 0;
    for (const { rows, places, strip } of this.#sections) {
      const marked = rows.filter((row) => !this.#desk.sheet.isOpen(row)).length;
      all += marked;
      for (const place of places) place.textContent = String(marked);
      strip?.style.setProperty("--share", `${(100 * marked) / rows.length}%`);
      strip?.classList.toggle("is-whole", marked === rows.length);
    }
    find(this.#desk, "[data-marked]", HTMLElement).textContent = String(all);
  }
}
