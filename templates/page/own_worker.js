// A worker made of the script of the page itself, since a page in one file has no other.

/** The script of the page; nothing in the worker, which runs the same text. */
const OWN_SCRIPT = typeof document === "undefined" ? "" : document.currentScript?.textContent ?? "";

/** Milliseconds after which a worker has certainly taken its script. */
const TAKEN_AFTER_MS = 60000;

/** @returns {Worker} */
export function makeOwnWorker() {
  const address = URL.createObjectURL(new Blob([OWN_SCRIPT], { type: "text/javascript" }));
  setTimeout(() => URL.revokeObjectURL(address), TAKEN_AFTER_MS);
  return new Worker(address);
}
