// The proof: every file of a bag read once, and held against the manifests by SHA-256.

import { Sha256 } from "./sha256.js";
import { Oddities } from "./oddities.js";
import { ReadFailure } from "./slices.js";
import { Unusable, WrongCrc } from "./zip.js";
import { shown } from "./paths.js";
import { DATA, DECLARATION_FILE, FORMAT_LABEL, INFO_FILE, KNOWN_FORMAT, MANIFEST, SECOND_MANIFEST, SECOND_TAG_MANIFEST, SHA256_DIGITS, SHA512_DIGITS, SUPPLEMENT_LABEL, TAG_MANIFEST, infoValue, isDeclaration, isPayloadManifest, isTagManifest, readManifest } from "./manifests.js";

/** Tag files that are kept as texts while they are read. */
const KEPT_FILES = [DECLARATION_FILE, INFO_FILE, MANIFEST, SECOND_MANIFEST, TAG_MANIFEST, SECOND_TAG_MANIFEST];

/** The longest tag file that is read as text: room for a manifest of all files that a bundle may have. */
const LONGEST_TAG_BYTES = 64 * 2 ** 20;

/** Bytes that are read beyond twice Payload-Oxum: room for tag files, and for a payload that has grown. */
const BEYOND_OXUM_BYTES = 2 ** 30;

/**
 * How a file was found. `by the seal`: nothing lists the tag manifest itself, its SHA-256 is the seal. `not compared`:
 * only what this page does not compute covers it.
 * @typedef {"whole" | "changed" | "missing" | "not listed" | "unreadable" | "too much" | "unchecked" | "by the seal" | "not compared"} State
 */

/**
 * @typedef {{ path: string, state: State, why: string }} FoundFile
 */

/**
 * What was found of a bag.
 * @typedef {object} Proof
 * @property {string} name of the folder that is the bag
 * @property {FoundFile[]} files by path, also those that are missing
 * @property {string[]} wrong what is wrong beside single files, in sentences
 * @property {string[]} notCompared what this page did not compare, in sentences
 * @property {boolean} isSupplement whether it says that it is a supplement to a bundle
 * @property {string | null} seal
 * @property {number} bytes that were read
 * @property {Map<string, string>} digests SHA-256 of every file that was read to its end, by path
 */

/**
 * @typedef {(bytes: number, all: number, path: string) => void} Progress
 */

/** Files at least so large are worth another worker's while. */
const SHARED_FROM_BYTES = 2 ** 20;

/** What was found of a file by another worker. @typedef {{ digest: string | null, failure: Failure | null, hasWrongCrc: boolean }} FoundElsewhere */
/** @typedef {{ state: "unreadable" | "unchecked", why: string }} Failure */

/**
 * Another worker that reads files of the same bag. `read` answers null where it could not.
 * @typedef {{ ready: Promise<void>, read: (path: string, onBytes: (bytes: number) => void) => Promise<FoundElsewhere | null> }} Helper
 */

/** Reads files of a bag for whoever asks by a port: a path is answered with numbers of bytes, then with what was found. @param {import("./bag.js").Bag} bag @param {MessagePort} port */
export function helpBy(bag, port) {
  port.onmessage = async ({ data: path }) => {
    let told = 0;
    const reading = new Reading(bag, 0, (bytes) => {
      port.postMessage(bytes - told);
      told = bytes;
    });
    try {
      await reading.readFile(path);
      port.postMessage({ digest: reading.digests.get(path) ?? null, failure: reading.failures.get(path) ?? null, hasWrongCrc: reading.wrongCrc.has(path) });
    } catch {
      port.postMessage(null);
    }
  };
  port.postMessage("ready");
}

/** The helper at the other end of a port. @param {MessagePort} port @returns {Helper} */
export function helperAt(port) {
  /** @type {{ onBytes: (bytes: number) => void, done: (found: FoundElsewhere | null) => void } | null} */
  let asked = null;
  const ready = new Promise((/** @type {(value: void) => void} */ resolve) => {
    port.onmessage = ({ data }) => {
      if (data === "ready") resolve();
      else if (typeof data === "number") asked?.onBytes(data);
      else asked?.done(data);
    };
  });
  return {
    ready,
    read: (path, onBytes) => new Promise((done) => {
      asked = { onBytes, done };
      port.postMessage(path);
    }),
  };
}

/**
 * Reads every file of a bag and holds it against the manifests.
 * @param {import("./bag.js").Bag} bag
 * @param {Progress} progress
 * @param {Helper | null} [helper]
 * @returns {Promise<Proof>}
 */
