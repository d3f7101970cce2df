/**
 * Values of a node's fields: by path ("points", "credit.said", "levels.0.label").
 *
 * @typedef {import("./tree.js").Values} Values
 */

/** Whether two values say the same; a number and its digits do. @param {any} a @param {any} b */
export function same(a, b) {
  return canonical(a) === canonical(b);
}

/** @param {any} value @returns {string} */
function canonical(value) {
  if (Array.isArray(value)) return `[${value.map(canonical).join()}]`;
  if (value === null || typeof value !== "object") return JSON.stringify(`${value}`);
  const keys = Object.keys(value).sort();
  return `{${keys.map((key) => `${key}:${canonical(value[key])}`).join()}}`;
}

/** @param {Values} fields @param {string} path @returns {any} */
export function valueAt(fields, path) {
  return path
    .split(".")
    .reduce((value, step) => value?.[step] ?? null, /** @type {any} */ (fields));
}

/**
 * The field that the path begins with, with the value put in; null takes a key away, and
 * with the last key the group.
 * @param {Values} fields
 * @param {string} path
 * @param {any} value
 * @returns {Values}
 */
export function withValue(fields, path, value) {
  const [name, ...steps] = path.split(".");
  return { [name]: put(fields[name], steps, value) };
}

/** @param {any} old @param {string[]} steps @param {any} value @returns {any} */
function put(old, [step, ...steps], value) {
  if (step === undefined) return value;
  if (Array.isArray(old)) {
    const list = [...old];
    list[Number(step)] = put(list[Number(step)], steps, value ?? "");
    return list;
  }
  const group = { ...(old && typeof old === "object" ? old : {}) };
  const inner = put(group[step], steps, value);
  if (inner === null) delete group[step];
  else group[step] = inner;
  return Object.keys(group).length ? group : null;
}

/** A value in words, for people. @param {any} value @returns {string} */
export function inWords(value) {
  if (value === null || value === undefined || value === "") return "nothing";
  if (value === true) return "yes";
  if (value === false) return "no";
  if (Array.isArray(value)) return value.map(inWords).join(", ") || "nothing";
  if (typeof value === "object")
    return Object.entries(value)
      .map(([key, inner]) => `${NAMES[key] ?? key} ${inWords(inner)}`)
      .join(", ");
  return EFFECTS[value] ?? String(value);
}

export const TECHNIQUES = [
  ...["inspect", "palpate", "percuss", "auscultate"],
  ...["measure", "ask", "state", "perform"],
];

/** What happens to a result: the word on the sheet for each key of a file. */
export const EFFECTS = /** @type {Record<string, string>} */ ({
  flag: "flag only",
  deduct: "points off",
  cap: "cap at",
  fail: "not yet",
});

/** The words of the sheet for the keys of a file. */
export const NAMES = /** @type {Record<string, string>} */ ({
  key: "key",
  title: "title",
  text: "text",
  technique: "technique",
  points: "points",
  points_shared: "points shared",
  critical: "if left out",
  effect: "if broken",
  credit: "credit",
  partly: "partly",
  said: "said only",
  levels: "levels",
  expects: "expects",
  source: "source",
  may_excuse: "may be excused",
  say: "other spoken words",
  sites: "sites",
  sides: "sides",
  instruments: "instruments",
  minimum_percent: "minimum",
  language: "language",
  pass_percent: "pass mark",
  unseen_limit_percent: "not seen, at most",
  unseen: "what is not seen",
  global_rating: "global rating",
  words: "words",
  borderline: "borderline",
  count: "count",
  of: "elements",
  first: "first",
  // biome-ignore lint/suspicious/noThenProperty: so the file format calls it
  then: "then",
  per: "read once per",
  slack_seconds: "slack",
  minutes: "minutes",
  kind: "kind",
  deduct: "points off",
  cap: "cap at",
  label: "label",
});
