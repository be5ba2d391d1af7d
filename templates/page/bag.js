// A bag that is there: a zip, or the folder that one was unpacked to.

import { Oddities } from "./oddities.js";
import { Names, shown, unkeepable, unsafePath } from "./paths.js";
import { SmallReads, slicesOf } from "./slices.js";
import { MOST_ENTRIES, Unusable, entryBytes, readZip } from "./zip.js";
import { DECLARATION_FILE, isPayloadManifest } from "./manifests.js";

/**
 * A file of a bag.
 * @typedef {object} BagFile
 * @property {number} size
 * @property {() => AsyncGenerator<Uint8Array, void, void>} bytes reads it
 * @property {(() => Blob) | null} asBlob its bytes without reading them; null where they are compressed
 * @property {boolean} compressed
 */

/**
 * @typedef {object} Bag
 * @property {string} name of the folder that is the bag
 * @property {Map<string, BagFile>} files by path in the bag
 * @property {Oddities} odd
 */

/**
 * A file that was chosen, and its path from the chosen folder on, with that folder's name.
 * @typedef {{ path: string, file: File }} Chosen
 */

/**
 * The bag in a zip.
 * @param {Blob} blob
 * @returns {Promise<Bag>}
 */
export async function bagOfZip(blob) {
  const odd = new Oddities();
  const names = new Names();
  /** @type {Bag} */
  const bag = { name: "", files: new Map(), odd };
  const zip = new SmallReads(blob);
  let compressed = 0;
  for (const entry of await readZip(blob, odd)) {
    const [, folder, path] = /^([^/]*)\/(.*)$/s.exec(entry.name) ?? ["", "", ""];
    if (unsafePath(folder) !== null || unsafePath(path) !== null) {
      odd.add(`${shown(entry.name)} is not a plain path in a folder`);
      continue;
    }
    bag.name ||= folder;
    if (bag.name !== folder) {
      odd.add(`${shown(entry.name)} is in another folder than the rest`);
      continue;
    }
    if (entry.compressed) compressed += 1;
    const { start, packed } = entry;
    addFile(bag, names, path, {
      size: entry.size,
      bytes: () => entryBytes(zip, entry),
      asBlob: entry.compressed ? null : () => blob.slice(start, start + packed),
      compressed: entry.compressed,
    });
  }
  if (compressed > 0) {
    odd.add(`${compressed} of its files are compressed, so another program made this zip of the bundle's files`);
  }
  return holdingABag(bag, "this zip");
}

/**
 * The bag in a folder. Folders that hold nothing but the next folder are passed through, since some zip tools unpack into
 * one of their own.
 * @param {Chosen[]} chosen
 * @returns {Bag}
 */
export function bagOfFolder(chosen) {
  if (chosen.length > MOST_ENTRIES) {
    throw new Unusable(`it holds ${chosen.length} files, and a bundle has at most ${MOST_ENTRIES}`);
  }
  const names = new Names();
  /** @type {Bag} */
  const bag = { name: "", files: new Map(), odd: new Oddities() };
  let left = chosen.map(({ path, file }) => ({ path, file }));
  for (;;) {
    const first = left[0]?.path.split("/") ?? [];
    const shared = first.length > 1 && left.every(({ path }) => path.startsWith(`${first[0]}/`));
    if (!shared || bag.name !== "" && left.some(({ path }) => path === DECLARATION_FILE || isPayloadManifest(path))) break;
    bag.name = first[0];
    left = left.map(({ path, file }) => ({ path: path.slice(first[0].length + 1), file }));
  }
  for (const { path, file } of left) {
    if (unsafePath(path) !== null) bag.odd.add(`${shown(path)} is not a plain path`);
    else {
      addFile(bag, names, path, {
        size: file.size,
        bytes: () => slicesOf(file, 0, file.size),
        asBlob: () => file,
        compressed: false,
      });
    }
  }
  return holdingABag(bag, "this folder");
}

/**
 * Adds a file. A name that not every system can hold is noted as odd; the file is read all the same.
 * @param {Bag} bag
 * @param {Names} names
 * @param {string} path
 * @param {BagFile} file
 */
function addFile(bag, names, path, file) {
  const wrong = unkeepable(path);
  if (wrong !== null) bag.odd.add(`${shown(path)} ${wrong}`);
  const only = names.clash(path);
  if (only !== null) bag.odd.add(`${shown(path)} differs from another file's name ${only}`);
  bag.files.set(path, file);
}

/**
 * @param {Bag} bag
 * @param {string} what
 * @returns {Bag}
 */
function holdingABag(bag, what) {
  const paths = [...bag.files.keys()];
  if (paths.some((path) => path === DECLARATION_FILE || isPayloadManifest(path))) return bag;
  const inside = paths.find((path) => path.endsWith(`/${DECLARATION_FILE}`));
  const said = bag.odd.sentences();
  const more = said.length > 0 ? `; besides, ${said.slice(0, 3).join("; ")}` : "";
  throw new Unusable(inside === undefined
    ? `${what} is no bundle: it has neither ${DECLARATION_FILE} nor a manifest${more}`
    : `${what} is no bundle itself, but holds ${shown(inside)}: choose the folder that this file is in${more}`);
}
