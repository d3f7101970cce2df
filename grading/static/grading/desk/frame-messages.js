/**
 * The messages that a host's frame understands and sends, as the site's settings
 * describe them:
 *
 *   {"preset": "player.js"}                the open player.js messages, or
 *   {"text": true,                         messages are JSON texts (else objects)
 *    "ready": {"event": "ready"},          names and values of the message that says so
 *    "listen": [{...}],                    sent once it is ready, so that it reports
 *    "play": {...}, "pause": {...},
 *    "seek": {"to": "{seconds}"},          {seconds} and {speed} are filled in
 *    "speed": {"rate": "{speed}"},         left out where the host cannot
 *    "time": {"match": {"event": "tick"}, "seconds": "value.at", "length": "value.of"},
 *    "playing": {"event": "play"}, "paused": {"event": "pause"}}
 *
 * @typedef {Record<string, any>} Message
 */

const PLAYER_JS = { context: "player.js", version: "0.0.11" };
/** @type {Record<string, Message>} */
const PRESETS = {
  "player.js": {
    text: true,
    ready: { context: "player.js", event: "ready" },
    listen: ["timeupdate", "play", "pause", "ended"].map((value) => ({
      ...PLAYER_JS,
      method: "addEventListener",
      value,
      listener: `bellside-${value}`,
    })),
    play: { ...PLAYER_JS, method: "play" },
    pause: { ...PLAYER_JS, method: "pause" },
    seek: { ...PLAYER_JS, method: "setCurrentTime", value: "{seconds}" },
    time: {
      match: { context: "player.js", event: "timeupdate" },
      seconds: "value.seconds",
      length: "value.duration",
    },
    playing: { context: "player.js", event: "play" },
    paused: { context: "player.js", event: "pause" },
  },
};
/** The description itself, or the preset that it names. @param {Message} messages */
export function described(messages) {
  return messages.preset ? (PRESETS[messages.preset] ?? messages) : messages;
}

/** @param {any} data @returns {Message | null} */
export function readable(data) {
  if (typeof data === "object") return data;
  try {
    const message = JSON.parse(data);
    return typeof message === "object" ? message : null;
  } catch {
    return null;
  }
}

/** @param {Message} message @param {Message} wanted */
export function matches(message, wanted) {
  return Object.entries(wanted).every(
    ([name, value]) => valueAt(message, name) === value,
  );
}

/** @param {Message} message @param {string} path names joined by dots */
export function valueAt(message, path) {
  return path
    .split(".")
    .reduce((found, name) => found?.[name], /** @type {any} */ (message));
}

/** @param {any} value @returns {value is number} */
export function isSecond(value) {
  return typeof value === "number" && Number.isFinite(value) && value >= 0;
}

/** @param {any} template @param {Record<string, number>} values @returns {any} */
export function filled(template, values) {
  if (Array.isArray(template)) return template.map((part) => filled(part, values));
  if (template && typeof template === "object")
    return Object.fromEntries(
      Object.entries(template).map(([name, part]) => [name, filled(part, values)]),
    );
  const name =
    typeof template === "string" ? /^\{(\w+)\}$/.exec(template)?.[1] : undefined;
  return name && name in values ? values[name] : template;
}
