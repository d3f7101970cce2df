/**
 * Numbers as they were typed, added and multiplied without losing a digit.
 *
 * @typedef {{whole: bigint, places: number}} Decimal whole / 10 ** places
 */

const NUMBER = /^-?(?:0|[1-9]\d{0,19})(?:\.\d{1,20})?$/;
const LONG = 4; // decimals, beyond which a share is shown as a fraction

/**
 * The number, or null where it is none.
 * @param {unknown} written
 * @returns {Decimal | null}
 */
export function decimal(written) {
  const text = String(written ?? "").trim();
  if (!NUMBER.test(text)) return null;
  const [head, tail = ""] = text.split(".");
  return { whole: BigInt(head + tail), places: tail.length };
}

/**
 * What is wrong with what was typed for a number, in words; nothing where all is right.
 * @param {unknown} written
 * @param {number} low
 * @param {number} high
 * @param {boolean} [isWhole]
 */
export function numberFault(written, low, high, isWhole = false) {
  const text = String(written ?? "").trim();
  const kind = isWhole ? "a whole number" : "a number";
  const allowed = `${kind} from ${low} to ${high}`;
  if (text === "") return "";
  const value = decimal(text);
  if (!value)
    return `“${text}” is not ${allowed}${text.includes(",") ? ": write a point, not a comma" : ", such as 1 or 0.5"}.`;
  const scale = 10n ** BigInt(value.places);
  if (isWhole && value.whole % scale) return `${text} is not ${allowed}.`;
  if (value.whole < BigInt(low) * scale || value.whole > BigInt(high) * scale)
    return `${text} is not ${allowed}.`;
  return "";
}

/** @param {Decimal} a @param {Decimal} b @returns {Decimal} */
export function sum(a, b) {
  const places = Math.max(a.places, b.places);
  return { whole: scaled(a, places) + scaled(b, places), places };
}

/** @param {Decimal} a @param {number} times @returns {Decimal} */
export function times(a, times) {
  return { ...a, whole: a.whole * BigInt(times) };
}

/** Without zeros at the end. @param {Decimal} value */
export function shown({ whole, places }) {
  const digits = String(whole < 0n ? -whole : whole).padStart(places + 1, "0");
  const tail = places ? digits.slice(-places).replace(/0+$/, "") : "";
  const head = places ? digits.slice(0, -places) : digits;
  return `${whole < 0n ? "−" : ""}${head}${tail && "."}${tail}`;
}

/**
 * An equal share in words: 1.2, or 12/7 where it does not end soon.
 * @param {Decimal} value
 * @param {number} parts above 0
 */
export function share(value, parts) {
  const over = BigInt(parts);
  const most = value.whole * 10n ** BigInt(LONG);
  if (most % over === 0n)
    return shown({ whole: most / over, places: value.places + LONG });
  const about = Number((value.whole * 10n ** 3n) / over) / 10 ** (value.places + 3);
  return `${shown(value)}/${parts}, about ${about.toFixed(2)}`;
}

/** @param {Decimal} value @param {number} places */
function scaled(value, places) {
  return value.whole * 10n ** BigInt(places - value.places);
}
