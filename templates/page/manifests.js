// The tag files of a BagIt bag (RFC 8493): manifests, the declaration, bag-info.txt.

import { Oddities } from "./oddities.js";
import { shown, unsafePath } from "./paths.js";
import { MOST_ENTRIES } from "./zip.js";

/** The folder of the payload in a bag (section 2.1.2). */
export const DATA = "data/";
export const DECLARATION_FILE = "bagit.txt";
export const INFO_FILE = "bag-info.txt";
export const MANIFEST = "manifest-sha256.txt";
export const TAG_MANIFEST = "tagmanifest-sha256.txt";
export const SECOND_MANIFEST = "manifest-sha512.txt";
export const SECOND_TAG_MANIFEST = "tagmanifest-sha512.txt";

/** Where this page lies in a bundle. */
export const PAGE_FILE = "data/start-here.html";

/** The version of the format of bundles that this page knows. */
export const KNOWN_FORMAT = "1";

/** The label in bag-info.txt that states the version of the format. */
export const FORMAT_LABEL = "Docking-Record-Format";

/** The same of a supplement to a bundle. */
export const SUPPLEMENT_LABEL = "Docking-Supplement-Format";

/** Hexadecimal digits of a digest. */
export const SHA256_DIGITS = 64;
export const SHA512_DIGITS = 128;

/** The longest path that is accepted, bytes: far longer than any in a bundle. */
const LONGEST_PATH = 1024;

/**
 * What a manifest lists.
 * @typedef {object} Manifest
 * @property {Map<string, string>} digests lower-case hexadecimal digest by path
 * @property {string[]} wrong sentences on lines that can't be used
 */

/**
 * @param {string} path
 * @returns {boolean}
 */
export function isTagManifest(path) {
  return /^tagmanifest-[^/]*\.txt$/.test(path);
}

/**
 * @param {string} path
 * @returns {boolean}
 */
export function isPayloadManifest(path) {
  return /^manifest-[^/]*\.txt$/.test(path);
}

/**
 * The path that a manifest's text stands for (section 2.1.3). A per cent sign before anything else stands for itself, as
 * older writers meant it.
 * @param {string} text
 * @returns {string}
 */
export function decodedPath(text) {
  return text.replace(/%(0A|0D|25)/gi, (_, code) => String.fromCharCode(parseInt(code, 16)));
}

/**
 * Lines that end in a line feed, a carriage return, or both; one after the other, since a text may be nothing but ends of
 * lines.
 * @param {string} text
 * @returns {Generator<string, void, void>}
 */
export function* linesOf(text) {
  const ends = /\r\n|\n|\r/g;
  for (let at = 0; at < text.length;) {
    const end = ends.exec(text);
    yield text.slice(at, end === null ? text.length : end.index);
    at = end === null ? text.length : ends.lastIndex;
  }
}

/**
 * Reads a manifest.
 * @param {string} name
 * @param {string} text
 * @param {number} [digits] of a digest in it
 * @returns {Manifest}
 */
export function readManifest(name, text, digits = SHA256_DIGITS) {
  /** @type {Map<string, string>} */
  const digests = new Map();
  const odd = new Oddities();
  if (text.startsWith("\ufeff")) odd.add(`${name} begins with a byte order mark`);
  let number = 0;
  for (const line of linesOf(text.replace(/^\ufeff/, ""))) {
    number += 1;
    if (number > MOST_ENTRIES) break;
    const why = line.trim() === "" ? null : takeLine(line, digits, digests);
    if (why !== null) odd.add(`${name}, line ${number}, ${why}`);
  }
  const wrong = odd.sentences();
  if (number > MOST_ENTRIES) {
    wrong.push(`${name} has more than ${MOST_ENTRIES} lines, more files than a bundle may have: the rest was not read`);
  }
  return { digests, wrong: [...wrong, ...outOfPlace(name, digests)] };
}

/**
 * Takes what a line lists; returns what is wrong with it, or null.
 * @param {string} line
 * @param {number} digits
 * @param {Map<string, string>} digests
 * @returns {string | null}
 */
function takeLine(line, digits, digests) {
  const parts = /^([^ \t]*)[ \t]\s*(.*)$/su.exec(line);
  if (parts === null) return "is not a digest and a path";
  // Some tools of the time put an asterisk before the path of a file read as binary.
  const path = decodedPath(parts[2].replace(/^\*/, ""));
  const digest = parts[1].toLowerCase();
  const bytes = new TextEncoder().encode(path).length;
  if (bytes > LONGEST_PATH) return `has a path of ${bytes} bytes`;
  if (digest.length !== digits || !/^[0-9a-f]*$/.test(digest)) return `has a digest that is not ${digits} hexadecimal digits`;
  const unsafe = unsafePath(path);
  if (unsafe !== null) return `lists a path that ${unsafe}`;
  const isSecond = digests.has(path);
  digests.set(path, digest);
  return isSecond ? `lists ${shown(path)} a second time` : null;
}

/**
 * What a manifest must not list: tag files in one of the payload, the payload or a tag manifest in one of tag files
 * (sections 2.1.3 and 2.2.1).
 * @param {string} name
 * @param {Map<string, string>} digests
 * @returns {string[]}
 */
function outOfPlace(name, digests) {
  const wrong = [];
  const ofTags = isTagManifest(name);
  const paths = [...digests.keys()];
  const tagManifest = ofTags ? paths.find(isTagManifest) : undefined;
  if (tagManifest !== undefined) wrong.push(`${name} lists ${tagManifest}, but no tag manifest may list a tag manifest`);
  const path = paths.find((one) => one.startsWith(DATA) === ofTags);
  if (path !== undefined) {
    wrong.push(`${name} lists ${shown(path)}, which is ${ofTags ? "the payload" : "no file of the payload"}`);
  }
  return wrong;
}

/**
 * Whether bagit.txt is the declaration of a BagIt 1.0 bag: these two lines in this order (section 2.1.1).
 * @param {string} text
 * @returns {boolean}
 */
export function isDeclaration(text) {
  return /^BagIt-Version: 1\.0(\r\n|\n|\r)Tag-File-Character-Encoding: UTF-8(\r\n|\n|\r)?$/.test(text);
}

/**
 * The value of a label in bag-info.txt, or null.
 * @param {string} text
 * @param {string} label
 * @returns {string | null}
 */
export function infoValue(text, label) {
  for (const line of linesOf(text)) {
    const colon = line.indexOf(":");
    if (colon >= 0 && line.slice(0, colon).trim().toLowerCase() === label.toLowerCase()) return line.slice(colon + 1).trim();
  }
  return null;
}
