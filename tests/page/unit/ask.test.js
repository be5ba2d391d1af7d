// The steel asked, against shapes drawn by hand whose answers are seen at once.

import assert from "node:assert/strict";
import { test } from "node:test";

import { askSteel, frameAt, isName, xOfFrame } from "../../../templates/page/ask.js";
import { distanceToEdge, distanceToOpening, holdsPoint } from "../../../templates/page/geometry.js";

/** An upright rectangle. @returns {[number, number][]} */
const box = (/** @type {number} */ aft, /** @type {number} */ low, /** @type {number} */ forward, /** @type {number} */ high) => [
  [aft, low],
  [forward, low],
  [forward, high],
  [aft, high],
  [aft, low],
];

const opening = (/** @type {string} */ id, /** @type {object} */ of) =>
  /** @type {import("../../../templates/page/record.js").Opening} */ ({ id, card: `opening.${id}`, kind: "intake", centre: [0, 0], diameter: null, shape: null, ...of });

/** A hull of 20 m by 4 m. */
const hull = /** @type {import("../../../templates/page/record.js").Hull} */ (/** @type {unknown} */ ({
  length: { unit: "m", factor: 1, decimals: 2 },
  bottom: [[box(0, -2, 20, 2)]],
  frames: { fromAft: true, at: [[0, 0], [10, 5], [20, 15]] },
  positions: [
    { id: "P1", card: "position.P1", docked: "", hides: [{ block: "K1", shape: [box(2, -0.5, 3, 0.5)] }, { block: "K2", shape: [box(6, -0.5, 7, 0.5)] }], leftOut: [] },
    { id: "P2", card: "position.P2", docked: "", hides: [{ block: "K1", shape: [box(2.5, -0.5, 3.5, 0.5)] }], leftOut: [] },
  ],
  neverExposed: [{ letter: "A", shape: [box(2.5, -0.5, 3, 0.5)], says: "" }],
  openings: [
    opening("FAR", { centre: [18, 0], diameter: 0.5 }),
    opening("ROUND", { centre: [10, 0], diameter: 1 }),
    opening("SQUARE", { centre: [12.5, 1.5], shape: [box(12, 1, 13, 2)] }),
    opening("POINT", { centre: [1, -1] }),
  ],
  zones: [
    { id: "PORT", card: "zone.PORT", shape: [[box(0, 0, 20, 2)]] },
    { id: "STBD", card: "zone.STBD", shape: [[box(0, -2, 20, 0)]] },
  ],
  steel: [
    // With a hole where the blocks stood.
    { card: "steel.PORT.1", zone: "PORT", missing: null, coats: ["coat.PORT.1"], shape: [[box(0, 0, 20, 2), box(2, 0, 3.5, 0.5)]] },
    { card: "steel.PORT.2", zone: "PORT", missing: "coat 1", coats: [], shape: [[box(2, 0, 3.5, 0.5)]] },
  ],
  exceptions: [
    { letter: "A", kind: "climate", says: "", shape: [[box(0, 0, 5, 2)]], places: [] },
    { letter: "B", kind: "contradiction", says: "", shape: [], places: [[15, 1]] },
  ],
  gaugings: [
    { card: "plate.A.1", plate: "A 1", at: [4, 1], loss: null, share: null },
    { card: "plate.A.2", plate: "A 2", at: [2, null], loss: null, share: null },
    { card: "plate.A.3", plate: "A 3", at: [6, 1], loss: null, share: null },
    { card: "plate.A.4", plate: "A 4", at: [5, 2], loss: null, share: null },
    { card: "plate.A.5", plate: "A 5", at: [19, 2], loss: null, share: null },
  ],
  anodes: [
    { id: "AN1", card: "anode.AN1", at: [0, 0], renewed: true },
    { id: "AN2", card: "anode.AN2", at: [20, 0], renewed: null },
  ],
  pictures: [
    { number: 1, card: "paper.1", file: "1", caption: "", at: [5, 0], from: [], about: [] },
    { number: 2, card: "paper.2", file: "2", caption: "", at: null, from: [], about: ["block:K1"] },
    { number: 3, card: "paper.3", file: "3", caption: "", at: null, from: [], about: ["ROUND"] },
    { number: 4, card: "paper.4", file: "4", caption: "", at: null, from: [], about: ["zone:K1"] },
  ],
  unseen: [
    { name: "", shape: [[box(2.5, -0.5, 2.75, 0.5)]] },
    { name: "2021", shape: [[box(2, -0.5, 3, 0.5)]] },
  ],
  findings: [
    { id: "f.block", card: "finding.f.block", outcome: "differs", sentence: "", about: ["block.K1"] },
    { id: "f.opening", card: "finding.f.opening", outcome: "differs", sentence: "", about: ["opening.ROUND"] },
    { id: "f.zone", card: "finding.f.zone", outcome: "differs", sentence: "", about: ["zone.STBD", "x"] },
    { id: "f.coat", card: "finding.f.coat", outcome: "differs", sentence: "", about: ["coat.PORT.1"] },
  ],
}));

