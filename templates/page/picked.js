// What a person chose or dropped: one zip, or the files of one folder.

import { Unusable, MOST_ENTRIES } from "./zip.js";

/**
 * @typedef {{ zip: File | null, folder: import("./bag.js").Chosen[], called: string }} Picked
 */

const CHOOSE_ONE = "choose one zip, or the one folder that it was unpacked to";

/**
 * Files of an input element.
 * @param {FileList} list
 * @returns {Picked}
 */
export function pickedByInput(list) {
  const files = Array.from(list);
  const folder = files.filter((file) => file.webkitRelativePath !== "");
  if (folder.length > 0) return pickedFolder(folder.map((file) => ({ path: file.webkitRelativePath, file })));
  return pickedFiles(files);
}

/**
 * What was dropped. It must be called while the drop is handled, since the browser takes the items away after that.
 * @param {DataTransfer} dropped
 * @returns {Promise<Picked>}
 */
export async function pickedByDrop(dropped) {
  const files = Array.from(dropped.files);
  const items = Array.from(dropped.items).filter((item) => item.kind === "file");
  const entries = items.map((item) => item.webkitGetAsEntry());
  if (!entries.some((entry) => entry?.isDirectory)) return pickedFiles(files);
  if (entries.length !== 1) throw new Unusable(`${entries.length} things were dropped: ${CHOOSE_ONE}`);
  /** @type {import("./bag.js").Chosen[]} */
  const found = [];
  try {
    // Chromium reads entries only for pages that come from a server, and other browsers have no handles.
    const handle = await handleOf(items[0]);
    if (handle !== null) await walkHandle(handle, "", found);
    else await walkEntry(/** @type {FileSystemEntry} */ (entries[0]), "", found);
  } catch (error) {
    if (error instanceof Unusable) throw error;
    throw new Unusable("this browser does not let the page look into a dropped folder: use the button for the folder");
  }
  return pickedFolder(found);
}

/**
 * @param {import("./bag.js").Chosen[]} files
 * @returns {Picked}
 */
function pickedFolder(files) {
  if (files.length === 0) throw new Unusable("the folder is empty");
  return { zip: null, folder: files, called: files[0].path.split("/")[0] };
}

/**
 * @param {File[]} files
 * @returns {Picked}
 */
function pickedFiles(files) {
  if (files.length === 0) throw new Unusable(`nothing was chosen: ${CHOOSE_ONE}`);
  if (files.length > 1) throw new Unusable(`${files.length} files were chosen: ${CHOOSE_ONE}`);
  return { zip: files[0], folder: [], called: files[0].name };
}

/**
 * @param {DataTransferItem} item
 * @returns {Promise<FileSystemHandle | null>}
 */
async function handleOf(item) {
  return "getAsFileSystemHandle" in item && typeof item.getAsFileSystemHandle === "function" ? item.getAsFileSystemHandle() : null;
}

/**
 * @param {import("./bag.js").Chosen[]} found
 * @param {string} path
 * @param {File} file
 */
function addFound(found, path, file) {
  if (found.length >= MOST_ENTRIES) throw new Unusable(`the folder holds more than ${MOST_ENTRIES} files`);
  found.push({ path, file });
}

/**
 * Adds the files below a handle.
 * @param {FileSystemHandle} handle
 * @param {string} below
 * @param {import("./bag.js").Chosen[]} found
 */
async function walkHandle(handle, below, found) {
  const path = below + handle.name;
  if (handle.kind === "file") return addFound(found, path, await /** @type {FileSystemFileHandle} */ (handle).getFile());
  for await (const one of /** @type {FileSystemDirectoryHandle} */ (handle).values()) await walkHandle(one, `${path}/`, found);
}

/**
 * Adds the files below an entry.
 * @param {FileSystemEntry} entry
 * @param {string} below
 * @param {import("./bag.js").Chosen[]} found
 */
async function walkEntry(entry, below, found) {
  const path = below + entry.name;
  if (entry.isFile) {
    const file = await new Promise((resolve, reject) => /** @type {FileSystemFileEntry} */ (entry).file(resolve, reject));
    return addFound(found, path, /** @type {File} */ (file));
  }
  const reader = /** @type {FileSystemDirectoryEntry} */ (entry).createReader();
  for (;;) {
    // The browser gives a hundred or so at a time, and none at the end.
    /** @type {FileSystemEntry[]} */
    const some = await new Promise((resolve, reject) => reader.readEntries(resolve, reject));
    if (some.length === 0) return;
    for (const one of some) await walkEntry(one, `${path}/`, found);
  }
}
