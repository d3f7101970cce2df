/**
 * Paper for day or night: as the device says, unless the person chose.
 *
 *   <theme-choice hidden><label>Theme <select>
 *     <option value="">as this device</option>
 *     <option value="light">light</option> <option value="dark">dark</option>
 *   </select></label></theme-choice>
 *
 * The choice stays on this device. The module is fetched before the first paint
 * (blocking="render"), so that no page flashes in the other theme.
 */
const KEY = "bellside-theme";

function kept() {
  try {
    return localStorage.getItem(KEY) ?? "";
  } catch {
    return ""; // storage may be switched off
  }
}

/** @param {string} theme "", "light" or "dark" */
function apply(theme) {
  if (theme) document.documentElement.dataset.theme = theme;
  else delete document.documentElement.dataset.theme;
}

export class ThemeChoice extends HTMLElement {
  #ends = new AbortController();

  connectedCallback() {
    const select = this.querySelector("select");
    if (!select) return;
    select.value = kept();
    this.hidden = false;
    select.addEventListener(
      "change",
      () => {
        apply(select.value);
        try {
          localStorage.setItem(KEY, select.value);
        } catch {
          // the page keeps the theme until it is left
        }
      },
      { signal: this.#ends.signal },
    );
  }

  disconnectedCallback() {
    this.#ends.abort();
  }
}

apply(kept());
customElements.define("theme-choice", ThemeChoice);
