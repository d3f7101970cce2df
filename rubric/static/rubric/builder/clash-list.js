/**
 * What two people did to the same place, both side by side, until one is chosen; and what
 * the server would not take, so that nothing typed is lost.
 *
 *   <clash-list></clash-list>
 */

import { make } from "../../accounts/markup.js";
import { named } from "./acts.js";
import { inWords, NAMES } from "./values.js";

/** @typedef {import("./sender.js").Clash} Clash */

export class ClashList extends HTMLElement {
  /** @type {Clash[]} */
  #clashes = [];
  /** @type {(clash: Clash, isMine: boolean) => void} */
  choose = () => {};

  connectedCallback() {
    this.addEventListener("click", (event) => {
      const { target } = event;
      if (!(target instanceof HTMLButtonElement)) return;
      const clash = this.#clashes[Number(target.dataset.at)];
      if (clash) this.choose(clash, target.dataset.choice === "mine");
    });
  }

  /** @param {Clash[]} clashes */
  show(clashes) {
    this.#clashes = clashes;
    this.hidden = !clashes.length;
    const hadFocus = this.contains(document.activeElement);
    this.replaceChildren(...clashes.map(clashBox));
    if (hadFocus) this.querySelector("button")?.focus();
  }
}

/** @param {Clash} clash @param {number} n */
function clashBox(clash, n) {
  const { change, theirs, before, why } = clash;
  const node = theirs ?? before;
  const name = node
    ? named({ ...node, ...(before && { fields: before.fields }) })
    : "a part";
  const act = (/** @type {string} */ choice, /** @type {string} */ words) =>
    make(
      "button",
      { type: "button", "data-at": String(n), "data-choice": choice },
      words,
    );
  const by = theirs?.by || "Somebody else";
  if (why)
    return box(`Not saved: ${name}. ${sentence(why)}`, values(change.fields ?? {}), [
      act("mine", "Try again"),
      act("theirs", "Let it go"),
    ]);
  if (change.act === "remove")
    return box(
      `You removed ${name}; ${by} has changed it since.`,
      [],
      [act("theirs", "Keep it"), act("mine", "Remove it all the same")],
    );
  if (!theirs)
    return box(
      `${name} was removed by somebody else; you had changed it.`,
      values(change.fields ?? {}),
      [act("mine", "Bring it back with this"), act("theirs", "Leave it removed")],
    );
  const rows = Object.entries(change.fields ?? {}).map(([field, mine]) =>
    make(
      "tr",
      {},
      make("th", { scope: "row" }, NAMES[field] ?? field),
      make("td", { "data-label": "Yours" }, inWords(mine)),
      make("td", { "data-label": by }, inWords(theirs.fields[field])),
    ),
  );
  const head = make("tr", {}, ...["", "Yours", by].map((word) => make("th", {}, word)));
  const table = make(
    "table",
    { class: "stack" },
    make("thead", {}, head),
    make("tbody", {}, ...rows),
  );
  return box(
    `You and ${by} changed ${name} at the same time.`,
    [table],
    [act("mine", "Take yours"), act("theirs", `Take ${by}’s`)],
  );
}

/** @param {string} words @param {Node[]} inner @param {Node[]} acts */
function box(words, inner, acts) {
  return make(
    "section",
    { class: "notice warning" },
    make("span", { class: "sign", "aria-hidden": "true" }, "!"),
    make(
      "div",
      {},
      make("p", {}, words),
      ...inner,
      make("p", { class: "acts" }, ...acts),
    ),
  );
}

/** @param {Record<string, any>} fields */
function values(fields) {
  const items = Object.entries(fields).map(([name, value]) =>
    make("li", {}, `${NAMES[name] ?? name}: ${inWords(value)}`),
  );
  return items.length ? [make("ul", {}, ...items)] : [];
}

/** @param {string} words */
function sentence(words) {
  const text = words[0].toUpperCase() + words.slice(1);
  return /[.!?]$/.test(text) ? text : `${text}.`;
}

customElements.define("clash-list", ClashList);
