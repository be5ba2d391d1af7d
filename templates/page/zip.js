// A zip read strictly. A zip can be made so that two tools see different files in it: what is found here is what every
// tool finds, and anything else is reported.

import { ReadFailure, SmallReads, slicesOf } from "./slices.js";
import { Oddities } from "./oddities.js";
import { shown } from "./paths.js";
import { crc32 } from "./crc32.js";
import { CENTRAL_BYTES, END_BYTES, fieldsAgree, isFolderEntry, isLocalHeader, oddlyAttributed, readCentral, readEnd, readLocal, refusedByOthers, sameBytes, unreadableEntry } from "./zip_headers.js";

/** Entries that a zip, files that a folder and lines that a manifest may have: many more than the papers of any docking. */
export const MOST_ENTRIES = 200000;

/** Stored files up to this size are read together with those that lie beside them, since each reading takes its time. */
const SMALL_BYTES = 2 ** 16;

/** Compressed bytes that are handed on at once. */
const INFLATED_FROM_BYTES = 2 ** 15;

/** Bytes that the deflate format can make of one (RFC 1951: 258 bytes of a length and a distance of one bit each), rounded up. */
const MOST_OF_ONE_BYTE = 1032;

/** Why something can't be read, in words: the fault is in the file itself. */
export class Unusable extends Error {}

/**
 * A file in a zip.
 * @typedef {object} ZipEntry
 * @property {string} name
 * @property {number} size
 * @property {number} start where its bytes begin in the zip
 * @property {number} packed how many there are
 * @property {boolean} compressed
 * @property {number} crc
 */

/**
 * What a zip holds: its entries that can be used, in the order in which they stand in it. What is odd about it or them
 * is added to `odd`. Throws `Unusable` if it can't be read at all.
 * @param {Blob} blob
 * @param {Oddities} odd
 * @returns {Promise<ZipEntry[]>}
 */
export async function readZip(blob, odd) {
  const file = new SmallReads(blob);
  const begins = await file.read(0, 4);
  const end = await findEnd(blob, file, odd, begins !== null && isLocalHeader(begins));
  const listed = await readDirectory(file, end, odd);
  const entries = [];
  let at = 0;
  for (const { central, usable } of listed) {
    const name = shownName(central.fields.name);
    const local = await readLocal(file, central.header);
    if (local === null) {
      odd.add(`${name} has no header of its own where the directory places it`);
      continue;
    }
    if (central.header > at) odd.add(`${central.header - at} bytes before ${name} belong to no entry`);
    const behind = local.data + central.fields.packed;
    if (central.header < at || behind > end.directory) {
      odd.add(`${name} overlaps another entry, or the directory`);
      continue;
    }
    at = behind;
    if (!usable || isFolderEntry(central)) continue;
    const wrong = headersDiffer(central.fields, local.fields);
    if (wrong !== null) {
      odd.add(`${name} ${wrong}`);
      continue;
    }
    const text = decodedName(central.fields.name);
    if (text === null) {
      odd.add(`${name} has a name that is not UTF-8`);
      continue;
    }
    const { size, packed, crc, method } = central.fields;
    if (size > packed * MOST_OF_ONE_BYTE) {
      odd.add(`${name} is said to hold ${size} bytes, more than ${packed} compressed bytes can stand for`);
      continue;
    }
    entries.push({ name: text, size, packed, crc, start: local.data, compressed: method !== 0 });
  }
  if (at < end.directory) odd.add(`${end.directory - at} bytes before the directory belong to no entry`);
  return entries;
}

/**
 * The last end record whose directory ends where it begins.
 * @param {Blob} blob
 * @param {SmallReads} file
 * @param {Oddities} odd
 * @param {boolean} beginsAsZip
 * @returns {Promise<import("./zip_headers.js").End>}
 */
async function findEnd(blob, file, odd, beginsAsZip) {
  const from = Math.max(0, blob.size - END_BYTES - 0xffff);
  const tail = (await file.read(from, blob.size - from) ?? new Uint8Array(0)).slice();
  for (let at = tail.length - END_BYTES; at >= 0; at -= 1) {
    if (tail[at] !== 0x50) continue;
    const end = await readEnd(file, tail, at, from + at);
    if (end === null) continue;
    const behind = blob.size - (from + at) - END_BYTES;
    if (behind > 0) {
      odd.add(`${behind} bytes follow the end of the zip, ${Math.min(end.comment, behind)} of them as its comment`);
    }
    if (end.onDisks) odd.add("its end record places it, or files of it, on several disks");
    if (end.entries > MOST_ENTRIES) {
      throw new Unusable(`it lists ${end.entries} entries, and a bundle has at most ${MOST_ENTRIES}`);
    }
    if (end.entries * CENTRAL_BYTES > end.bytes) {
      throw new Unusable("it lists more entries than its directory has room for");
    }
    return end;
  }
  throw new Unusable(beginsAsZip
    ? "it begins as a zip, but has no end record with the directory before it: it is cut off or damaged"
    : "it is not a zip: it neither begins nor ends as one");
}

/**
 * The entries of the directory, in the order of their headers in the zip, and whether each can be used.
 * @param {SmallReads} file
 * @param {import("./zip_headers.js").End} end
 * @param {Oddities} odd
 */
