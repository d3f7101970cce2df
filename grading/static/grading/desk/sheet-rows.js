/** How the rows of the sheet show what stands, and the counts of what is open. */

import { find, glyph, WORDS } from "./markup.js";
import { asClock } from "./moments.js";

/** @typedef {import("./desk.js").MarkingDesk} Desk */

/** The words of an element's levels, or of the global rating. @param {HTMLElement} row */
export function levelWords(row) {
  return row.dataset.words?.split("|") ?? [];
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
  const link = row.nextElementSibling;
  if (!(link instanceof HTMLAnchorElement)) return;
  const at = value?.at ?? null;
  link.hidden = at === null;
  link.textContent = asClock(at);
  link.dataset.at = String(at);
  link.tabIndex = -1;
  link.href = desk.recording.linkTo(at);
  link.setAttribute("aria-label", `${row.dataset.name}: go to ${asClock(at)}`);
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