test("a shape with a hole holds what lies on its edges, and not what lies in the hole", () => {
  const shape = [box(0, 0, 10, 10), box(4, 4, 6, 6)];
  for (const [x, y, held] of /** @type {[number, number, boolean][]} */ ([
    [1, 1, true],
    [5, 5, false],
    [4, 5, true],
    [6, 6, true],
    [0, 0, true],
    [10, 10, true],
    [10, 3, true],
    [10.000001, 3, false],
    [-1, 0, false],
    // Level with corners.
    [-1, 10, false],
    [-1, 4, false],
    [3, 4, true],
  ])) assert.equal(holdsPoint(shape, x, y), held, `${x} ${y}`);
  // On a slope that no binary fraction hits.
  assert.ok(holdsPoint([[[0, 0], [0.3, 0.1], [0, 0.1]]], 0.15, 0.05));
  // A ring need not repeat its first point.
  assert.ok(holdsPoint([box(0, 0, 1, 1).slice(0, 4)], 0.01, 0.5));
});

test("distances are those of Pythagoras", () => {
  assert.equal(distanceToEdge([box(0, 0, 10, 10)], 13, 14), 5);
  assert.equal(distanceToEdge([box(0, 0, 10, 10), box(4, 4, 6, 6)], 3, 5), 1);
  const round = opening("R", { centre: [3, 4], diameter: 2 });
  assert.equal(distanceToOpening(round, 0, 0), 4);
  assert.equal(distanceToOpening(round, 3.5, 4), 0);
  const square = opening("S", { shape: [box(1, 1, 2, 2)] });
  assert.equal(distanceToOpening(square, 1.5, 1.5), 0);
  assert.equal(distanceToOpening(square, -2, -3), 5);
  assert.equal(distanceToOpening(opening("P", { centre: [0, 2] }), 0, 0), 2);
});

test("a place under blocks in both positions", () => {
  const answer = askSteel(hull, 2.6, 0.25);
  assert.deepEqual(answer.positions, [{ id: "P1", under: "K1" }, { id: "P2", under: "K1" }]);
  assert.equal(answer.onBottom, true);
  assert.equal(answer.neverExposed, "A");
  assert.equal(answer.zone, "PORT");
  assert.equal(answer.steel, "steel.PORT.2");
  assert.deepEqual(answer.exceptions, ["A"]);
  assert.deepEqual(answer.pictures, [2]);
  assert.deepEqual(answer.unseen, ["", "2021"]);
  assert.deepEqual(answer.findings, ["f.block"]);
  assert.equal(answer.frame, 5.2);
});

test("a place under a block once, and the nearest things in order", () => {
  const answer = askSteel(hull, 6.5, -0.5);
  assert.deepEqual(answer.positions, [{ id: "P1", under: "K2" }, { id: "P2", under: null }]);
  assert.equal(answer.neverExposed, null);
  assert.equal(answer.zone, "STBD");
  assert.equal(answer.steel, null);
  assert.deepEqual(answer.openings.map(({ id }) => id), ["ROUND", "POINT", "SQUARE"]);
  assert.equal(answer.openings[0].distance, Math.hypot(3.5, 0.5) - 0.5);
  assert.deepEqual(answer.gaugings.map(({ card }) => card), ["plate.A.3", "plate.A.1", "plate.A.4"], "the last two are equally far");
  assert.deepEqual(answer.anodes, [{ id: "AN1", distance: Math.hypot(6.5, 0.5) }]);
  assert.deepEqual(answer.pictures, [1]);
  assert.deepEqual(answer.findings, ["f.zone"]);
});

test("an opening within a metre brings its pictures and findings", () => {
  const answer = askSteel(hull, 10.4, 0.2);
  assert.deepEqual(answer.openings[0], { id: "ROUND", distance: 0 });
  assert.deepEqual(answer.pictures, [3]);
  assert.deepEqual(answer.findings, ["f.opening", "f.coat"]);
  assert.deepEqual(askSteel(hull, 11.6, 0).pictures, []);
  assert.deepEqual(askSteel(hull, 11.5, 0).pictures, [3]);
});

test("a place marked among the exceptions reaches a metre", () => {
  assert.deepEqual(askSteel(hull, 15, 2).exceptions, ["B"]);
  assert.deepEqual(askSteel(hull, 15, -0.1).exceptions, []);
});

test("beyond the hull nothing is claimed", () => {
  const answer = askSteel(hull, 30, 9);
  assert.equal(answer.onBottom, false);
  assert.equal(answer.zone, null);
  assert.equal(answer.frame, null);
  assert.deepEqual(answer.positions.map(({ under }) => under), [null, null]);
});

test("frames lie in straight lines between those given", () => {
  assert.equal(frameAt(hull, 0), 0);
  assert.equal(frameAt(hull, 2.5), 5);
  assert.equal(frameAt(hull, 10), 15);
  assert.equal(frameAt(hull, 15), 20);
  assert.equal(frameAt(hull, 15.01), null);
  assert.equal(frameAt(hull, -0.01), null);
  assert.equal(xOfFrame(hull, 15), 10);
  assert.equal(xOfFrame(hull, 21), null);
  // Counted from forward: numbers fall as x grows.
  const counted = { ...hull, frames: { fromAft: false, at: /** @type {[number, number][]} */ ([[2, 0], [1, 6], [0, 12]]) } };
  assert.equal(frameAt(counted, 9), 0.5);
  assert.equal(xOfFrame(counted, 1.5), 3);
  const none = { ...hull, frames: { fromAft: true, at: [] } };
  assert.equal(frameAt(none, 1), null);
});

test("a name with a kind is of that kind only", () => {
  assert.ok(isName("K1", "block", "K1"));
  assert.ok(isName("block:K1", "block", "K1"));
  assert.ok(isName("block:a:b", "block", "a:b"));
  assert.ok(!isName("zone:K1", "block", "K1"));
});
