/**
 * The comments of this marking in time order, each at its moment.
 *
 *   <comment-list><ol><li>…</li></ol></comment-list>
 */

import { make, redraw } from "./markup.js";
import { asClock } from "./moments.js";

/** @typedef {import("./desk.js").MarkingDesk} Desk */

/** @type {Record<string, string>} */
const KINDS = { strength: "strength", improve: "to improve", question: "question" };

export class CommentList extends HTMLElement {
  /** @type {Desk | null} */
  #desk = null;

  /** @param {Desk} desk */
  begin(desk) {
    this.#desk = desk;
    const { signal } = desk;
    desk.store.addEventListener(
      "change",
      (event) => {
        const targets = /** @type {CustomEvent<string[]>} */ (event).detail;
        if (targets.some((target) => target.startsWith("comment:"))) this.#draw();
      },
      { signal },
    );
    this.addEventListener("click", (event) => this.#clicked(event), { signal });
    this.#draw();
  }

  #draw() {
    const desk = this.#desk;
    if (!desk) return;
    const comments = desk.store
      .of("comment")
      .sort(([, a], [, b]) => (a.at ?? Infinity) - (b.at ?? Infinity));
    const items = comments.map(([id, { at, kind, text, element }]) => {
      const row = element && desk.sheet.rowOf(`element:${element}`);
      const link = make(
        "a",
        {
          class: "at",
          href: desk.recording.linkTo(at),
          "data-at": `${at}`,
          target: "_blank",
        },
        asClock(at),
      );
      link.rel = "noopener noreferrer";
      return make(
        "li",
        { class: kind },
        at === null ? make("span", { class: "at" }, "–") : link,
        make(
          "div",
          {},
          make("p", {}, text),
          make(
            "p",
            { class: "soft small" },
            make("span", { class: `kind ${kind}` }, KINDS[kind]),
            row ? ` · ${row.dataset.name} ` : " ",
            button("edit", id, "Edit"),
            " ",
            button("delete", id, "Delete"),
          ),
        ),
      );
    });
    const empty = make("p", { class: "soft small" }, "No comments yet.");
    redraw(this, items.length ? make("ol", { class: "notes" }, ...items) : empty);
  }

  /** @param {Event} event */
  #clicked(event) {
    const desk = this.#desk;
    if (!desk || !(event.target instanceof Element)) return;
    const link = event.target.closest("a.at");
    if (link instanceof HTMLElement)
      desk.recording.follow(event, Number(link.dataset.at));
    const pressed = event.target.closest("button");
    const id = pressed?.dataset.comment ?? "";
    if (pressed?.dataset.act === "edit")
      /** @type {import("./comment-box.js").CommentBox | null} */ (
        desk.querySelector("comment-box")
      )?.edit(id);
    if (pressed?.dataset.act === "delete") {
      desk.act("comment deleted", [{ target: `comment:${id}`, value: null }]);
      desk.say(`Comment deleted. ${desk.keys.nameOf("undo")} brings it back.`);
      desk.sheet.refocus();
    }
  }
}

/** @param {string} act @param {string} id @param {string} word */
function button(act, id, word) {
  return make(
    "button",
    { type: "button", class: "plain", "data-act": act, "data-comment": id },
    word,
  );
}

customElements.define("comment-list", CommentList);
