/** Which phrases are offered, and whether a comment says what to do next. */

import { kbd, make, redraw } from "./markup.js";

/** @typedef {import("./store.js").PhraseUse} Phrase */

const MOST = 9;

/**
 * The element's own phrases for the state just given, then its others, then the
 * course's; most used first within each, as the server sent them.
 * @param {Phrase[]} phrases
 * @param {string | null} element
 * @param {string} state
 * @returns {Phrase[]}
 */
export function offered(phrases, element, state) {
  /** @param {Phrase} phrase */
  const place = (phrase) => {
    const isState = phrase.state === state;
    if (element && phrase.element === element) return isState ? 0 : 1;
    if (phrase.element) return null;
    return isState ? 2 : phrase.state ? null : 3;
  };
  return phrases
    .map((phrase) => ({ phrase, at: place(phrase) }))
    .filter(({ at }) => at !== null)
    .sort((a, b) => /** @type {number} */ (a.at) - /** @type {number} */ (b.at))
    .slice(0, MOST)
    .map(({ phrase }) => phrase);
}

/** The phrases under the comment box, by digit, while it is empty. */
export class PhraseList {
  #place;
  /** @type {Phrase[]} */
  #offered = [];
  /** @type {Phrase[]} those of the course, most used first */
  all = [];

  /** @param {Element} place */
  constructor(place) {
    this.#place = place;
  }

  /** @param {string} digit from 1 @returns {Phrase | undefined} */
  by(digit) {
    return /^[1-9]$/.test(digit) ? this.#offered[Number(digit) - 1] : undefined;
  }

  /** @param {string | null} element @param {string} state */
  offer(element, state) {
    this.#show(offered(this.all, element, state));
  }

  hide() {
    this.#show([]);
  }

  /** @param {Phrase[]} phrases */
  #show(phrases) {
    this.#offered = phrases;
    const items = phrases.map(({ text }, i) => {
      const place = { type: "button", class: "plain", "data-phrase": `${i + 1}` };
      return make("li", {}, make("button", place, kbd(`${i + 1}`), ` ${text}`));
    });
    redraw(this.#place, ...items);
  }
}

// English only: a hint that is wrong now and then does no harm, and nothing hangs on it.
const NEXT_STEP =
  /\b(next time|try|should|could|need(s|ed)? to|remember|must|instead|before you|make sure)\b|(^|[.;:!?]\s+|,\s*(and|then)\s+)(always |first |then |also |please )?(ask|begin|check|clean|compare|count|cover|do|expose|explain|feel|find|give|go|hold|keep|lay|let|lift|listen|look|measure|move|name|palpate|place|point|press|put|repeat|say|show|slow|stand|start|state|support|take|tell|turn|use|wait|warm|wash|watch|write|both|each)\b/i;

/** @param {string} text */
export function hasNextStep(text) {
  return NEXT_STEP.test(text);
}
