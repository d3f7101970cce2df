/**
 * Copies a moment, for a recording that opens in a window of its own.
 *
 * <copy-time data-time="13:05" hidden><button type="button">copy</button>
 *   <span role="status"></span></copy-time>
 *
 * Stays hidden where the browser lets no page copy.
 */
export class CopyTime extends HTMLElement {
  #listeners = new AbortController();

  connectedCallback() {
    if (!navigator.clipboard) return;
    this.#listeners = new AbortController();
    const { signal } = this.#listeners;
    this.hidden = false;
    this.querySelector("button")?.addEventListener("click", () => this.#copy(), {
      signal,
    });
  }

  disconnectedCallback() {
    this.#listeners.abort();
  }

  async #copy() {
    let said = "copied";
    try {
      await navigator.clipboard.writeText(this.dataset.time ?? "");
    } catch {
      said = "not copied: this browser refused";
    }
    const status = this.querySelector("[role=status]");
    if (status) status.textContent = said;
  }
}

customElements.define("copy-time", CopyTime);
