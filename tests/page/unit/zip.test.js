// Zips that are as they should be, by this project and by others, and zips that are not.

import { test } from "node:test";
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { readFileSync, readdirSync } from "node:fs";
import { join } from "node:path";
import { constants, deflateRawSync } from "node:zlib";
import { GOLDEN, GOLDEN_SEAL, ROOT, bag, entriesOf, sealOf, temporary, unpack, zip } from "../common/bundles.js";
import { proofOfFolder, proofOfZip } from "../common/proved.js";
import { bagOfFolder } from "../../../templates/page/bag.js";
import { shown } from "../../../templates/page/paths.js";
import { verdictOf } from "../../../templates/page/verdict.js";

const FILES = bag({
  "data/records/docking.toml": "format = 1\n",
  "data/papers/one.txt": "one\n".repeat(1000),
  "data/papers/two %.txt": "two\n",
  "data/papers/empty.txt": "",
});
const SEAL = sealOf(FILES);

/**
 * All that is said of a zip made of the files above, the entry of one.txt changed.
 * @param {Partial<import("../common/bundles.js").Entry>} change
 * @param {Parameters<typeof zip>[1]} [odd]
 */
async function saidOf(change, odd) {
  const entries = entriesOf(FILES).map((entry) => (entry.name === "bundle/data/papers/one.txt" ? { ...entry, ...change } : entry));
  return said(zip(entries, odd));
}

/** @param {Buffer} bytes */
async function said(bytes) {
  try {
    const summary = await proofOfZip(Uint8Array.from(bytes));
    return [verdictOf(summary, SEAL).heading, ...summary.wrong, ...summary.faults.map(({ path, state, why }) => `${shown(path)}: ${state} ${why}`)].join("\n");
  } catch (error) {
    return `refused: ${error instanceof Error ? error.message : error}`;
  }
}

const WHOLE = "Whole, and it is the bundle that the seal was made for";

test("a whole bundle of the program is whole, and has its seal", async () => {
  const summary = await proofOfZip(Uint8Array.from(readFileSync(GOLDEN)));
  assert.equal(summary.seal, GOLDEN_SEAL);
  assert.deepEqual([summary.faults, summary.wrong], [[], []]);
  assert.equal(verdictOf(summary, GOLDEN_SEAL).kind, "sound");
  assert.equal(verdictOf(summary, "").kind, "open");
  assert.equal(verdictOf(summary, GOLDEN_SEAL.slice(0, 60)).kind, "open");
  assert.equal(verdictOf(summary, GOLDEN_SEAL.replace(/^./, (digit) => (digit === "0" ? "1" : "0"))).kind, "wrong");
});

test("every bundle that is never written anew is whole, whichever version wrote it", async () => {
  const formats = join(ROOT, "tests/formats");
  const versions = readdirSync(formats).filter((name) => /^\d/.test(name)).map((name) => join(formats, name, "thistle-quill-2029.zip"));
  assert.ok(versions.length >= 3);
  for (const path of [...versions, join(ROOT, "tests/handover/calder-wren-2006.zip")]) {
    const summary = await proofOfZip(Uint8Array.from(readFileSync(path)));
    assert.deepEqual([summary.faults, summary.wrong, summary.counts["not compared"]], [[], [], undefined], path);
  }
});

test("zips made here are whole, plain, large and with a folder's entry", async () => {
  assert.equal(await saidOf({}), WHOLE);
  assert.equal(await saidOf({}, { large: true }), WHOLE);
  const folder = { name: "bundle/data/", inside: Buffer.alloc(0), attributes: 0o040755 << 16 >>> 0 };
  assert.equal(await said(zip([folder, ...entriesOf(FILES)])), WHOLE);
});

test("a zip that Info-ZIP made of the files is read, and what is odd about it is said", async () => {
  const folder = unpack(GOLDEN);
  for (const [options, odd] of /** @type {const} */ ([[["-0", "-X"], []], [["-9", "-X"], [/\d+ of its files are compressed, so another program made this zip/]]])) {
    const out = join(temporary(), "again.zip");
    execFileSync("zip", ["-q", "-r", ...options, out, "thistle-quill-2029"], { cwd: folder });
    const summary = await proofOfZip(Uint8Array.from(readFileSync(out)));
    assert.equal(summary.seal, GOLDEN_SEAL);
    assert.deepEqual(summary.faults, []);
    assert.equal(summary.wrong.length, odd.length, summary.wrong.join("\n"));
    odd.forEach((words, at) => assert.match(summary.wrong[at], words));
  }
});

