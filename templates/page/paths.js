// Names of files: which must not be followed, which some systems can't hold, and how a name is shown.

/**
 * A text of a file or a name with what can't be seen, or turns the text next to it, as code points.
 * @param {string} text
 * @returns {string}
 */
export function shown(text) {
  return text.replace(/[\p{Cc}\p{Cf}\p{Zl}\p{Zp}\p{Cs}\p{Co}]/gu, (sign) => {
    const code = /** @type {number} */ (sign.codePointAt(0)).toString(16).toUpperCase().padStart(4, "0");
    return `[U+${code}]`;
  });
}

/**
 * A text that people wrote, with the signs that turn a line round and control signs as code points; its line breaks stay.
 * @param {string} text
 * @returns {string}
 */
export function shownText(text) {
  return text.replace(/\r\n/g, "\n").replace(/[^\P{Cc}\n\t]|[\u061c\u200e\u200f\u202a-\u202e\u2028\u2029\u2066-\u2069\ufeff]/gu, shown);
}

/**
 * Why a path must not be followed, or null.
 * @param {string} path
 * @returns {string | null}
 */
export function unsafePath(path) {
  if (path === "") return "is empty";
  if (/^[/~]|\\|\0/.test(path)) return "is not a plain path inside the bundle";
  if (path[1] === ":") return "names a drive";
  if (path.split("/").some((part) => part === "" || part === "." || part === "..")) {
    return "leaves the bundle or is not plain";
  }
  return null;
}

/**
 * Why not every system can hold a file of this path, or null.
 * @param {string} path
 * @returns {string | null}
 */
export function unkeepable(path) {
  // Records and papers lie deeper in the bundle than in the project, for which the bound was made.
  const kept = path.replace(/^data\/records\//, "").replace(/^data\/papers\//, "papers/");
  if (new TextEncoder().encode(kept).length > 200) return "has a name longer than 200 bytes";
  for (const part of path.split("/")) {
    const stem = part.split(".")[0].toLowerCase();
    if (/^(con|prn|aux|nul|com[0-9]|lpt[0-9])$/.test(stem)) return "has the name of a device on some systems";
    if (/[ .]$|^ /.test(part)) return "has a name that begins or ends with a space, or ends with a full stop";
    if (/[\p{Cc}\\:*?"<>|]/u.test(part)) return "has a character in its name that some systems don't accept";
  }
  return null;
}

/** Names of files, some of which are one name to systems that pay no regard to capital letters or to how accents are written. */
export class Names {
  constructor() {
    /** @type {Map<string, string>} */
    this.folded = new Map();
  }

  /**
   * Adds a name; returns in what alone an earlier one differs that some system takes for the same, or null.
   * @param {string} path
   * @returns {string | null}
   */
  clash(path) {
    const folded = path.normalize("NFD").replace(/./gsu, (sign) => sign.toLowerCase()).normalize("NFC");
    const other = this.folded.get(folded);
    this.folded.set(folded, path);
    if (other === undefined) return null;
    if (other.toLowerCase() === path.toLowerCase()) return "only in capital letters";
    return "only in how its accented letters are encoded";
  }
}
