/**
 * The keys of the sheet: what each does, in words for the help and as the name of an act.
 * They follow what editors of text and outlines commonly do.
 *
 * @typedef {{act: string, keys: string, word: string}} Key
 */

export const KEYS = /** @type {Key[]} */ ([
  {
    act: "below",
    keys: "Enter",
    word: "in a text: add an element below; in a rule: a rule of its kind",
  },
  { act: "section", keys: "Ctrl Shift Enter", word: "add a section below this one" },
  { act: "previous", keys: "↑", word: "in a text: to the row above" },
  { act: "next", keys: "↓", word: "in a text: to the row below" },
  {
    act: "up",
    keys: "Alt ↑",
    word: "move the row up, over the edge into the section before",
  },
  {
    act: "down",
    keys: "Alt ↓",
    word: "move the row down, over the edge into the section after",
  },
  { act: "into", keys: "Alt →", word: "put the element into the site grid above it" },
  { act: "out", keys: "Alt ←", word: "take the last site out of a grid, as elements" },
  { act: "duplicate", keys: "Alt Shift ↓", word: "duplicate the row below" },
  {
    act: "remove",
    keys: "Alt Delete",
    word: "remove the row (Backspace too where its text is empty)",
  },
  { act: "details", keys: "Ctrl Enter", word: "to the rest of the row" },
  { act: "back", keys: "Esc", word: "back to the row" },
  {
    act: "undo",
    keys: "Ctrl Z",
    word: "undo (in a field just typed in: the field’s own undo first)",
  },
  { act: "redo", keys: "Ctrl Shift Z", word: "redo" },
  { act: "help", keys: "?", word: "these keys (Ctrl / inside a field)" },
]);

const ARROWS = /** @type {Record<string, string>} */ ({
  ArrowUp: "up",
  ArrowDown: "down",
  ArrowLeft: "out",
  ArrowRight: "into",
});

/** The act that a key press asks for, or nothing. @param {KeyboardEvent} event */
export function actOf(event) {
  const { key, altKey, shiftKey } = event;
  const isCommand = event.ctrlKey || event.metaKey;
  const { target } = event;
  if (isCommand && !altKey) {
    if (key.toLowerCase() === "z") return shiftKey ? "redo" : "undo";
    if (key.toLowerCase() === "y") return "redo";
    if (key === "/") return "help";
    if (key === "Enter") return shiftKey ? "section" : "details";
    return "";
  }
  if (altKey && !isCommand) {
    if (shiftKey) return key === "ArrowDown" ? "duplicate" : "";
    if (key === "Delete") return "remove";
    return ARROWS[key] ?? "";
  }
  if (isCommand || altKey) return "";
  if (key === "Escape") return "back";
  if (key === "?" && !isTyping(target)) return "help";
  return target instanceof HTMLTextAreaElement ? inText(event, target) : "";
}

/** Keys that mean something in the text of a row alone. */
function inText(
  /** @type {KeyboardEvent} */ { key, shiftKey },
  /** @type {HTMLTextAreaElement} */ field,
) {
  if (field.dataset.as !== "line" || shiftKey) return "";
  const { value, selectionStart, selectionEnd } = field;
  if (key === "Enter") return "below";
  if (key === "Backspace" && value === "") return "remove";
  if (selectionStart !== selectionEnd) return "";
  if (key === "ArrowUp" && selectionStart === 0) return "previous";
  return key === "ArrowDown" && selectionStart === value.length ? "next" : "";
}

/** @param {EventTarget | null} target */
export function isTyping(target) {
  if (target instanceof HTMLTextAreaElement) return true;
  return target instanceof HTMLInputElement && target.type !== "checkbox";
}
