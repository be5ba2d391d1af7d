import { test } from "node:test";
import assert from "node:assert/strict";
import { randomBytes, randomInt } from "node:crypto";
import { crc32 as crc32OfNode } from "node:zlib";
import { Sha256, sha256 } from "../../../templates/page/sha256.js";
import { crc32 } from "../../../templates/page/crc32.js";
import { hex } from "../common/bundles.js";

const ascii = (/** @type {string} */ text) => new TextEncoder().encode(text);

/** Examples of NIST for FIPS 180-4 (SHA256.pdf, "Examples with Intermediate Values"; the million of FIPS 180-2, appendix B.3), from memory. */
test("the digests are those of the standard's examples", () => {
  for (const [text, digest] of /** @type {const} */ ([
    ["", "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"],
    ["abc", "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"],
    ["abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq", "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1"],
    ["a".repeat(1000000), "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0"],
  ])) {
    assert.equal(sha256(ascii(text)), digest);
  }
});

test("every length round the ends of blocks, against node's own", () => {
  for (let length = 0; length <= 260; length += 1) {
    const bytes = randomBytes(length);
    assert.equal(sha256(bytes), hex("sha256", bytes), `${length} bytes`);
  }
});

test("bytes in pieces of any length give the digest of the whole", () => {
  for (let run = 0; run < 300; run += 1) {
    const bytes = randomBytes(randomInt(0, 5000));
    const digest = new Sha256();
    for (let at = 0; at < bytes.length;) {
      const to = at + randomInt(0, run % 2 === 0 ? 150 : 1500);
      digest.update(bytes.subarray(at, to));
      at = to;
    }
    assert.equal(digest.hex(), hex("sha256", bytes));
  }
});

test("the number of bits is right beyond 32 bits of them", () => {
  const digest = new Sha256();
  const piece = new Uint8Array(2 ** 24);
  for (let n = 0; n < 33; n += 1) digest.update(piece);
  assert.equal(digest.hex(), hex("sha256", new Uint8Array(33 * 2 ** 24)));
});

test("CRC-32 against node's own, whole and in two pieces", () => {
  for (let run = 0; run < 300; run += 1) {
    const bytes = randomBytes(randomInt(0, 100));
    const at = randomInt(0, bytes.length + 1);
    assert.equal(crc32(crc32(0, bytes.subarray(0, at)), bytes.subarray(at)), crc32OfNode(bytes));
  }
});