test("a zip64 that Info-ZIP made is read", async () => {
  const folder = unpack(GOLDEN);
  const out = join(temporary(), "large.zip");
  execFileSync("zip", ["-q", "-r", "-0", "-X", "-fz", out, "thistle-quill-2029"], { cwd: folder });
  const bytes = readFileSync(out);
  assert.ok(bytes.includes("PK\x06\x06", 0, "latin1"), "it has no end record for large zips");
  const summary = await proofOfZip(Uint8Array.from(bytes));
  assert.equal(summary.seal, GOLDEN_SEAL);
  assert.deepEqual([summary.faults, summary.wrong], [[], []]);
});

const ONE = Buffer.from("one\n".repeat(1000));
const field = (/** @type {number} */ sort, /** @type {string} */ body) => {
  const head = Buffer.alloc(4);
  head.writeUInt16LE(sort, 0);
  head.writeUInt16LE(body.length, 2);
  return Buffer.concat([head, Buffer.from(body)]);
};

for (const [what, change, odd, says] of /** @type {[string, Partial<import("../common/bundles.js").Entry>, Parameters<typeof zip>[1] | undefined, RegExp][]} */ ([
  ["one byte changed", { inside: Buffer.concat([ONE.subarray(1), Buffer.from("x")]) }, , /^Not whole\ndata\/papers\/one.txt: changed $/],
  ["a wrong CRC-32", { crc: 7 }, , /one.txt is as the manifest lists it, but its CRC-32 in the zip is wrong/],
  ["two sizes", { size: 3999 }, , /one.txt is stored and has two sizes\n.*one.txt: missing/s],
  ["headers that differ", { localSize: 3999 }, , /one.txt (is stored and has two sizes|is described differently)/],
  ["two names", { localName: "bundle/data/papers/oNe.txt" }, , /one.txt is called bundle\/data\/papers\/oNe.txt in its own header/],
  ["a second name", { extra: field(0x7075, "\x01....other") }, , /one.txt has a second name/],
  ["AES", { extra: field(0x9901, "1234567") }, , /extra field of what is encrypted with AES/],
  ["encrypted", { flags: 1 << 11 | 1 }, , /one.txt is encrypted/],
  ["sizes behind", { flags: 1 << 11 | 8 }, , /does not say its size before its bytes/],
  ["patched", { flags: 1 << 11 | 1 << 5 }, , /patched data/],
  ["a method", { method: 12 }, , /method 12, which this page does not know/],
  ["a newer zip", { needed: 64 }, , /needs version 6.4/],
  ["a link", { attributes: 0o120777 << 16 >>> 0 }, , /one.txt is a link or not a regular file/],
  ["a folder with bytes", { attributes: 0o040755 << 16 >>> 0 }, , /marked as a folder/],
  ["another disk", { disk: 1 }, , /begins on another disk/],
  ["a header elsewhere", { header: 7 }, , /has no header of its own where the directory places it/],
  ["overlapping", { header: 0 }, , /overlaps another entry/],
  ["out of the folder", { name: "bundle/../one.txt" }, , /bundle\/..\/one.txt is not a plain path in a folder/],
  ["absolute", { name: "/bundle/data/papers/one.txt" }, , /is not a plain path in a folder/],
  ["backslash", { name: "bundle\\data\\one.txt" }, , /is not a plain path in a folder/],
  ["another folder", { name: "bundel/data/papers/one.txt" }, , /is in another folder than the rest/],
  ["twice", { name: "bundle/data/papers/empty.txt" }, , /empty.txt is in the zip twice/],
  ["capitals", { name: "bundle/data/papers/Empty.txt" }, , /(E|e)mpty.txt differs from another file's name only in capital letters/],
  ["a device", { name: "bundle/data/papers/aux.txt" }, , /aux.txt has the name of a device/],
  ["a name that is not UTF-8", { name: Buffer.from("bundle/\xff", "latin1") }, , /not UTF-8/],
  ["a name turned round", { name: "bundle/data/papers/\u202etxt.eno" }, , /\[U\+202E\]txt.eno: not listed/],
  ["a comment", {}, { comment: "hello" }, /5 bytes follow the end of the zip, 5 of them as its comment/],
  ["bytes before", {}, { before: Buffer.from("#!/bin/sh\n") }, /10 bytes before bundle\/data\/records\/docking.toml belong to no entry/],
  ["bytes behind", {}, { behind: Buffer.alloc(9) }, /9 bytes follow the end of the zip/],
  ["10 million entries", {}, { entries: 10000000 }, /^refused: it lists 10000000 entries, and a bundle has at most 200000/],
  ["more entries than there are", {}, { entries: 4000 }, /^refused: it lists more entries than its directory has room for/],
  ["one entry more", {}, { entries: FILES.size + 1 }, /^refused: entry 11 of its directory is no header|more entries than its directory/],
  ["one entry fewer", {}, { entries: FILES.size - 1 }, /its directory goes on after its last entry/],
  ["more than it says", { deflate: true, packed: deflateRawSync(Buffer.alloc(5000, "x")) }, , /one.txt: unreadable it holds more than the 4000 bytes/],
  ["less than it says", { deflate: true, packed: deflateRawSync(ONE.subarray(1)) }, , /one.txt: unreadable it holds 3999 bytes, where its header says 4000/],
  ["no deflate stream", { deflate: true, packed: Buffer.alloc(100, 0xff) }, , /one.txt: unreadable its compressed bytes are damaged/],
  ["a deflate stream cut off", { deflate: true, packed: deflateRawSync(ONE).subarray(0, -3) }, , /one.txt: unreadable its compressed bytes are damaged/],
  ["more than can be", { deflate: true, size: 4294967294 }, , /said to hold 4294967294 bytes, more than \d+ compressed bytes can stand for/],
])) {
  test(`${what} is said`, async () => {
    const sentences = await saidOf(change, odd);
    assert.match(sentences, says);
    assert.doesNotMatch(sentences, /^Whole/);
    assert.doesNotMatch(sentences, /page itself failed/);
  });
}

test("a bomb is not read to its end", async () => {
  // Stretches that stand for 16 MiB of zeros each, 128 of them, and the end of the stream.
  const stretch = deflateRawSync(Buffer.alloc(2 ** 24), { finishFlush: constants.Z_FULL_FLUSH });
  const packed = Buffer.concat([...Array(128).fill(stretch), Buffer.from([3, 0])]);
  const began = performance.now();
  assert.match(await saidOf({ deflate: true, inside: Buffer.alloc(0), packed, size: 2 ** 31, crc: 0 }), /one.txt: too much/);
  assert.match(await saidOf({ deflate: true, inside: Buffer.alloc(0), packed, size: 4000, crc: 0 }), /one.txt: unreadable it holds more than the 4000 bytes/);
  assert.ok(performance.now() - began < 3000);
});

test("what is no zip is refused with a sentence", async () => {
  assert.match(await said(Buffer.alloc(0)), /^refused: it is not a zip/);
  assert.match(await said(Buffer.from("%PDF-1.7\n")), /^refused: it is not a zip/);
  assert.match(await said(readFileSync(GOLDEN).subarray(0, 500000)), /^refused: it begins as a zip, but .* cut off or damaged/);
  assert.match(await said(zip([])), /^refused: this zip is no bundle/);
  assert.match(await said(zip([{ name: "a/b.txt", inside: Buffer.from("b") }])), /^refused: this zip is no bundle: it has neither bagit.txt nor a manifest/);
  assert.match(await said(zip(entriesOf(FILES, "outer/inner"))), /choose the folder that this file is in/);
});

test("a folder is proved, also inside others, and what is wrong with it is named", async () => {
  const entries = (/** @type {string} */ at) => [...FILES].map(([path, bytes]) => /** @type {[string, Uint8Array]} */ ([`${at}/${path}`, bytes]));
  for (const at of ["bundle", "bundle/bundle", "downloads/zip/bundle"]) {
    const summary = await proofOfFolder(entries(at));
    assert.deepEqual([summary.name, summary.seal, summary.faults, summary.wrong], ["bundle", SEAL, [], []]);
  }
  const changed = await proofOfFolder([
    ...entries("bundle").filter(([path]) => !path.endsWith("empty.txt")),
    ["bundle/data/papers/more.txt", Buffer.from("more")],
    ["bundle/note.txt", Buffer.from("note")],
  ]);
  assert.deepEqual(changed.faults.map(({ path, state }) => `${path}: ${state}`), ["data/papers/empty.txt: missing", "data/papers/more.txt: not listed", "note.txt: not listed"]);
  assert.match(changed.wrong.join(), /Payload-Oxum .* states 4015\.4 .* but there are 4019\.4/);
  await assert.rejects(proofOfFolder([...entries("a/b"), ["a/c.txt", Buffer.alloc(1)]]), /holds b\/.*bagit.txt: choose the folder/);
});

test("lists made anew are found out by the seal alone", async () => {
  const forged = bag({ "data/records/docking.toml": "format = 1\n", "data/papers/one.txt": "won\n" });
  const summary = await proofOfZip(Uint8Array.from(zip(entriesOf(forged))));
  assert.deepEqual([summary.faults, summary.wrong], [[], []]);
  assert.equal(verdictOf(summary, SEAL).heading, "Not the bundle that this seal was made for");
  assert.equal(verdictOf(summary, "").kind, "open");
});

test("nothing is called whole where a file was not compared", async () => {
  const files = new Map(FILES).set("tagmanifest-md5.txt", Buffer.from("anything"));
  const summary = await proofOfZip(Uint8Array.from(zip(entriesOf(files))));
  assert.deepEqual([summary.faults, summary.wrong], [[], []]);
  assert.match(summary.notCompared.join(), /tagmanifest-md5.txt: nothing lists it/);
  for (const [typed, says] of /** @type {const} */ ([[SEAL, /^As listed, and the seal is the one typed; but 1 file could not be compared/], ["", /not compared yet; but 1 file could not/]])) {
    const { kind, heading } = verdictOf(summary, typed);
    assert.equal(kind, "open");
    assert.match(heading, says);
  }
  assert.equal(verdictOf(summary, SEAL.replace(/^./, (digit) => (digit === "0" ? "1" : "0"))).kind, "wrong");
});

test("what the second manifest lists otherwise is said, though its digests are not compared", async () => {
  const text = String(FILES.get("manifest-sha512.txt"));
  for (const [changed, says] of /** @type {[string, RegExp][]} */ ([
    [text.replace(/^.*one.txt\n/m, ""), /manifest-sha512.txt does not list data\/papers\/one.txt/],
    [text + text.slice(0, 130) + "data/more.txt\n", /manifest-sha512.txt lists data\/more.txt, which is not there/],
    [text + text.slice(0, text.indexOf("\n") + 1), /manifest-sha512.txt, line 5, lists data\/records\/docking.toml a second time/],
  ])) assert.match(await said(zip(entriesOf(new Map(FILES).set("manifest-sha512.txt", Buffer.from(changed))))), says);
});

test("a digest of SHA-512 of a tag file that is wrong is said of the list", async () => {
  const text = String(FILES.get("tagmanifest-sha512.txt"));
  for (const [changed, says] of /** @type {[string, RegExp][]} */ ([
    [text.replace(/^./, (digit) => (digit === "0" ? "1" : "0")), /it gives another SHA-512 of bag-info.txt than the file has/],
    [text.replace(/^.*manifest-sha512.txt\n/m, ""), /it does not list manifest-sha512.txt/],
  ])) {
    const files = new Map(FILES).set("tagmanifest-sha512.txt", Buffer.from(changed));
    const sentences = await said(zip(entriesOf(files)));
    assert.match(sentences, /^Not whole/);
    assert.match(sentences, says);
  }
});

test("tag files that are missing, changed or of a newer format are said", async () => {
  for (const [path, text, says] of /** @type {[string, string | null, RegExp][]} */ ([
    ["bagit.txt", null, /bagit.txt is not there\n.*bagit.txt: missing/s],
    ["manifest-sha256.txt", null, /manifest-sha256.txt is not there/],
    ["tagmanifest-sha256.txt", null, /tagmanifest-sha256.txt is not there/],
    ["bag-info.txt", "Payload-Oxum: 1.1\n", /does not state the format.*bag-info.txt: changed/s],
    ["bag-info.txt", "Docking-Record-Format: 2\n", /is of format 2, and this page knows format 1/],
    ["manifest-sha256.txt", "\xff", /data\/papers\/one.txt: unchecked the list that it belongs in can't be read/],
  ])) {
    const files = new Map(FILES);
    if (text === null) files.delete(path);
    else files.set(path, Buffer.from(text, "latin1"));
    const sentences = await said(zip(entriesOf(files)));
    assert.match(sentences, says);
    assert.match(sentences, /^(Not whole|Something is not in order, and not all could be checked)/);
  }
});

test("a folder of more files than a bundle may have is refused at once", () => {
  const file = new File(["x"], "x");
  assert.throws(() => bagOfFolder(Array.from({ length: 200001 }, (_, n) => ({ path: `bundle/data/${n}`, file }))), /200001 files/);
});
