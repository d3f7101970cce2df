/**
 * The marking desk: makes the parts that have no place on the page (store, outbox,
 * sender, clock, keys) and hands itself to those that have one. The markup reads as a
 * list without it.
 *
 *   <marking-desk data-desk="{...}" data-glyphs="...">
 *     <desk-recording>…</desk-recording> <comment-box>…</comment-box> <time-spine>…
 *     <marking-sheet>…</marking-sheet> …
 *   </marking-desk>
 */

import "./comment-box.js";
import "./comment-list.js";
import "./find-element.js";
import "./hazard-list.js";
import "./keys-help.js";
import "./rest-missed.js";
import "./saving-state.js";
import "./spoken-words.js";
import "./state-choice.js";
import "./time-spine.js";
import "./write-conflicts.js";
import { Outbox } from "../../accounts/outbox.js";
import { CheckList } from "./check-list.js";
import { DeskRecording } from "./desk-recording.js";
import { History } from "./history.js";
import { Keys } from "./keys.js";
import { Link } from "./link.js";
import { MarkingSheet } from "./marking-sheet.js";
import { find } from "./markup.js";
import { PlayedParts } from "./played.js";
import { Sender } from "./sender.js";
import { MarkingStore } from "./store.js";
import { TotalShown } from "./total-shown.js";

/** @typedef {import("./store.js").Value} Value */
/** @typedef {import("./store.js").PhraseUse} PhraseUse */

const PARTS = [
  "comment-list",
  "check-list",
  "find-element",
  "hazard-list",
  "keys-help",
  "rest-missed",
  "saving-state",
  "spoken-words",
  "state-choice",
  "time-spine",
  "write-conflicts",
  "comment-box",
].join();
const LONGEST_UNSENT_PLAYING = 20_000;

export class MarkingDesk extends HTMLElement {
  #ends = new AbortController();
  signal = this.#ends.signal;
  data = JSON.parse(this.dataset.desk ?? "{}");
  glyphs = this.dataset.glyphs ?? "";
  history = new History();
  store = new MarkingStore(this.data.targets);
  outbox = new Outbox(this.data.person, this.data.marking);
  played = new PlayedParts(this.data.played);
  keys = new Keys(this.data.person);
  link = new Link(this.data);
  sender = new Sender(this);
  recording = find(this, "desk-recording", DeskRecording);
  sheet = find(this, "marking-sheet", MarkingSheet);
  /** @type {import("./clock.js").Clock} */
  clock = this.recording.begin(this);

  connectedCallback() {
    if (this.#isReturn()) return;
    this.played.follow(this.clock, this.signal);
    this.#measureBar();
    this.sheet.begin(this);
    new TotalShown(this);
    for (const part of this.querySelectorAll(PARTS)) begin(part, this);
    this.sheet.open();
    if (location.hash === "#checks") find(this, "check-list", CheckList).open();
    this.sender.begin();
    navigator.storage?.persist?.();
    const timer = setInterval(() => this.#sendPlayed(), LONGEST_UNSENT_PLAYING);
    this.signal.addEventListener("abort", () => clearInterval(timer));
  }

  disconnectedCallback() {
    this.#ends.abort();
  }

  /** Where the act is that the marker just saw, and how fast it was played. */
  stamp() {
    const now = this.clock.now();
    const { speed } = this.clock;
    const back = this.keys.setBack ?? 2 * speed;
    return { at: now === null ? null : rounded(Math.max(0, now - back)), speed };
  }

  /**
   * One act of the person: shown at once, kept for undo, on its way to the server.
   * @param {string} label
   * @param {{target: string, value: Value | null, phrase?: PhraseUse}[]} changes
   */
  act(label, changes) {
    const steps = changes.map(({ target, value }) => ({
      target,
      before: this.store.value(target),
      after: value,
    }));
    this.history.add({ label, steps });
    this.put(changes);
  }

  undo() {
    this.#turn("undo", "Nothing to undo.");
  }

  redo() {
    this.#turn("redo", "Nothing to do again.");
  }

  /** For screen readers, and for what has no other place. @param {string} text */
  say(text) {
    find(this, "[data-say]", HTMLElement).textContent = text;
  }

  /** @param {"undo" | "redo"} way @param {string} nothing */
  #turn(way, nothing) {
    /** @type {{target: string, value: Value | null}[]} */
    const changes = [];
    const turned = this.history[way](
      (target) => this.store.value(target),
      (target, value) => changes.push({ target, value }),
    );
    if (!turned) return this.say(nothing);
    this.put(changes);
    const word = way === "undo" ? "Undone" : "Done again";
    const left = turned.kept.length
      ? `; ${turned.kept.length} changed since, left alone`
      : "";
    this.say(`${word}: ${turned.label}${left}.`);
    if (turned.targets.length) this.sheet.goTo(turned.targets[0]);
  }

  /**
   * Changes that are no act of the person, and nothing to undo.
   * @param {{target: string, value: Value | null, phrase?: PhraseUse}[]} changes
   */
  put(changes) {
    const made = changes.map(({ target, value, phrase }) =>
      this.store.propose(target, value, phrase),
    );
    this.sender.add(made);
  }

  /** What sticks below the bar has to know how high it is; on phones the recording too. */
  #measureBar() {
    const bar = find(this, ".desk-bar", HTMLElement);
    const recording = find(this, ".recording", HTMLElement);
    const measure = () => {
      const cover = bar.offsetHeight + recording.offsetHeight;
      this.style.setProperty("--bar", `${bar.offsetHeight}px`);
      this.style.setProperty("--cover", `${cover}px`);
    };
    measure();
    const sizes = new ResizeObserver(measure);
    sizes.observe(bar);
    sizes.observe(recording);
    this.signal.addEventListener("abort", () => sizes.disconnect());
  }

  #sendPlayed() {
    this.played.cut();
    if (this.played.unsent().length) this.sender.flush();
  }

  /** A tab that was opened to sign in again tells the desk it came from, and closes. */
  #isReturn() {
    if (location.hash !== "#signed-in" || !window.opener) return false;
    this.sender.announceSignIn();
    window.close();
    return true;
  }
}

/** @param {any} part one of PARTS @param {MarkingDesk} desk */
function begin(part, desk) {
  part.begin(desk);
}

/** @param {number} seconds */
function rounded(seconds) {
  return Math.round(seconds * 1000) / 1000;
}

customElements.define("marking-desk", MarkingDesk);
