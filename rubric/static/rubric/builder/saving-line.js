/**
 * How saving stands, in a few quiet words.
 *
 *   <saving-line data-sign-in="/sign-in/?next=..."></saving-line>
 */

import { make } from "../../accounts/markup.js";

/** @typedef {import("./sender.js").Sender} Sender */
/** @typedef {import("./line.js").Line} Line */

export class SavingLine extends HTMLElement {
  #words = make("span", { role: "status" });

  connectedCallback() {
    this.replaceChildren(this.#words);
  }

  /** @param {Sender} sender @param {Line} line */
  show(sender, line) {
    const words = this.#said(sender, line);
    this.classList.toggle("is-trouble", line.standing !== "fine");
    if (this.#words.dataset.said === words) return;
    this.#words.dataset.said = words;
    const isOut = line.standing === "signed out" || line.standing === "another person";
    const href = this.dataset.signIn ?? "";
    const link = make("a", { href, target: "_blank", rel: "opener" }, "sign in");
    this.#words.replaceChildren(words, ...(isOut ? [": ", link] : []));
  }

  /** @param {Sender} sender @param {Line} line */
  #said({ waiting, isKept, clashes }, { standing, words }) {
    const count = waiting === 1 ? "1 change waits" : `${waiting} changes wait`;
    const wait = waiting ? count : "";
    const kept =
      waiting && !isKept ? " (this browser keeps nothing: leave the page open)" : "";
    switch (standing) {
      case "no network":
        return (
          (wait ? `${wait} for the network` : "no network: you can work on") + kept
        );
      case "signed out":
        return `you are signed out${wait && `, ${wait}`}${kept}`;
      case "another person":
        return `somebody else has signed in here${wait && `, ${wait} for you`}${kept}`;
      case "not yours":
        return `not saved: this rubric is no longer yours to change${wait && `, ${wait}`}`;
      case "trouble":
        return `not saved: ${words || "the server is in trouble"}; trying again${wait && `, ${wait}`}${kept}`;
      default:
        if (waiting) return "saving …";
        if (!clashes.length) return "saved";
        return clashes.length === 1
          ? "1 change needs you"
          : `${clashes.length} changes need you`;
    }
  }
}

customElements.define("saving-line", SavingLine);