export async function proveBag(bag, progress, helper = null) {
  const all = [...bag.files.values()].reduce((sum, file) => sum + file.size, 0);
  const reading = new Reading(bag, all, progress);
  /** @type {string[]} */
  const wrong = [];
  const isTag = (/** @type {string} */ path) => !path.startsWith(DATA);
  const paths = [...bag.files.keys()];
  for (const path of paths.filter(isTag)) await reading.readFile(path);

  const manifestOf = (/** @type {string} */ name, digits = SHA256_DIGITS) => {
    const text = reading.tagText(name, wrong);
    const manifest = text === null ? null : readManifest(name, text, digits);
    if (manifest !== null) wrong.push(...manifest.wrong);
    return manifest && manifest.digests;
  };
  const [payload, tags] = [manifestOf(MANIFEST), manifestOf(TAG_MANIFEST)];
  const declaration = reading.tagText(DECLARATION_FILE, wrong);
  if (declaration !== null && !isDeclaration(declaration)) {
    wrong.push(`${DECLARATION_FILE} is not the declaration of a BagIt 1.0 bag in UTF-8, in the order that the standard requires`);
  }
  const info = reading.tagText(INFO_FILE, wrong);
  const oxum = info === null ? null : infoValue(info, "Payload-Oxum");
  if (info !== null) wrong.push(...wrongInInfo(info, oxum, bag));

  const secondPayload = manifestOf(SECOND_MANIFEST, SHA512_DIGITS);
  if (secondPayload !== null) wrong.push(...listedOtherwise(bag, secondPayload, payload));
  const second = await secondTagManifest(bag, reading, manifestOf(SECOND_TAG_MANIFEST, SHA512_DIGITS));
  const tooMuch = beyondOxum(bag, oxum);
  await readShared(reading, paths.filter((path) => !isTag(path) && !tooMuch.has(path)), helper);

  /** @type {Map<string, FoundFile>} */
  const found = new Map();
  for (const path of paths) {
    const list = isTag(path) ? tags : payload;
    found.set(path, { path, ...stateOf(path, reading, list, tooMuch) });
  }
  if (second !== null) found.set(SECOND_TAG_MANIFEST, { path: SECOND_TAG_MANIFEST, ...second });
  for (const path of [...payload?.keys() ?? [], ...tags?.keys() ?? []]) {
    if (!found.has(path)) found.set(path, { path, state: "missing", why: "" });
  }
  for (const path of reading.wrongCrc) {
    if (found.get(path)?.state === "whole") {
      wrong.push(`${shown(path)} is as the manifest lists it, but its CRC-32 in the zip is wrong, so other tools refuse it`);
    }
  }
  const files = [...found.values()].sort((a, b) => a.path < b.path ? -1 : 1);
  return {
    name: bag.name,
    files,
    wrong: [...bag.odd.sentences(), ...wrong],
    notCompared: notCompared(files),
    isSupplement: info !== null && infoValue(info, SUPPLEMENT_LABEL) !== null,
    seal: reading.digests.get(TAG_MANIFEST) ?? null,
    bytes: reading.bytes,
    digests: reading.digests,
  };
}

/**
 * Reads files, the large ones together with a helper once that is ready: each takes the next that nobody has taken.
 * @param {Reading} reading @param {string[]} paths @param {Helper | null} helper
 */
async function readShared(reading, paths, helper) {
  const isLarge = (/** @type {string} */ path) => (reading.bag.files.get(path)?.size ?? 0) >= SHARED_FROM_BYTES;
  const large = helper === null ? [] : paths.filter(isLarge);
  let next = 0;
  /** @type {Promise<unknown>} */
  let elsewhere = Promise.resolve();
  helper?.ready.then(async () => {
    while (next < large.length) {
      const path = large[next];
      next += 1;
      const shared = reading.readElsewhere(path, helper);
      elsewhere = shared;
      // What went wrong is told where it is waited for; nothing is taken after it.
      if (!(await shared.then(() => true, () => false))) return;
    }
  });
  while (next < large.length) {
    const path = large[next];
    next += 1;
    await reading.readFile(path);
  }
  for (const path of paths) if (helper === null || !isLarge(path)) await reading.readFile(path);
  await elsewhere;
}

