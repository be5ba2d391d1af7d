// The seal: the SHA-256 of tagmanifest-sha256.txt, and what a person types of it from paper.

const SEAL_DIGITS = 64;

/**
 * A seal as it is printed, in groups of four.
 * @param {string} digits
 * @returns {string}
 */
export function inGroups(digits) {
  return (digits.match(/.{1,4}/gsu) ?? []).join(" ");
}

/**
 * How a typed seal was found: `empty`, `same`, `differs`, `part` (too few digits, those typed agree), or `unclear` (no
 * seal at all).
 * @typedef {{ found: "empty" | "same" | "differs" | "part" | "unclear", says: string }} SealFound
 */

/**
 * Holds what was typed against the seal. Spaces, line breaks, capital letters and signs between groups do not count. Part
 * of a seal is never taken for the whole.
 * @param {string} typed
 * @param {string} seal 64 hexadecimal digits in small letters
 * @returns {SealFound}
 */
export function compareSeal(typed, seal) {
  const digits = typed.normalize("NFKC").toLowerCase().replace(/[\s\p{Pd}\p{Cf}.,:;_|/'"]/gu, "");
  if (digits === "") return { found: "empty", says: "No seal was typed." };
  const signs = Array.from(digits);
  const wrong = signs.findIndex((sign) => !/^[0-9a-f]$/.test(sign));
  if (wrong >= 0) {
    const hint = { o: " Is it the digit 0?", l: " Is it the digit 1?", i: " Is it the digit 1?" }[signs[wrong]] ?? "";
    return {
      found: "unclear",
      says: `The sign “${signs[wrong]}” in group ${groupOf(wrong)} is in no seal: they consist of the digits 0 to 9 and the letters a to f.${hint}`,
    };
  }
  const differs = signs.findIndex((sign, at) => sign !== seal[at]);
  if (differs >= 0 && differs < SEAL_DIGITS) {
    const from = differs - differs % 4;
    const [paper, bundle] = [digits.slice(from, from + 4), seal.slice(from, from + 4)];
    if (signs.length < SEAL_DIGITS && paper.length < 4 && bundle.startsWith(paper)) return tooShort(signs.length);
    return {
      found: "differs",
      says: `It differs from the bundle's seal, first in group ${groupOf(differs)} of 16: typed is ${paper}, the bundle gives ${bundle}.${lengthNote(signs.length)}`,
    };
  }
  if (signs.length < SEAL_DIGITS) return tooShort(signs.length);
  if (signs.length > SEAL_DIGITS) {
    return { found: "differs", says: `It is no seal: ${signs.length} digits were typed, and a seal has ${SEAL_DIGITS}.` };
  }
  return { found: "same", says: "It is the seal of this bundle: all 16 groups are the same." };
}

/**
 * @param {number} count
 * @returns {SealFound}
 */
function tooShort(count) {
  return {
    found: "part",
    says: `Only ${count} of ${SEAL_DIGITS} digits were typed. They agree, but part of a seal proves nothing: type all 16 groups.`,
  };
}

/**
 * @param {number} count
 * @returns {string}
 */
function lengthNote(count) {
  return count === SEAL_DIGITS ? "" : ` Typed are ${count} digits, where a seal has ${SEAL_DIGITS}: is one left out or doubled?`;
}

/**
 * @param {number} at
 * @returns {number}
 */
function groupOf(at) {
  return Math.floor(at / 4) + 1;
}
