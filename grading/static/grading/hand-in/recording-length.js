/**
 * Tries whether the link plays here, and reads its length off the player.
 *
 * <recording-length data-hosts='[{"pattern": "...", "plays": "file", "address": "..."}]'>
 *   <p role="status"></p>
 *   <video hidden></video>
 * </recording-length>
 *
 * Stands in the form beside the fields named `link` and `length`. The server never opens
 * the link; only this browser does, and only when the person has written it.
 */
export class RecordingLength extends HTMLElement {
  #listeners = new AbortController();

  connectedCallback() {
    const { signal } = this.#listeners;
    this.#link().addEventListener("change", () => this.#try(), { signal });
    this.#video().addEventListener("loadedmetadata", () => this.#plays(), { signal });
    this.#video().addEventListener("error", () => this.#opensElsewhere(), { signal });
    this.hidden = false;
    this.#try();
  }

  disconnectedCallback() {
    this.#listeners.abort();
  }

  #try() {
    const link = this.#link().value.trim();
    const video = this.#video();
    video.hidden = true;
    video.removeAttribute("src");
    if (!link.startsWith("https://")) {
      this.#say("");
      return;
    }
    const found = this.#playback(link);
    if (found.plays === "frame") {
      this.#say(
        "This link plays here, in its host's own player. Please type the length.",
      );
    } else {
      this.#say("Trying whether the link plays here ...");
      video.src = found.address;
    }
  }

  /** @param {string} link */
  #playback(link) {
    /** @type {{pattern: string, plays: string, address: string}[]} */
    const hosts = JSON.parse(this.dataset.hosts ?? "[]");
    for (const { pattern, plays, address } of hosts) {
      const match = new RegExp(`^(?:${pattern})$`).exec(link);
      if (match) {
        const filled = address.replace(
          /\{(\w+)\}/g,
          (_, name) => match.groups?.[name] ?? "",
        );
        return { plays, address: filled };
      }
    }
    return { plays: "file", address: link };
  }

  #plays() {
    const video = this.#video();
    video.hidden = false;
    if (!Number.isFinite(video.duration)) {
      this.#say("The link plays here. Its length cannot be read: please type it.");
      return;
    }
    const seconds = Math.round(video.duration);
    const length = `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, "0")}`;
    const field = /** @type {HTMLInputElement} */ (
      this.#form().elements.namedItem("length")
    );
    field.value = length;
    this.#say(`The link plays here; its length is ${length}.`);
  }

  #opensElsewhere() {
    if (this.#video().getAttribute("src")) {
      this.#say(
        "The link does not play inside this page. Your marker can still open it in its own window. Please type the length.",
      );
    }
  }

  /** @param {string} words */
  #say(words) {
    /** @type {HTMLElement} */ (this.querySelector("[role=status]")).textContent =
      words;
  }

  #form() {
    return /** @type {HTMLFormElement} */ (this.closest("form"));
  }

  #link() {
    return /** @type {HTMLInputElement} */ (this.#form().elements.namedItem("link"));
  }

  #video() {
    return /** @type {HTMLVideoElement} */ (this.querySelector("video"));
  }
}

customElements.define("recording-length", RecordingLength);
