// A bundle that two workers read is judged as by one, whatever becomes of the second.

import { test } from "node:test";
import assert from "node:assert/strict";
import { bag, entriesOf, zip } from "../common/bundles.js";
import { proofOfZip, proofOfZipShared } from "../common/proved.js";

const MIB = 2 ** 20;
const files = bag(Object.fromEntries(Array.from({ length: 12 }, (_, n) => [`data/papers/${n}.bin`, Buffer.alloc(n < 8 ? 2 * MIB + n : 5, n)])));
const whole = Uint8Array.from(zip(entriesOf(files)));
/** @param {(bytes: Uint8Array<ArrayBuffer>) => void} change */
const changed = (change) => {
  const bytes = Uint8Array.from(whole);
  change(bytes);
  return bytes;
};
/** Where a large file's bytes are. @param {number} n */
const inside = (n) => whole.findIndex((byte, at) => byte === n && whole[at + 1] === n && whole[at + 5000] === n && whole[at + MIB] === n) + MIB;
const comparable = (/** @type {import("../../../templates/page/worker.js").Summary} */ { seconds, ...rest }) => rest;

test("what two find is what one finds: whole, and with changed files", async () => {
  assert.deepEqual(comparable(await proofOfZipShared(whole)), comparable(await proofOfZip(whole)));
  const wrong = changed((bytes) => [2, 3, 6].forEach((n) => (bytes[inside(n)] ^= 1)));
  const [one, two] = [await proofOfZip(wrong), await proofOfZipShared(wrong)];
  assert.deepEqual(two.faults.map(({ path }) => path), [2, 3, 6].map((n) => `data/papers/${n}.bin`));
  assert.deepEqual(comparable(two), comparable(one));
});

test("the second does read some of it: what it finds counts", async () => {
  const other = changed((bytes) => [1, 2, 3, 4, 5, 6, 7].forEach((n) => (bytes[inside(n)] ^= 1)));
  const found = await proofOfZipShared(whole, other);
  assert.ok(found.faults.length > 0 && found.faults.length < 7, JSON.stringify(found.faults));
});

test("one that never comes is not waited for, and what one could not read the first reads", async () => {
  assert.deepEqual(comparable(await proofOfZipShared(whole, whole, () => {})), comparable(await proofOfZip(whole)));
  const refusing = await proofOfZipShared(whole, whole, (port) => {
    port.onmessage = () => {
      port.postMessage(1000);
      port.postMessage(null);
    };
    port.postMessage("ready");
  });
  assert.deepEqual(comparable(refusing), comparable(await proofOfZip(whole)));
});
