/**
 * On the release page: warns, and keeps the form from being sent, while changes of this
 * marking wait on the device.
 *
 *   <unsent-check data-person="3" data-marking="7" hidden>…</unsent-check> <form>…</form>
 */

import { Outbox } from "../../accounts/outbox.js";

export class UnsentCheck extends HTMLElement {
  async connectedCallback() {
    const { person, marking } = this.dataset;
    const outbox = new Outbox(Number(person), Number(marking));
    const conflicts = (await outbox.kept("conflicts")) ?? [];
    const waiting = await outbox.waiting();
    this.hidden = !conflicts.length && !waiting.length;
    const button = this.parentElement?.querySelector("form button");
    if (button instanceof HTMLButtonElement) button.disabled = !this.hidden;
  }
}

customElements.define("unsent-check", UnsentCheck);
