// Bundles and zips for the tests: those that the program writes, and others made by hand to be wrong.

import { createHash } from "node:crypto";
import { execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync, readdirSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { crc32, deflateRawSync } from "node:zlib";

export const ROOT = fileURLToPath(new URL("../../../", import.meta.url));

/** The program that the bundles are made with. */
export const PROGRAM = resolve(process.env.LASTDOCK ?? join(ROOT, "target/release/lastdock"));

const GOLDEN_FOLDER = join(ROOT, "tests/formats/0.3.0/");

/** A bundle that is never written anew, and its seal. */
export const GOLDEN = `${GOLDEN_FOLDER}thistle-quill-2029.zip`;
export const GOLDEN_SEAL = readFileSync(`${GOLDEN_FOLDER}thistle-quill-2029-seal.hex`, "utf8").trim();

/** A folder for a test's files, taken away when the tests end. */
export function temporary() {
  const folder = mkdtempSync(join(tmpdir(), "page-"));
  process.on("exit", () => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

/** Closes the sample out; returns the folder of what was written. */
export function closeOutSample() {
  const out = join(temporary(), "handed-over");
  execFileSync(PROGRAM, ["closeout", join(ROOT, "sample-project"), "--out", out, "--repair-percent", "0"], { stdio: "pipe" });
  const name = readdirSync(out).find((file) => file.endsWith(".zip"))?.replace(/\.zip$/, "") ?? "";
  return { zip: join(out, `${name}.zip`), seal: readFileSync(join(out, `${name}-seal.txt`), "utf8").split("\n")[0], name };
}

/** Unpacks a zip with Info-ZIP's unzip. */
export function unpack(/** @type {string} */ zip) {
  const folder = temporary();
  execFileSync("unzip", ["-q", zip, "-d", folder]);
  return folder;
}

/** @param {string} algorithm @param {Uint8Array} bytes */
export function hex(algorithm, bytes) {
  return createHash(algorithm).update(bytes).digest("hex");
}

/**
 * A bag of files, with its manifests, in the order in which a zip of it has them.
 * @param {Record<string, string | Uint8Array>} data
 * @returns {Map<string, Buffer>}
 */
export function bag(data) {
  const files = new Map(Object.entries(data).map(([path, inside]) => [path, Buffer.from(inside)]));
  const list = (/** @type {string} */ algorithm, /** @type {string[]} */ paths) => {
    const encoded = (/** @type {string} */ path) => path.replaceAll("%", "%25").replaceAll("\n", "%0A").replaceAll("\r", "%0D");
    return Buffer.from(paths.map((path) => `${hex(algorithm, /** @type {Buffer} */ (files.get(path)))}  ${encoded(path)}\n`).join(""));
  };
  const payload = [...files.keys()].filter((path) => path.startsWith("data/"));
  for (const algorithm of ["sha256", "sha512"]) files.set(`manifest-${algorithm}.txt`, list(algorithm, payload));
  files.set("bagit.txt", Buffer.from("BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"));
  const bytes = payload.reduce((sum, path) => sum + /** @type {Buffer} */ (files.get(path)).length, 0);
  files.set("bag-info.txt", Buffer.from(`Payload-Oxum: ${bytes}.${payload.length}\nDocking-Record-Format: 1\n`));
  const tags = ["bag-info.txt", "bagit.txt", "manifest-sha256.txt", "manifest-sha512.txt"];
  for (const algorithm of ["sha256", "sha512"]) files.set(`tagmanifest-${algorithm}.txt`, list(algorithm, tags));
  return files;
}

/** The seal of a bag. */
export function sealOf(/** @type {Map<string, Buffer>} */ files) {
  return hex("sha256", /** @type {Buffer} */ (files.get("tagmanifest-sha256.txt")));
}

/**
 * An entry of a zip; what is not given is as it ought to be.
 * @typedef {object} Entry
 * @property {string | Buffer} name
 * @property {Uint8Array} inside
 * @property {boolean} [deflate]
 * @property {Buffer} [packed] instead of the compressed bytes
 * @property {number} [method]
 * @property {number} [flags]
 * @property {number} [crc]
 * @property {number} [size]
 * @property {number} [attributes]
 * @property {number} [needed]
 * @property {number} [disk]
 * @property {number} [header] where the directory says that its header is
 * @property {Buffer} [extra]
 * @property {string} [localName]
 * @property {number} [localSize]
 */

/**
 * A zip.
 * @param {Entry[]} entries
 * @param {{ comment?: string, entries?: number, before?: Buffer, large?: boolean, behind?: Buffer }} [odd]
 * @returns {Buffer}
 */
export function zip(entries, odd = {}) {
  const parts = [odd.before ?? Buffer.alloc(0)];
  const directory = [];
  let at = parts[0].length;
  for (const entry of entries) {
    const name = Buffer.from(entry.name);
    const packed = entry.packed ?? (entry.deflate ? deflateRawSync(entry.inside) : Buffer.from(entry.inside));
    const size = entry.size ?? entry.inside.length;
    const extra = entry.extra ?? Buffer.alloc(0);
    const both = Buffer.alloc(22);
    both.writeUInt16LE(entry.needed ?? 20, 0);
    both.writeUInt16LE(entry.flags ?? 1 << 11, 2);
    both.writeUInt16LE(entry.method ?? (entry.deflate ? 8 : 0), 4);
    both.writeUInt16LE(0x21, 8);
    both.writeUInt32LE(entry.crc ?? crc32(entry.inside), 10);
    both.writeUInt32LE(packed.length, 14);
    both.writeUInt32LE(size, 18);
    const lengths = (/** @type {Buffer} */ of) => {
      const two = Buffer.alloc(4);
      two.writeUInt16LE(of.length, 0);
      two.writeUInt16LE(extra.length, 2);
      return two;
    };
    const localName = Buffer.from(entry.localName ?? name);
    const own = Buffer.from(both);
    own.writeUInt32LE(entry.localSize ?? size, 18);
    const local = [Buffer.from("PK\x03\x04"), own, lengths(localName), localName, extra, packed];
    const rest = Buffer.alloc(14);
    rest.writeUInt16LE(entry.disk ?? 0, 2);
    rest.writeUInt32LE(entry.attributes ?? 0o100644 << 16 >>> 0, 6);
    rest.writeUInt32LE(entry.header ?? at, 10);
    directory.push(Buffer.from("PK\x01\x02\x14\x03"), both, lengths(name), rest, name, extra);
    parts.push(...local);
    at += local.reduce((sum, part) => sum + part.length, 0);
  }
  const listed = Buffer.concat(directory);
  const count = odd.entries ?? entries.length;
  const end = Buffer.alloc(22);
  end.write("PK\x05\x06", "latin1");
  end.writeUInt16LE(Math.min(count, 0xffff), 8);
  end.writeUInt16LE(Math.min(count, 0xffff), 10);
  end.writeUInt32LE(listed.length, 12);
  end.writeUInt32LE(at, 16);
  end.writeUInt16LE(odd.comment?.length ?? 0, 20);
  const large = Buffer.alloc(odd.large || count > 0xffff ? 76 : 0);
  if (large.length > 0) {
    large.write("PK\x06\x06", "latin1");
    large.writeBigUInt64LE(44n, 4);
    large.writeUInt16LE(45, 14);
    for (const place of [24, 32]) large.writeBigUInt64LE(BigInt(count), place);
    large.writeBigUInt64LE(BigInt(listed.length), 40);
    large.writeBigUInt64LE(BigInt(at), 48);
    large.write("PK\x06\x07", 56, "latin1");
    large.writeBigUInt64LE(BigInt(at + listed.length), 64);
    large.writeUInt32LE(1, 72);
  }
  return Buffer.concat([...parts, listed, large, end, Buffer.from(odd.comment ?? ""), odd.behind ?? Buffer.alloc(0)]);
}

/**
 * The entries of a bag in a folder.
 * @param {Map<string, Buffer>} files
 * @param {string} [folder]
 * @returns {Entry[]}
 */
export function entriesOf(files, folder = "bundle") {
  return [...files].map(([path, inside]) => ({ name: `${folder}/${path}`, inside }));
}

/**
 * Numbers by chance that are the same in every run (xorshift, Marsaglia 2003).
 * @param {number} seed not 0
 */
export function chance(seed) {
  let state = seed;
  return (/** @type {number} */ below) => {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    return (state >>> 0) % below;
  };
}

/**
 * A zip with some of its bytes made others: single ones, mostly in headers, cut off, put in, taken out, or a stretch
 * copied over another.
 * @param {Buffer} bytes
 * @param {(below: number) => number} random
 * @returns {Buffer}
 */
export function mutated(bytes, random) {
  let out = Buffer.from(bytes);
  const signatures = ["PK\x03\x04", "PK\x01\x02", "PK\x05\x06"];
  const inHeader = () => {
    const from = out.indexOf(signatures[random(3)], random(out.length), "latin1");
    return Math.min(Math.max(from, 0) + random(46), out.length - 1);
  };
  for (let times = 1 + random(4); times > 0; times -= 1) {
    const at = random(3) === 0 ? random(out.length) : inHeader();
    const length = 1 + random(random(2) === 0 ? 8 : 2000);
    switch (random(24)) {
      case 0: out = out.subarray(0, Math.max(at, 1)); break;
      case 1: out = Buffer.concat([out.subarray(0, at), Buffer.alloc(length, random(256)), out.subarray(at)]); break;
      case 2: out = Buffer.concat([out.subarray(0, at), out.subarray(at + length)]); break;
      case 3: case 5: out.copy(out, at, random(out.length), random(out.length)); break;
      case 4: case 6: case 7: out.fill(255, at, Math.min(at + 4, out.length)); break;
      default: out[at] ^= 1 << random(8);
    }
    if (out.length < 30) break;
    out = Buffer.from(out);
  }
  return out;
}
