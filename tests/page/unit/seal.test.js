import { test } from "node:test";
import assert from "node:assert/strict";
import { compareSeal, inGroups } from "../../../templates/page/seal.js";

const SEAL = "142a0429d68c46d50f52af8aad7fd22e7f438f5b92e66123cae5c2ecddd0e44b";

test("spaces, lines, capitals and groupings do not matter", () => {
  for (const typed of [SEAL, inGroups(SEAL), SEAL.toUpperCase(), inGroups(SEAL).replaceAll(" ", "-"), ` ${SEAL.slice(0, 31)}\n\t${SEAL.slice(31)}\n`, inGroups(SEAL).replaceAll(" ", "\u2013\u00a0")]) {
    assert.equal(compareSeal(typed, SEAL).found, "same", typed);
  }
});

test("every digit counts, and the group that differs is named", () => {
  for (let at = 0; at < 64; at += 1) {
    const typed = SEAL.slice(0, at) + (SEAL[at] === "0" ? "1" : "0") + SEAL.slice(at + 1);
    const { found, says } = compareSeal(inGroups(typed), SEAL);
    assert.equal(found, "differs");
    assert.match(says, new RegExp(`group ${Math.floor(at / 4) + 1} of 16`));
  }
});

test("no part of a seal is taken for it", () => {
  for (let length = 0; length < 64; length += 1) {
    const { found } = compareSeal(SEAL.slice(0, length), SEAL);
    assert.equal(found, length === 0 ? "empty" : "part");
    assert.notEqual(compareSeal(SEAL.slice(64 - length), SEAL).found, "same");
  }
  assert.equal(compareSeal(`${SEAL}0`, SEAL).found, "differs");
  assert.equal(compareSeal(SEAL + SEAL, SEAL).found, "differs");
});

test("a group left out is said", () => {
  const groups = inGroups(SEAL).split(" ");
  const { found, says } = compareSeal(groups.toSpliced(4, 1).join(" "), SEAL);
  assert.equal(found, "differs");
  assert.match(says, /group 5 of 16.*60 digits.*left out/);
});

test("signs that are in no seal are named, with what may be meant", () => {
  assert.match(compareSeal(`142a O${SEAL.slice(5)}`, SEAL).says, /“o” in group 2.*digit 0/);
  assert.equal(compareSeal("the seal", SEAL).found, "unclear");
  assert.equal(compareSeal("142a?", SEAL).found, "unclear");
});
