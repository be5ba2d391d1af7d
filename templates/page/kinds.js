// What a file may be shown as, by its content: its name is not believed for pictures, and what could hold scripts is never
// shown at all.

/**
 * @typedef {{ as: "picture", type: string } | { as: "text" } | { as: "saved", why: string }} Shown
 */

/** The largest picture and the largest text that are shown. */
export const LARGEST_PICTURE_BYTES = 64 * 2 ** 20;
const LARGEST_TEXT_BYTES = 4 * 2 ** 20;

/** How texts are called that are shown as they are. */
const TEXT_NAMES = /\.(txt|text|csv|tsv|md|toml|json|log)$/i;

/** How pictures are called that may be shown. */
const PICTURE_NAMES = /\.(png|jpg|jpeg|jpe|gif|webp)$/i;

/**
 * Whether it is worth asking for a file to be shown, by its name alone.
 * @param {string} path
 * @returns {boolean}
 */
export function mayBeShown(path) {
  return PICTURE_NAMES.test(path) || TEXT_NAMES.test(path);
}

/** Whether its name is that of a picture. @param {string} path */
export function mayBePicture(path) {
  return PICTURE_NAMES.test(path);
}

/**
 * How a file is shown. A picture's type is told by its first bytes.
 * @param {string} path
 * @param {number} size
 * @param {Uint8Array} begins its first bytes, at least 12 if there are as many
 * @returns {Shown}
 */
export function shownAs(path, size, begins) {
  const type = pictureType(begins);
  if (type !== null) {
    return size <= LARGEST_PICTURE_BYTES ? { as: "picture", type } : { as: "saved", why: "a picture too large to be shown here" };
  }
  if (TEXT_NAMES.test(path)) {
    return size <= LARGEST_TEXT_BYTES ? { as: "text" } : { as: "saved", why: "a text too long to be shown here" };
  }
  return { as: "saved", why: "not a kind of file that this page shows" };
}

/**
 * The media type of a picture that every browser shows and that can't hold scripts, or null.
 * @param {Uint8Array} begins
 * @returns {string | null}
 */
function pictureType(begins) {
  const signs = String.fromCharCode(...begins.subarray(0, 12));
  if (signs.startsWith("\x89PNG\r\n\x1a\n")) return "image/png";
  if (signs.startsWith("\xff\xd8\xff")) return "image/jpeg";
  if (/^GIF8[79]a/.test(signs)) return "image/gif";
  if (/^RIFF.{4}WEBP/s.test(signs)) return "image/webp";
  return null;
}
