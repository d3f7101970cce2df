/**
 * How saving stands, in words.
 *
 *   <saving-state></saving-state>
 */

import { make } from "./markup.js";

/** @typedef {import("./desk.js").MarkingDesk} Desk */

const TICK = 5000;

export class SavingState extends HTMLElement {
  /** @type {Desk | null} */
  #desk = null;
  #words = make("span", { role: "status" });
  #ago = make("span", { "aria-hidden": "true" });

  /** @param {Desk} desk */
  begin(desk) {
    this.#desk = desk;
    const { signal } = desk;
    this.replaceChildren(this.#words, this.#ago);
    desk.sender.addEventListener("waiting", () => this.#draw(), { signal });
    desk.link.addEventListener("standing", () => this.#draw(), { signal });
    this.addEventListener("click", (event) => this.#clicked(event), { signal });
    desk.sender.addEventListener(
      "told",
      (event) =>
        desk.say(/** @type {CustomEvent<string[]>} */ (event).detail.join(" ")),
      { signal },
    );
    const timer = setInterval(() => this.#draw(), TICK);
    signal.addEventListener("abort", () => clearInterval(timer));
    this.#draw();
  }

  #draw() {
    const { sender, link, outbox } = /** @type {Desk} */ (this.#desk);
    const { waiting } = sender;
    const { standing, savedAt } = link;
    const isSaved = !waiting && (standing === "saved" || standing === "sending");
    const said = isSaved ? "all changes saved" : this.#trouble(changes(waiting));
    const where = outbox.isKept
      ? ""
      : " (this browser keeps nothing: leave the page open)";
    const text = `${said}${isSaved ? "" : where}`;
    if (this.#words.dataset.said !== `${standing} ${text}`) {
      this.#words.dataset.said = `${standing} ${text}`;
      this.#words.replaceChildren(text, ...this.#way());
    }
    this.#ago.textContent = isSaved ? ` ${ago(Date.now() - savedAt)}` : "";
    const isCalm = standing === "saved" || standing === "sending";
    this.classList.toggle("is-trouble", !isCalm);
  }

  /** @param {string} wait "3 changes wait" or nothing */
  #trouble(wait) {
    const { standing } = /** @type {Desk} */ (this.#desk).link;
    const here = wait && `${wait} on this device`;
    switch (standing) {
      case "no network":
        return `${here || "nothing is lost"}: no network`;
      case "signed out":
        return `you are signed out${wait && `, ${wait}`}: `;
      case "another person":
        return `somebody else has signed in here${wait && `, ${wait} for you`}: `;
      case "released":
        return `this marking is released${wait && `; ${wait} and cannot be taken`}: `;
      case "not yours":
        return `this marking is no longer yours to change${wait && `; ${wait}`}`;
      case "trouble":
        return `${here || "nothing is lost"}: the server is in trouble, trying again`;
      default:
        return "saving …";
    }
  }

  /** The way out, where there is one. */
  #way() {
    const { link, sender, data } = /** @type {Desk} */ (this.#desk);
    if (link.standing === "released")
      return [
        make("a", { href: data.urls.release }, "see the release"),
        ...(sender.waiting
          ? [" ", make("button", { type: "button", class: "plain" }, "let them go")]
          : []),
      ];
    if (link.standing !== "signed out" && link.standing !== "another person") return [];
    const next = encodeURIComponent(`${data.urls.desk}#signed-in`);
    const href = `${data.urls.sign_in}?next=${next}`;
    return [make("a", { href, target: "_blank", rel: "opener" }, "sign in")];
  }

  /** @param {Event} event */
  async #clicked(event) {
    if (!(event.target instanceof HTMLButtonElement)) return;
    await this.#desk?.sender.giveUp();
    location.reload();
  }
}

/** @param {number} count */
function changes(count) {
  if (!count) return "";
  return count === 1 ? "1 change waits" : `${count} changes wait`;
}

/** @param {number} milliseconds */
function ago(milliseconds) {
  const seconds = Math.round(milliseconds / 1000);
  if (seconds < 3) return "just now";
  return seconds < 60 ? `${seconds} s ago` : `${Math.floor(seconds / 60)} min ago`;
}

customElements.define("saving-state", SavingState);
