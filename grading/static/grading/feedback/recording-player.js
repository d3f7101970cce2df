import { FileClock } from "../desk/file-clock.js";
import { FrameClock } from "../desk/frame-clock.js";

/**
 * Plays the recording and jumps to moments.
 *
 * <recording-player data-plays="file"><video></video>
 *   <p class="back" hidden><a href="#main">Back to where you were</a></p>
 * </recording-player>
 *
 * Every a.moment of the page (data-at: seconds) then jumps here instead of opening the
 * recording. The comment that is being played (li with data-from, in time order) is
 * marked as the current one.
 */
export class RecordingPlayer extends HTMLElement {
  #listeners = new AbortController();
  /** @type {import("../desk/clock.js").Clock | null} */
  #clock = null;
  /** @type {HTMLElement | null} */
  #from = null;

  connectedCallback() {
    this.#listeners = new AbortController();
    const { signal } = this.#listeners;
    this.#clock = this.#startClock(signal);
    this.#clock.addEventListener("time", () => this.#follow(), { signal });
    document.addEventListener("click", (event) => this.#jump(event), { signal });
    this.#back.addEventListener("click", (event) => this.#return(event), { signal });
  }

  disconnectedCallback() {
    this.#listeners.abort();
  }

  /** @param {AbortSignal} signal */
  #startClock(signal) {
    const { plays, origin = "", messages = "{}" } = this.dataset;
    if (plays === "file")
      return new FileClock(
        /** @type {HTMLVideoElement} */ (this.querySelector("video")),
        signal,
      );
    const frame = /** @type {HTMLIFrameElement} */ (this.querySelector("iframe"));
    return new FrameClock(frame, origin, JSON.parse(messages), signal);
  }

  /** @param {MouseEvent} event */
  #jump(event) {
    const link = /** @type {Element} */ (event.target).closest("a.moment");
    if (!(link instanceof HTMLAnchorElement) || opensElsewhere(event)) return;
    event.preventDefault();
    this.#clock?.seek(Number(link.dataset.at));
    this.#clock?.play();
    if (isInView(this)) return;
    this.#from = link;
    this.#back.hidden = false;
    this.scrollIntoView({ block: "start" });
    /** @type {HTMLElement | null} */ (this.querySelector("video, iframe"))?.focus({
      preventScroll: true,
    });
  }

  /** @param {MouseEvent} event */
  #return(event) {
    event.preventDefault();
    this.#from?.scrollIntoView({ block: "center" });
    this.#from?.focus({ preventScroll: true });
    this.#back.hidden = true;
  }

  #follow() {
    const now = this.#clock?.now() ?? -1;
    /** @type {NodeListOf<HTMLElement>} */
    const comments = document.querySelectorAll(".remarks > [data-from]");
    const current = [...comments]
      .filter((comment) => Number(comment.dataset.from) <= now)
      .at(-1);
    if (current?.hasAttribute("aria-current")) return;
    for (const comment of comments) comment.removeAttribute("aria-current");
    if (!current) return;
    current.setAttribute("aria-current", "true");
    // The list alone scrolls: whoever reads elsewhere on the page stays there.
    const list = /** @type {HTMLElement} */ (current.parentElement);
    list.scrollTop = current.offsetTop - list.offsetTop;
  }

  get #back() {
    return /** @type {HTMLElement} */ (this.querySelector(".back"));
  }
}

/** @param {MouseEvent} event whose default is a new tab, window or download */
function opensElsewhere(event) {
  return (
    event.button !== 0 ||
    event.ctrlKey ||
    event.metaKey ||
    event.shiftKey ||
    event.altKey
  );
}

/** @param {Element} element */
function isInView(element) {
  const { top, bottom } = element.getBoundingClientRect();
  return top >= 0 && bottom <= window.innerHeight;
}

customElements.define("recording-player", RecordingPlayer);
