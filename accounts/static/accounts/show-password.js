/**
 * Lets a person read the password they are typing.
 *
 *   <show-password><input type="password" id="id_password">
 *     <button type="button" aria-controls="id_password" hidden>Show</button>
 *   </show-password>
 *
 * Without the module the field works and the button stays away.
 */
export class ShowPassword extends HTMLElement {
  #ends = new AbortController();

  connectedCallback() {
    const input = this.querySelector("input");
    const button = this.querySelector("button");
    if (!input || !button) return;
    const signal = this.#ends.signal;
    button.hidden = false;
    button.addEventListener(
      "click",
      () => {
        const shown = input.type === "text";
        input.type = shown ? "password" : "text";
        button.textContent = shown ? "Show" : "Hide";
      },
      { signal },
    );
    // Sent as a password field, so that browsers do not keep it as a typed word.
    input.form?.addEventListener(
      "submit",
      () => {
        input.type = "password";
      },
      { signal },
    );
  }

  disconnectedCallback() {
    this.#ends.abort();
  }
}

customElements.define("show-password", ShowPassword);
