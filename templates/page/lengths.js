// Lengths and places in words, in the units of the page.

/** @typedef {import("./record.js").Length} Length */
/** @typedef {import("./record.js").Hull} Hull */

const MINUS = "\u2212";
const NARROW = "\u00a0";

/** A number with so many decimals, with a true minus; never minus nought. @param {number} value @param {number} decimals */
export function figure(value, decimals) {
  const text = Math.abs(value).toFixed(decimals);
  return value < 0 && Number(text) !== 0 ? `${MINUS}${text}` : text;
}

/** A length or an area with its unit. @param {number} metres @param {Length} as */
export function lengthInWords(metres, as) {
  return `${figure(metres * as.factor, as.decimals)}${NARROW}${as.unit}`;
}

/** How far to a side. @param {number} y @param {Length} as */
export function offsetInWords(y, as) {
  const words = lengthInWords(Math.abs(y), as);
  if (Number(Math.abs(y * as.factor).toFixed(as.decimals)) === 0) return "on the centreline";
  return `${words} to ${y > 0 ? "port" : "starboard"}`;
}

/** A place. @param {number} x @param {number} y @param {Length} as */
export function placeInWords(x, y, as) {
  return `x${NARROW}${lengthInWords(x, as)}, ${offsetInWords(y, as)}`;
}

/** A frame with a part of the way to the next. @param {number} frame @param {Hull} hull */
export function frameInWords(frame, hull) {
  const nearest = Math.round(frame);
  if (Math.abs(frame - nearest) < 0.005) return `frame${NARROW}${figure(nearest, 0)}`;
  return `between frames ${figure(Math.floor(frame), 0)} and ${figure(Math.ceil(frame), 0)}, nearest ${figure(nearest, 0)}${
    hull.frames.fromAft ? "" : ", counted from forward"
  }`;
}

/** What a person typed as a number, with a point or a comma; null if it is none. @param {string} typed @returns {number | null} */
export function typedNumber(typed) {
  const plain = typed.trim().replace(MINUS, "-").replace(",", ".");
  return /^[+-]?(\d+\.?\d*|\.\d+)$/.test(plain) ? Number(plain) : null;
}

/** The next step of 1, 2 or 5 times a power of ten that is not less. @param {number} least */
export function roundStep(least) {
  const power = 10 ** Math.floor(Math.log10(least));
  const times = [1, 2, 5, 10].find((one) => one * power >= least * (1 - 1e-9)) ?? 10;
  return times * power;
}

/** Decimals that a step needs. @param {number} step */
export function decimalsOf(step) {
  return Math.max(0, -Math.floor(Math.log10(step) + 1e-9));
}
