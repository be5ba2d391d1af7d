// The papers and photographs of a bundle, and what its table of papers says of them.

import { DATA } from "./manifests.js";
import { MOST_ENTRIES } from "./zip.js";

export const PAPERS = "data/papers/";
const PAPERS_TABLE = "data/tables/papers-papers.csv";

/** The longest table of papers that is read. */
const LONGEST_TABLE_BYTES = 16 * 2 ** 20;

/** The longest text of a cell that is shown, characters. */
const LONGEST_CELL = 2000;

/**
 * A file that can be shown or saved.
 * @typedef {object} Paper
 * @property {string} path
 * @property {number} size
 * @property {string} kind as recorded: `photograph`, say; empty if not recorded
 * @property {string} caption
 * @property {string} about
 * @property {string} takenAt
 * @property {string} by
 * @property {string} language of the caption by BCP 47; empty if it is English
 */

/**
 * The papers of a bag, and the documents directly below data/, of those files that are whole.
 * @param {import("./bag.js").Bag} bag
 * @param {Set<string>} whole
 * @returns {Promise<Paper[]>}
 */
export async function papersOf(bag, whole) {
  const described = new Map();
  const table = bag.files.get(PAPERS_TABLE);
  if (table !== undefined && whole.has(PAPERS_TABLE) && table.size <= LONGEST_TABLE_BYTES) {
    const decoder = new TextDecoder();
    let text = "";
    for await (const piece of table.bytes()) text += decoder.decode(piece, { stream: true });
    for (const row of namedRows(text + decoder.decode())) described.set(PAPERS + (row.get("file") ?? ""), row);
  }
  const isDocument = (/** @type {string} */ path) => path.startsWith(DATA) && !path.slice(DATA.length).includes("/");
  /** @type {Paper[]} */
  const papers = [];
  for (const [path, { size }] of bag.files) {
    if (!whole.has(path) || !(path.startsWith(PAPERS) || isDocument(path))) continue;
    const says = (/** @type {string} */ column) => (described.get(path)?.get(column) ?? "").slice(0, LONGEST_CELL);
    papers.push({
      path,
      size,
      kind: says("kind"),
      caption: says("caption"),
      about: says("about"),
      takenAt: says("taken_at"),
      by: says("by"),
      language: /^[a-z]{2,8}(-[a-z0-9]{1,8})*$/i.test(says("language")) ? says("language") : "",
    });
  }
  // In the order of the records, then what they don't name.
  const ranks = new Map([...described.keys()].map((path, n) => [path, n]));
  const rank = (/** @type {Paper} */ { path }) => ranks.get(path) ?? ranks.size;
  return papers.sort((a, b) => rank(a) - rank(b));
}

/**
 * The rows of a derived table (RFC 4180), by the names of its columns.
 * @param {string} text
 * @returns {Map<string, string>[]}
 */
export function namedRows(text) {
  const [header, ...rows] = csvRows(text);
  if (header === undefined) return [];
  return rows.map((row) => new Map(header.map((column, at) => [column, asRecorded(row[at] ?? "")])));
}

/**
 * The cells of a CSV, of no more rows than there can be papers.
 * @param {string} text
 * @returns {string[][]}
 */
export function csvRows(text) {
  const rows = [];
  /** @type {string[]} */
  let row = [];
  let at = 0;
  while (at < text.length && rows.length <= MOST_ENTRIES) {
    let cell = "";
    if (text[at] === '"') {
      for (;;) {
        const closing = text.indexOf('"', at + 1);
        const to = closing < 0 ? text.length : closing;
        cell += text.slice(at + 1, to);
        at = to + 1;
        if (text[at] !== '"') break;
        cell += '"';
      }
    }
    let end = at;
    while (end < text.length && !",\r\n".includes(text[end])) end += 1;
    row.push(cell + text.slice(at, end));
    at = end + 1;
    if (text[end] === ",") {
      if (at === text.length) row.push("");
      continue;
    }
    if (text[end] === "\r" && text[at] === "\n") at += 1;
    rows.push(row);
    row = [];
  }
  if (row.length > 0) rows.push(row);
  return rows;
}

/**
 * A text as it was recorded: the derived tables put an apostrophe before what a spreadsheet could take for a formula, at
 * the beginning and after every semicolon, tab, carriage return and line feed.
 * @param {string} cell
 * @returns {string}
 */
export function asRecorded(cell) {
  return cell.replace(/(^|[;\t\r\n])'/g, "$1");
}
