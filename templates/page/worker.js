// The part of the script that runs in a worker: it reads and computes, so that the page stays alive meanwhile.

import { bagOfFolder, bagOfZip } from "./bag.js";
import { helpBy, helperAt, proveBag } from "./proof.js";
import { papersOf } from "./papers.js";
import { LARGEST_PICTURE_BYTES, shownAs } from "./kinds.js";
import { DATA, PAGE_FILE } from "./manifests.js";
import { ReadFailure } from "./slices.js";
import { Sha256 } from "./sha256.js";
import { Unusable } from "./zip.js";

/** Files that are not as they should be, at most so many of them listed one by one. */
const MOST_FAULTS = 1000;

/** Milliseconds between two reports of progress. */
const REPORT_AFTER_MS = 100;

/**
 * What the page asks of the worker.
 * @typedef {{ do: "prove" | "help", zip: File | null, folder: import("./bag.js").Chosen[] } | { do: "fetch", id: number, path: string, toSave: boolean }} Asked
 */

/**
 * What of a proof the page shows.
 * @typedef {object} Summary
 * @property {string} name
 * @property {Record<string, number>} counts how many files were found in each state
 * @property {import("./proof.js").FoundFile[]} faults
 * @property {number} moreFaults how many are not among them
 * @property {string[]} wrong
 * @property {string[]} notCompared
 * @property {boolean} isSupplement
 * @property {string | null} seal
 * @property {number} payload files below data/ that are there
 * @property {number} bytes
 * @property {number} seconds
 * @property {string | null} pageDigest of the page as the bundle holds it, if that file is whole
 * @property {import("./papers.js").Paper[]} papers
 */

/**
 * @typedef {object} Fetched
 * @property {string} path
 * @property {Blob | null} blob its bytes, which were just proved again
 * @property {import("./kinds.js").Shown} shown
 * @property {string} why there is no blob
 */

/**
 * @typedef {{ says: "progress", bytes: number, all: number, path: string } | { says: "proof", summary: Summary } | { says: "refused", why: string } | { says: "fetched", id: number, fetched: Fetched }} Said
 */

/** Answers what the page asks. */
export function startWorker() {
  /** @type {(said: Said) => void} */
  const say = (said) => /** @type {{ postMessage: (said: Said) => void }} */ (/** @type {unknown} */ (self)).postMessage(said);
  /** @type {import("./bag.js").Bag | null} */
  let bag = null;
  /** @type {Map<string, string>} */
  let proved = new Map();
  self.addEventListener("message", async (/** @type {MessageEvent<Asked>} */ event) => {
    const asked = event.data;
    try {
      if (asked.do === "prove" || asked.do === "help") {
        // The port to the other worker, where there are two.
        const [port] = event.ports;
        const helper = port === undefined || asked.do === "help" ? null : helperAt(port);
        bag = asked.zip !== null ? await bagOfZip(asked.zip) : bagOfFolder(asked.folder);
        if (asked.do === "help") return helpBy(bag, port);
        const { summary, whole } = await proofSummary(bag, say, helper);
        proved = whole;
        say({ says: "proof", summary });
      } else if (asked.do === "fetch" && bag !== null) {
        say({ says: "fetched", id: asked.id, fetched: await fetchProved(bag, proved, asked.path, asked.toSave) });
      }
    } catch (error) {
      const expected = error instanceof Unusable || error instanceof ReadFailure;
      say({ says: "refused", why: expected ? error.message : `the page itself failed at it: ${error}` });
    }
  });
}

/**
 * @param {import("./bag.js").Bag} bag
 * @param {(said: Said) => void} say
 * @param {import("./proof.js").Helper | null} [helper]
 * @returns {Promise<{ summary: Summary, whole: Map<string, string> }>}
 */
export async function proofSummary(bag, say, helper = null) {
  const began = performance.now();
  let last = began;
  const proof = await proveBag(bag, (bytes, all, path) => {
    const now = performance.now();
    if (now - last < REPORT_AFTER_MS) return;
    last = now;
    say({ says: "progress", bytes, all, path });
  }, helper);
  /** @type {Record<string, number>} */
  const counts = {};
  for (const { state } of proof.files) counts[state] = (counts[state] ?? 0) + 1;
  const faults = proof.files.filter(({ state }) => !["whole", "by the seal", "not compared"].includes(state));
  const wholePaths = proof.files.filter(({ state }) => state === "whole").map(({ path }) => path);
  const whole = new Map(wholePaths.map((path) => [path, /** @type {string} */ (proof.digests.get(path))]));
  const summary = {
    name: proof.name,
    counts,
    faults: faults.slice(0, MOST_FAULTS),
    moreFaults: Math.max(0, faults.length - MOST_FAULTS),
    wrong: proof.wrong,
    notCompared: proof.notCompared,
    isSupplement: proof.isSupplement,
    seal: proof.seal,
    payload: proof.files.filter(({ path, state }) => path.startsWith(DATA) && state !== "missing").length,
    bytes: proof.bytes,
    seconds: (performance.now() - began) / 1000,
    pageDigest: whole.get(PAGE_FILE) ?? null,
    papers: await papersOf(bag, new Set(wholePaths)),
  };
  return { summary, whole };
}

/**
 * A file whose bytes were proved, read and proved again, since it may have changed meanwhile.
 * @param {import("./bag.js").Bag} bag
 * @param {Map<string, string>} proved digests of the files that are whole
 * @param {string} path
 * @param {boolean} toSave whether it is to be saved, whatever it is
 * @returns {Promise<Fetched>}
 */
async function fetchProved(bag, proved, path, toSave) {
  const file = bag.files.get(path);
  const digest = new Sha256();
  /** @type {Uint8Array<ArrayBuffer>[]} */
  const pieces = [];
  let begins = new Uint8Array(0);
  /** @type {import("./kinds.js").Shown} */
  let shown = { as: "saved", why: "" };
  const refused = (/** @type {string} */ why) => ({ path, blob: null, shown, why });
  if (file === undefined || !proved.has(path)) return refused("it was not proved, so it is not shown");
  // What is larger is handed on as the stretch of the zip that it is, and not copied.
  const copied = file.size <= LARGEST_PICTURE_BYTES || file.asBlob === null;
  if (copied && file.size > 4 * LARGEST_PICTURE_BYTES) {
    return refused("it is compressed and too large for this page: unpack the zip to have it");
  }
  try {
    for await (const piece of file.bytes()) {
      if (begins.length < 12) begins = Uint8Array.from([...begins, ...piece.subarray(0, 12)]);
      if (copied) pieces.push(Uint8Array.from(piece));
      digest.update(piece);
    }
  } catch (error) {
    if (error instanceof Unusable || error instanceof ReadFailure) return refused(error.message);
    throw error;
  }
  if (digest.hex() !== proved.get(path)) return refused("it changed after it was proved: prove the bundle again");
  if (!toSave) shown = shownAs(path, file.size, begins);
  const type = shown.as === "picture" ? shown.type : "application/octet-stream";
  const parts = copied || file.asBlob === null ? pieces : [file.asBlob()];
  return { path, blob: new Blob(parts, { type }), shown, why: "" };
}
