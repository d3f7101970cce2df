/** Moments of a recording as people write them: m:ss, or h:mm:ss from an hour on. */

/**
 * @param {number | null | undefined} seconds
 * @returns {string} cut to the whole second; empty where there is no moment
 */
export function asClock(seconds) {
  if (seconds === null || seconds === undefined) return "";
  const whole = Math.floor(seconds);
  const rest = String(whole % 60).padStart(2, "0");
  const minutes = Math.floor(whole / 60);
  if (minutes < 60) return `${minutes}:${rest}`;
  return `${Math.floor(minutes / 60)}:${String(minutes % 60).padStart(2, "0")}:${rest}`;
}

/**
 * @param {string} text "6:10", "1:02:05", "6:10.5" or whole seconds
 * @returns {number | null} seconds, or null where it is no moment
 */
export function readClock(text) {
  const match = /^\s*(?:(?:(\d{1,2}):)?(\d{1,3}):)?(\d{1,5}(?:[.,]\d{1,3})?)\s*$/.exec(
    text,
  );
  if (!match) return null;
  const [hours, minutes, seconds] = match.slice(1).map((part) => toNumber(part));
  if ((match[2] && seconds >= 60) || (match[1] && minutes >= 60)) return null;
  return 3600 * hours + 60 * minutes + seconds;
}

/** @param {string | undefined} text */
function toNumber(text) {
  return text ? Number(text.replace(",", ".")) : 0;
}