/** What has been read of a bag. */
class Reading {
  /**
   * @param {import("./bag.js").Bag} bag
   * @param {number} all
   * @param {Progress} progress
   */
  constructor(bag, all, progress) {
    this.bag = bag;
    this.all = all;
    this.progress = progress;
    this.bytes = 0;
    /** @type {Map<string, string>} */
    this.digests = new Map();
    /** @type {Map<string, Failure>} */
    this.failures = new Map();
    /** @type {Set<string>} */
    this.wrongCrc = new Set();
    /**
     * Tag files as texts, from the same bytes as their digests.
     * @type {Map<string, Uint8Array<ArrayBuffer>>}
     */
    this.kept = new Map();
  }

  /** @param {string} path */
  async readFile(path) {
    const file = /** @type {import("./bag.js").BagFile} */ (this.bag.files.get(path));
    const keep = KEPT_FILES.includes(path) && file.size <= LONGEST_TAG_BYTES;
    const kept = new Uint8Array(keep ? file.size : 0);
    const digest = new Sha256();
    try {
      for await (const piece of file.bytes()) {
        if (keep) kept.set(piece, digest.bytes);
        digest.update(piece);
        this.bytes += piece.length;
        this.progress(this.bytes, this.all, path);
      }
    } catch (error) {
      if (error instanceof WrongCrc) this.wrongCrc.add(path);
      else {
        if (!(error instanceof Unusable || error instanceof ReadFailure)) throw error;
        this.failures.set(path, { state: error instanceof Unusable ? "unreadable" : "unchecked", why: error.message });
        return;
      }
    }
    this.digests.set(path, digest.hex());
    if (keep) this.kept.set(path, kept);
  }

  /**
   * Has a file read by a helper, or reads it where that could not.
   * @param {string} path @param {Helper} helper
   */
  async readElsewhere(path, helper) {
    let bytes = 0;
    const found = await helper.read(path, (more) => {
      bytes += more;
      this.bytes += more;
      this.progress(this.bytes, this.all, path);
    });
    if (found === null) {
      this.bytes -= bytes;
      await this.readFile(path);
      return;
    }
    if (found.failure !== null) this.failures.set(path, found.failure);
    if (found.hasWrongCrc) this.wrongCrc.add(path);
    if (found.digest !== null) this.digests.set(path, found.digest);
  }

  /**
   * The text of a tag file; null if there is none, which is then said in `wrong`.
   * @param {string} name
   * @param {string[]} wrong
   * @returns {string | null}
   */
  tagText(name, wrong) {
    const bytes = this.kept.get(name);
    if (bytes !== undefined) {
      try {
        return new TextDecoder("utf-8", { fatal: true, ignoreBOM: true }).decode(bytes);
      } catch {
        wrong.push(`${name} is not UTF-8 text`);
      }
    } else if (!this.bag.files.has(name)) wrong.push(`${name} is not there`);
    else if (this.failures.has(name)) wrong.push(`${name} can't be read: ${this.failures.get(name)?.why}`);
    else wrong.push(`${name} is larger than ${LONGEST_TAG_BYTES / 2 ** 20} MiB, more than a bundle needs, and was not taken for a list`);
    return null;
  }
}

/**
 * @param {string} path
 * @param {Reading} reading
 * @param {Map<string, string> | null} list
 * @param {Set<string>} tooMuch
 * @returns {{ state: State, why: string }}
 */
function stateOf(path, reading, list, tooMuch) {
  if (tooMuch.has(path)) return { state: "too much", why: "" };
  const failure = reading.failures.get(path);
  if (failure !== undefined) return failure;
  if (path === TAG_MANIFEST) return { state: "by the seal", why: "" };
  if (isTagManifest(path)) return { state: "not compared", why: "" };
  if (list === null) return { state: "unchecked", why: "the list that it belongs in can't be read" };
  const listed = list.get(path);
  if (listed === undefined) return { state: "not listed", why: "" };
  return { state: listed === reading.digests.get(path) ? "whole" : "changed", why: "" };
}

/**
 * Which files of the payload the manifest by SHA-512 does not list, though they are there, and which it alone lists, though
 * they are not. Its digests are not compared.
 * @param {import("./bag.js").Bag} bag
 * @param {Map<string, string>} list
 * @param {Map<string, string> | null} payload what the manifest by SHA-256 lists
 * @returns {string[]}
 */
function listedOtherwise(bag, list, payload) {
  const odd = new Oddities();
  for (const path of bag.files.keys()) {
    if (path.startsWith(DATA) && !list.has(path)) odd.add(`${SECOND_MANIFEST} does not list ${shown(path)}`);
  }
  for (const path of list.keys()) {
    if (!bag.files.has(path) && !payload?.has(path)) odd.add(`${SECOND_MANIFEST} lists ${shown(path)}, which is not there`);
  }
  return odd.sentences();
}

