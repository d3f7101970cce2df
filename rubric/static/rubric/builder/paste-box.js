/**
 * Many elements from pasted lines: the text, then what was understood as a table that can
 * be corrected, then all of it as one step of undo.
 *
 *   <paste-box><dialog>… <textarea data-text> … <tbody data-rows> …</dialog></paste-box>
 */

import { find, findAll, make } from "../../accounts/markup.js";
import { numberFault } from "./figures.js";
import { TECHNIQUES } from "./values.js";

/** @typedef {import("./tree.js").Values} Values */
/** @typedef {{fields: Values, notes: string[], kind?: string}} Proposal */

export class PasteBox extends HTMLElement {
  #dialog = find(this, "dialog", HTMLDialogElement);
  #text = find(this, "[data-text]", HTMLTextAreaElement);
  #rows = find(this, "[data-rows]", HTMLElement);
  #words = find(this, "[data-words]", HTMLElement);
  /** @type {Proposal[]} */
  #proposals = [];
  /** @type {(text: string) => Promise<Proposal[] | string>} */
  read = async () => [];
  /** @type {(rows: Values[]) => void} */
  take = () => {};

  connectedCallback() {
    this.addEventListener("click", (event) => this.#clicked(event));
    for (const name of ["input", "change"])
      this.addEventListener(name, (event) => this.#edited(event));
  }

  /** @param {string} text what is already pasted, or nothing */
  open(text) {
    this.#text.value = text;
    this.#draw([]);
    this.#dialog.showModal();
    this.#text.focus();
    if (text) this.#understand();
  }

  async #understand() {
    this.#say("Reading the lines …");
    const answer = await this.read(this.#text.value);
    if (typeof answer === "string") return this.#say(answer);
    this.#draw(answer);
    if (!answer.length) return this.#say("There is no line to make an element of.");
    find(this, "[data-take]", HTMLButtonElement).focus();
  }

  /** @param {Proposal[]} proposals */
  #draw(proposals) {
    this.#proposals = proposals;
    this.#rows.replaceChildren(...proposals.map(proposalRow));
    find(this, "[data-table]", HTMLElement).hidden = !proposals.length;
    this.#say("");
    this.#count();
  }

  /** @param {string} words */
  #say(words) {
    this.#words.textContent = words;
  }

  #count() {
    const rows = this.#taken();
    const take = find(this, "[data-take]", HTMLButtonElement);
    take.hidden = !this.#proposals.length;
    take.disabled = !rows.length;
    const sections = rows.filter(({ title }) => title !== undefined).length;
    const counts = /** @type {const} */ ([
      ["section", sections],
      ["element", rows.length - sections],
    ]);
    const words = counts
      .filter(([word, count]) => count || (word === "element" && !sections))
      .map(([word, count]) => `${count} ${word}${count === 1 ? "" : "s"}`);
    take.textContent = `Take ${words.join(" and ")}`;
  }

  /** What stands in the table now. @returns {Values[]} */
  #taken() {
    return findAll(this.#rows, "tr", HTMLElement).flatMap((row, n) => {
      const isWanted = find(row, "[name=take]", HTMLInputElement).checked;
      const text = find(row, "[name=text]", HTMLTextAreaElement).value.trim();
      const technique = find(row, "[name=technique]", HTMLSelectElement).value;
      const points = find(row, "[name=points]", HTMLInputElement).value.trim();
      const { fields, kind } = this.#proposals[n];
      if (!isWanted || !text) return [];
      /** @type {Values} */
      const own =
        kind === "section"
          ? { title: text }
          : { ...fields, text, technique, points: points || "1" };
      return [own];
    });
  }

  /** @param {Event} event */
  #edited(event) {
    event.stopPropagation();
    const { target } = event;
    if (target instanceof HTMLTextAreaElement && target.parentElement)
      if (target !== this.#text) target.parentElement.dataset.text = target.value;
    if (target instanceof HTMLInputElement && target.name === "points") {
      const fault = numberFault(target.value, 0, 10000);
      target.setAttribute("aria-invalid", String(fault !== ""));
      this.#say(fault);
    }
    this.#count();
  }

  /** @param {Event} event */
  #clicked(event) {
    const { target } = event;
    if (!(target instanceof HTMLButtonElement)) return;
    if ("read" in target.dataset) this.#understand();
    if ("close" in target.dataset) this.#dialog.close();
    if ("take" in target.dataset) {
      const rows = this.#taken();
      this.#dialog.close();
      this.take(rows);
    }
  }
}

/** @param {Proposal} proposal @param {number} n */
function proposalRow({ fields, notes, kind }, n) {
  const at = `line ${n + 1}`;
  const take = make("input", {
    type: "checkbox",
    name: "take",
    "aria-label": `Take ${at}`,
  });
  take.checked = true;
  const text = make("textarea", {
    name: "text",
    rows: "1",
    "aria-label": `Text of ${at}`,
  });
  text.value = String(fields.text ?? fields.title ?? "");
  const technique = make("select", {
    name: "technique",
    "aria-label": `Technique of ${at}`,
  });
  for (const word of TECHNIQUES)
    technique.append(make("option", { value: word }, word));
  technique.value = String(fields.technique ?? "perform");
  const points = make("input", {
    name: "points",
    inputmode: "decimal",
    "aria-label": `Points of ${at}`,
  });
  points.value = String(fields.points ?? "1");
  technique.hidden = kind === "section";
  points.hidden = kind === "section";
  return make(
    "tr",
    {},
    make("td", { "data-label": "Take" }, take),
    make(
      "td",
      { class: "text" },
      make("span", { class: "grows", "data-text": text.value }, text),
    ),
    make("td", { "data-label": "Technique" }, technique),
    make("td", { class: "n", "data-label": "Points" }, points),
    make("td", { class: "soft small" }, notes.join("; ")),
  );
}

customElements.define("paste-box", PasteBox);
