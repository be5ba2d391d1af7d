// Two readers must find the same: the page and `lastdock verify`, of zips with chance damage.

import { test } from "node:test";
import assert from "node:assert/strict";
import { execFile } from "node:child_process";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { promisify } from "node:util";
import { GOLDEN, PROGRAM, bag, chance, entriesOf, mutated, temporary, zip } from "../common/bundles.js";
import { proofOfZip } from "../common/proved.js";

const RUNS = 200;

/** What the two word otherwise: the page goes by SHA-256 for all but the tag files, and says it of the list where a digest in it is wrong. */
const BEYOND = /sha512/;

/**
 * The state of each file by the program, and whether all is whole; null if it refuses the zip.
 * @param {string} path
 */
async function judgedByProgram(path) {
  const run = await promisify(execFile)(PROGRAM, ["verify", path, "--json"], { maxBuffer: 2 ** 26 }).catch((error) => error);
  assert.ok(run.code === undefined || typeof run.code === "number", `the program could not be run: ${run.message}`);
  const [judged] = run.stdout === "" ? [] : JSON.parse(run.stdout);
  if (judged?.files === undefined) return null;
  return judged;
}

/** @param {Buffer} bytes */
async function judgedByPage(bytes) {
  const began = performance.now();
  try {
    return await proofOfZip(Uint8Array.from(bytes));
  } catch (error) {
    assert.doesNotMatch(String(error), /TypeError|RangeError|ReferenceError|undefined/);
    return null;
  } finally {
    assert.ok(performance.now() - began < 10000);
  }
}

for (const [what, bytes, seed] of /** @type {const} */ ([
  ["a bundle of the program", readFileSync(GOLDEN), 20290502],
  ["a small zip, so that headers are hit often", zip(entriesOf(bag({ "data/records/docking.toml": "format = 1\n", "data/papers/a.txt": "a", "data/papers/b.txt": "b".repeat(5000) }))), 20310407],
])) {
  test(`the program and the page find the same in ${RUNS} damaged zips: ${what}`, { timeout: 300000 }, async () => {
    const random = chance(seed);
    const path = join(temporary(), "damaged.zip");
    let refused = 0;
    let whole = 0;
    for (let run = 0; run < RUNS; run += 1) {
      const damaged = mutated(bytes, random);
      writeFileSync(path, damaged);
      const [program, page] = await Promise.all([judgedByProgram(path), judgedByPage(damaged)]);
      assert.equal(page === null, program === null, `run ${run}: ${page === null ? "only the page" : "only the program"} refuses it`);
      if (page === null || program === null) {
        refused += 1;
        continue;
      }
      const isWhole = page.faults.length === 0 && page.wrong.length === 0;
      if (isWhole) whole += 1;
      const byPage = page.faults.filter(({ state }) => state !== "unchecked").map(({ path, state }) => `${path}: ${state}`);
      const files = /** @type {{ path: string, state: string }[]} */ (program.files);
      const byProgram = files.filter(({ state }) => state !== "whole").map(({ path, state }) => `${path}: ${state}`);
      const said = `run ${run}: ${JSON.stringify([page.wrong, program.wrong])}`;
      assert.deepEqual(byPage.filter((line) => !byProgram.includes(line) && !BEYOND.test(line)), [], said);
      // Without a list by SHA-256 the program goes by the one by SHA-512; and where a digest in that one was changed, it
      // says so of the file.
      if (page.faults.some(({ state }) => state === "unchecked")) continue;
      if ([...byPage, ...byProgram].some((line) => BEYOND.test(line)) || program.wrong.some((/** @type {string} */ line) => BEYOND.test(line))) continue;
      assert.deepEqual(byProgram.filter((line) => !byPage.includes(line)), [], said);
      assert.equal(page.wrong.length > 0, program.wrong.length > 0, said);
    }
    assert.ok(refused > RUNS / 10 && refused < RUNS * 0.7 && whole < RUNS / 4, `${refused} refused, ${whole} whole`);
  });
}