/**
 * How tagmanifest-sha512.txt is found, by comparing it with the few small files that it lists. The browser's own digest does
 * for them. Null if the bag has none, or the browser no digest, or a file is too large to be kept.
 * @param {import("./bag.js").Bag} bag
 * @param {Reading} reading
 * @param {Map<string, string> | null} list
 * @returns {Promise<{ state: State, why: string } | null>}
 */
async function secondTagManifest(bag, reading, list) {
  const subtle = globalThis.crypto?.subtle;
  const listed = KEPT_FILES.filter((path) => !isTagManifest(path) && bag.files.has(path));
  if (subtle === undefined || list === null || listed.some((path) => !reading.kept.has(path))) return null;
  for (const path of listed) {
    const given = list.get(path);
    if (given === undefined) return { state: "changed", why: `it does not list ${path}` };
    const bytes = /** @type {Uint8Array<ArrayBuffer>} */ (reading.kept.get(path));
    const found = new Uint8Array(await subtle.digest("SHA-512", bytes));
    const digest = Array.from(found, (byte) => byte.toString(16).padStart(2, "0")).join("");
    if (digest !== given) return { state: "changed", why: `it gives another SHA-512 of ${path} than the file has` };
  }
  return { state: "whole", why: "" };
}

/**
 * @param {string} info
 * @param {string | null} oxum
 * @param {import("./bag.js").Bag} bag
 * @returns {string[]}
 */
function wrongInInfo(info, oxum, bag) {
  const wrong = [];
  const payload = [...bag.files].filter(([path]) => path.startsWith(DATA));
  const counted = `${payload.reduce((sum, [, file]) => sum + file.size, 0)}.${payload.length}`;
  if (oxum === null) wrong.push(`${INFO_FILE} does not state the Payload-Oxum`);
  else if (oxum !== counted) {
    wrong.push(`Payload-Oxum in ${INFO_FILE} states ${shown(oxum)} (bytes, a point, number of files), but there are ${counted}`);
  }
  const format = infoValue(info, FORMAT_LABEL) ?? infoValue(info, SUPPLEMENT_LABEL);
  if (format === null) wrong.push(`${INFO_FILE} does not state the format, as ${FORMAT_LABEL}`);
  else if (format !== KNOWN_FORMAT) {
    wrong.push(`the bundle is of format ${shown(format)}, and this page knows format ${KNOWN_FORMAT}: it may be right in ways that this page can't tell`);
  }
  return wrong;
}

/**
 * The files that are not to be read: where there are more than twice as many bytes as Payload-Oxum says and a gigabyte,
 * the largest are left, since bytes that compress well cost whoever made them nothing.
 * @param {import("./bag.js").Bag} bag
 * @param {string | null} oxum
 * @returns {Set<string>}
 */
function beyondOxum(bag, oxum) {
  const stated = /^([0-9]{1,15})\.[0-9]+$/.exec(oxum ?? "");
  const payload = [...bag.files].filter(([path]) => path.startsWith(DATA)).sort((a, b) => b[1].size - a[1].size);
  const packed = payload.reduce((sum, [, file]) => sum + (file.compressed ? 0 : file.size), 0);
  // Without a statement, what is not compressed is read, and no more than that many bytes of what is.
  const most = (stated === null ? packed : Number(stated[1])) * 2 + BEYOND_OXUM_BYTES;
  let all = payload.reduce((sum, [, file]) => sum + file.size, 0);
  const left = new Set();
  for (const [path, file] of payload) {
    if (all <= most) break;
    left.add(path);
    all -= file.size;
  }
  return left;
}

/**
 * What the page does not compare, of what is there.
 * @param {FoundFile[]} files
 * @returns {string[]}
 */
function notCompared(files) {
  const there = files.filter(({ state }) => state !== "missing").map(({ path }) => path);
  const manifests = there.filter((path) => isPayloadManifest(path) && path !== MANIFEST);
  const tagManifests = files.filter(({ state }) => state === "not compared").map(({ path }) => path);
  const said = [];
  if (manifests.length > 0) {
    said.push(`The digests that ${manifests.map(shown).join(" and ")} gives of the files below data/: this page computes SHA-256 of them.`);
  }
  if (tagManifests.length > 0) {
    said.push(`${tagManifests.map(shown).join(" and ")}: nothing lists it by SHA-256, so whether it changed is not known.`);
  }
  return said;
}
