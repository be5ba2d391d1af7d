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

/** Hexadecimal digits of a digest. */
const SHA256_DIGITS = 64;
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
 * Lines that end in a line feed, a carriage return, or both.
 * @param {string} text
 * @returns {string[]}
 */
export function linesOf(text) {
  const lines = text.split(/\r\n|\n|\r/);
  if (lines.at(-1) === "") lines.pop();
  return lines;
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
  const lines = linesOf(text.replace(/^\ufeff/, ""));
  const tooMany = lines.length > MOST_ENTRIES;
  lines.slice(0, MOST_ENTRIES).forEach((line, at) => {
    if (line.trim() === "") return;
    const place = `${name}, line ${at + 1}`;
    const parts = /^([^ \t]*)[ \t]\s*(.*)$/su.exec(line);
    if (parts === null) return odd.add(`${place}, is not a digest and a path`);
    // Some tools of the time put an asterisk before the path of a file read as binary.
    const path = decodedPath(parts[2].replace(/^\*/, ""));
    const digest = parts[1].toLowerCase();
    const bytes = new TextEncoder().encode(path).length;
    if (bytes > LONGEST_PATH) return odd.add(`${place}, has a path of ${bytes} bytes`);
    if (digest.length !== digits || !/^[0-9a-f]*$/.test(digest)) {
      return odd.add(`${place}, has a digest that is not ${digits} hexadecimal digits`);
    }
    const unsafe = unsafePath(path);
    if (unsafe !== null) return odd.add(`${place}, lists a path that ${unsafe}`);
    if (digests.has(path)) odd.add(`${place}, lists ${shown(path)} a second time`);
    digests.set(path, digest);
  });
  const wrong = odd.sentences();
  if (tooMany) {
    wrong.push(`${name} has more than ${MOST_ENTRIES} lines, more files than a bundle may have: the rest was not read`);
  }
  return { digests, wrong: [...wrong, ...outOfPlace(name, digests)] };
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
  const lines = linesOf(text);
  return lines.length === 2 && lines[0] === "BagIt-Version: 1.0" && lines[1] === "Tag-File-Character-Encoding: UTF-8";
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
