/**
 * The keys of the sheet, in a dialog.
 *
 *   <keys-help><dialog>… <dl data-keys></dl> …</dialog></keys-help>
 */

import { find, make } from "../../accounts/markup.js";
import { KEYS } from "./keys.js";

export class KeysHelp extends HTMLElement {
  #dialog = find(this, "dialog", HTMLDialogElement);

  connectedCallback() {
    const list = find(this, "[data-keys]", HTMLElement);
    list.replaceChildren(
      ...KEYS.flatMap(({ keys, word }) => [
        make("dt", {}, ...keys.split(" ").map((key) => make("kbd", {}, key))),
        make("dd", {}, word),
      ]),
    );
    this.addEventListener("click", (event) => {
      if (event.target instanceof HTMLButtonElement) this.#dialog.close();
    });
  }

  open() {
    this.#dialog.showModal();
  }
}

customElements.define("keys-help", KeysHelp);
