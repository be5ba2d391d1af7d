// What was found, in plain words. Nothing is called whole unless all of it was checked.

import { compareSeal } from "./seal.js";

/**
 * `sound`: whole, and the seal is the one on paper. `open`: nothing wrong, but something was not checked. `wrong`: something
 * is wrong.
 * @typedef {{ kind: "sound" | "open" | "wrong", heading: string, sentences: string[], seal: string }} Verdict
 */

/** Words for files that are not as they should be. */
export const STATE_WORDS = /** @type {const} */ ({
  changed: "changed: it is not what is listed",
  missing: "missing: listed, but not there",
  "not listed": "not listed: there, but in no list",
  unreadable: "unreadable: damaged or cut off",
  "too much": "not read, since there is far more than Payload-Oxum says",
  unchecked: "could not be checked",
});

/**
 * @param {import("./worker.js").Summary} summary
 * @param {string} typed what was typed of the seal
 * @returns {Verdict}
 */
export function verdictOf(summary, typed) {
  const seal = summary.seal === null
    ? { found: "unclear", says: "The bundle has no tagmanifest-sha256.txt that can be read, so it has no seal to compare." }
    : compareSeal(typed, summary.seal);
  const { counts } = summary;
  const count = (/** @type {string} */ state) => counts[state] ?? 0;
  const damaged = ["changed", "missing", "not listed", "unreadable", "too much"];
  const bad = damaged.reduce((sum, state) => sum + count(state), 0);
  const unchecked = count("unchecked");
  const whole = count("whole");
  /** @type {string[]} */
  const sentences = [];
  const finish = (/** @type {Verdict["kind"]} */ kind, /** @type {string} */ heading) => ({ kind, heading, sentences, seal: seal.says });
  if (bad > 0 || unchecked > 0 || summary.wrong.length > 0) {
    const parts = [...damaged, "unchecked"].filter((state) => count(state) > 0).map((state) => {
      return `${count(state)} ${state === "too much" ? "not read" : state === "unchecked" ? "could not be checked" : state}`;
    });
    sentences.push(`${filesInWords(whole)} of the bundle ${whole === 1 ? "is" : "are"} as listed, by SHA-256${parts.length > 0 ? `; ${parts.join(", ")}` : ""}.`);
    if (bad > 0) return finish("wrong", "Not whole");
    if (summary.wrong.length > 0) {
      return finish("wrong", unchecked > 0 ? "Something is not in order, and not all could be checked" : "The files are as listed, but something else is not in order");
    }
    sentences.push("What could not be read says nothing about the bundle: try again, or copy it to another disk first.");
    return finish("open", "Not all of it could be checked");
  }
  sentences.push(
    `${filesInWords(whole)} were held against the lists in the bundle (${summary.payload} of them are below data/, by SHA-256): each has the digest that is listed, none that is listed is missing, and apart from the tag manifests none is there that is not listed.`,
  );
  if (seal.found === "differs") {
    sentences.push("Read what was typed against the paper once more: one wrong digit looks no different from another bundle.");
    return finish("wrong", "Not the bundle that this seal was made for");
  }
  // Such a file may be anything: nothing here says what it ought to be.
  const left = count("not compared");
  if (left > 0) {
    const heading = seal.found === "same" ? "As listed, and the seal is the one typed" : "As its own lists say; the seal is not compared yet";
    return finish("open", `${heading}; but ${filesInWords(left)} could not be compared`);
  }
  if (seal.found === "same") return finish("sound", "Whole, and it is the bundle that the seal was made for");
  sentences.push("Whoever can change a file can also make new lists: only the seal, from paper kept elsewhere, shows that nobody did.");
  return finish("open", "As its own lists say; the seal is not compared yet");
}

/**
 * @param {number} count
 * @returns {string}
 */
function filesInWords(count) {
  return count === 1 ? "1 file" : `${count} files`;
}

/**
 * A number of bytes for people.
 * @param {number} bytes
 * @returns {string}
 */
export function bytesInWords(bytes) {
  if (bytes < 1024) return bytes === 1 ? "1 byte" : `${bytes} bytes`;
  const units = ["KiB", "MiB", "GiB", "TiB"];
  let value = bytes / 1024;
  let at = 0;
  while (value >= 1024 && at < units.length - 1) {
    value /= 1024;
    at += 1;
  }
  return `${value.toFixed(1)} ${units[at]}`;
}