async function readDirectory(file, end, odd) {
  /** @type {{ central: import("./zip_headers.js").Central, usable: boolean }[]} */
  const listed = [];
  const names = new Set();
  let at = end.directory;
  const endsAt = end.directory + end.bytes;
  for (let number = 0; number < end.entries; number += 1) {
    const read = await readCentral(file, at, endsAt);
    if (typeof read === "string") throw new Unusable(`entry ${number + 1} of its directory ${read}`);
    const { central } = read;
    at = read.behind;
    const key = central.fields.name.join();
    const isSecond = names.has(key);
    names.add(key);
    const wrong = oddlyAttributed(central) ?? (isSecond ? "is in the zip twice" : unreadableEntry(central.fields));
    const why = wrong ?? refusedByOthers(central.fields);
    const name = shownName(central.fields.name);
    if (why !== null) odd.add(`${name} ${why}`);
    if (central.disk !== 0) odd.add(`${name} begins on another disk according to the directory`);
    listed.push({ central, usable: wrong === null });
  }
  if (at < endsAt) odd.add("its directory goes on after its last entry");
  return listed.sort((a, b) => a.central.header - b.central.header);
}

/**
 * How an entry's own header differs from the directory's, or null.
 * @param {import("./zip_headers.js").Fields} central
 * @param {import("./zip_headers.js").Fields} local
 * @returns {string | null}
 */
function headersDiffer(central, local) {
  if (!sameBytes(central.name, local.name)) return `is called ${shownName(local.name)} in its own header`;
  const wrong = unreadableEntry(local);
  if (wrong !== null) return wrong;
  if (!fieldsAgree(central, local)) return "is described differently in the directory and in its own header";
  return refusedByOthers(central) === null ? refusedByOthers(local) : null;
}

/**
 * @param {Uint8Array} name
 * @returns {string | null}
 */
function decodedName(name) {
  try {
    return new TextDecoder("utf-8", { fatal: true, ignoreBOM: true }).decode(name);
  } catch {
    return null;
  }
}

/**
 * A name as it can be shown, whatever it is.
 * @param {Uint8Array} name
 * @returns {string}
 */
function shownName(name) {
  return shown(new TextDecoder().decode(name));
}

/**
 * The bytes of an entry. Throws `Unusable` where they are not what the entry promises: as many as its size, with its CRC-32.
 * @param {SmallReads} file the zip
 * @param {ZipEntry} entry
 * @returns {AsyncGenerator<Uint8Array, void, void>}
 */
export async function* entryBytes(file, entry) {
  const { start, packed, size } = entry;
  const stored = packed <= SMALL_BYTES ? smallBytes(file, start, packed) : slicesOf(file.blob, start, start + packed);
  const pieces = entry.compressed ? inflated(file.blob, start, start + packed) : stored;
  let bytes = 0;
  let crc = 0;
  for await (const piece of pieces) {
    bytes += piece.length;
    if (bytes > size) throw new Unusable(`it holds more than the ${size} bytes that its header says`);
    crc = crc32(crc, piece);
    yield piece;
  }
  if (bytes < size) throw new Unusable(`it holds ${bytes} bytes, where its header says ${size}`);
  if (crc !== entry.crc) throw new WrongCrc();
}

/**
 * @param {SmallReads} file
 * @param {number} start
 * @param {number} count
 * @returns {AsyncGenerator<Uint8Array, void, void>}
 */
async function* smallBytes(file, start, count) {
  const bytes = await file.read(start, count);
  if (bytes !== null) yield bytes;
}

/** All bytes of an entry were read, and their CRC-32 is not the one in its header. */
export class WrongCrc extends Unusable {
  constructor() {
    super("its CRC-32 is not the one that its header says");
  }
}

/**
 * What compressed bytes stand for.
 * @param {Blob} blob
 * @param {number} from
 * @param {number} to
 * @returns {AsyncGenerator<Uint8Array, void, void>}
 */
async function* inflated(blob, from, to) {
  if (typeof DecompressionStream === "undefined") {
    throw new ReadFailure("it is compressed, and this browser can't undo that for the page: unpack the zip and choose the folder");
  }
  const stream = new DecompressionStream("deflate-raw");
  const writer = stream.writable.getWriter();
  const reader = stream.readable.getReader();
  /** @type {unknown} */
  let failure = null;
  const feed = async () => {
    try {
      for await (const slice of slicesOf(blob, from, to, INFLATED_FROM_BYTES)) await writer.write(slice);
      await writer.close();
    } catch (error) {
      failure = error;
      writer.abort(error).catch(() => {});
    }
  };
  const fed = feed();
  try {
    for (;;) {
      const { done, value } = await reader.read();
      if (done) break;
      yield value;
    }
    await fed;
  } catch (error) {
    // What the reader reports of bytes that are no deflate stream differs from browser to browser.
    throw failure instanceof Error && failure.constructor !== TypeError && !(failure instanceof DOMException)
      ? failure
      : new Unusable("its compressed bytes are damaged");
  } finally {
    reader.cancel().catch(() => {});
    writer.abort().catch(() => {});
  }
}
