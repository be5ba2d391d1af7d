// What somebody seeks and finds, in passages made by hand.

import { test } from "node:test";
import assert from "node:assert/strict";
import { holding, plainly } from "../../../templates/page/search.js";

const element = /** @type {Element} */ (/** @type {unknown} */ (null));
/** @param {string} text @param {string[]} under */
const passage = (text, ...under) => ({ element, under, text, plain: plainly(text), around: plainly(under.join(" ")) });

const PAGE = [
  passage("Blocks were drawn after the survey.", "What happened"),
  passage("2. After draft marks, starboard side", "Photographs and papers", "The pictures"),
  passage("3. The draft was read twice", "Photographs and papers", "The pictures"),
  passage("P2; 21.890 m; 33.2 t", "Cards", "K11"),
  passage("P2; 22.590 m; 60.1 t", "Cards", "K12"),
  passage("Stérn reference point (SRP)", "Words"),
];
/** @param {string} sought */
const found = (sought) => {
  const { same, like } = holding(PAGE, sought);
  return [same, like].map((some) => some.map((one) => PAGE.indexOf(one)));
};

test("every word has to be there, in the passage or in its headings, but not in its headings alone", () => {
  assert.deepEqual(found("p2 k11"), [[3], []]);
  assert.deepEqual(found("k11"), [[], []]);
  assert.deepEqual(found("photographs read"), [[2], []]);
  assert.deepEqual(found("read nowhere"), [[], []]);
  assert.deepEqual(found("  "), [[], []]);
});

test("words that mean nearly the same are found as whole words, and apart", () => {
  assert.deepEqual(found("stern"), [[5], [0, 1]]);
  assert.deepEqual(found("photograph stern"), [[], [1]]);
  assert.deepEqual(found("abaft"), [[], [0, 1, 5]], "a draft is not aft");
});
