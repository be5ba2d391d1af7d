// Hatching. It means the same as in the report's drawings: direction and density tell positions, and kinds of exceptions
// of the coating, apart without colour.

import { svgElement } from "./svg.js";

/** Direction in degrees anticlockwise from the right, distance of its lines and their width in pixels. @typedef {{ angle: number, spacing: number, width: number }} Hatch */

/** Pixels on the screen for a millimetre of the report. */
const PX_PER_MM = 5.5;

/** Positions in turn, as angle and distance of lines in mm. */
const POSITION_HATCHES = /** @type {const} */ ([
  [45, 0.75],
  [135, 1.3],
  [0, 1.0],
  [90, 1.6],
  [22.5, 0.75],
  [112.5, 1.3],
  [67.5, 1.0],
  [157.5, 1.6],
]);

/** Kinds of exceptions, as angle, distance and width of lines in mm; steel without a coat is solid. @type {Record<string, [number, number, number]>} */
const EXCEPTION_HATCHES = {
  "outside its window": [135, 0.6, 0.22],
  "coats missing": [0, 0.8, 0.2],
  "patch, coated later": [45, 1.1, 0.12],
  contradiction: [112.5, 1.4, 0.15],
  preparation: [67.5, 1.8, 0.15],
  "film not accepted": [22.5, 2.2, 0.15],
  climate: [90, 2.8, 0.15],
  "batch or product": [157.5, 3.5, 0.15],
  "paint used": [10, 4.3, 0.15],
};

/** That of a position, by its number from 0. @param {number} number @returns {Hatch} */
export function hatchOfPosition(number) {
  const [angle, spacing] = POSITION_HATCHES[number % POSITION_HATCHES.length];
  const round = Math.min(20, Math.floor(number / POSITION_HATCHES.length));
  return { angle, spacing: (spacing + 0.4 * round) * PX_PER_MM, width: 1 };
}

/** That of a kind of exceptions; null where it is drawn solid. @param {string} kind @returns {Hatch | null} */
export function hatchOfException(kind) {
  if (kind === "no coat of the scheme") return null;
  const [angle, spacing, width] = EXCEPTION_HATCHES[kind] ?? [80, 5, 0.15];
  return { angle, spacing: spacing * PX_PER_MM, width: Math.max(1, width * 7) };
}

/** A hatch as a pattern of that id. @param {string} id @param {Hatch} hatch */
export function patternOf(id, hatch) {
  const { spacing } = hatch;
  const line = svgElement("path", { d: `M0 ${spacing / 2}H${spacing}`, class: "hatching", "stroke-width": hatch.width });
  const pattern = svgElement("pattern", { id, width: spacing, height: spacing, patternUnits: "userSpaceOnUse" }, line);
  turnPattern(pattern, hatch, 1, 1);
  return pattern;
}

/** Keeps a pattern's lines as far apart on the screen where what it fills is drawn larger. @param {Element} pattern @param {Hatch} hatch @param {number} across @param {number} up pixels for a unit, - where up is + */
export function turnPattern(pattern, hatch, across, up) {
  pattern.setAttribute("patternTransform", `scale(${1 / across} ${1 / up}) rotate(${-hatch.angle})`);
}
