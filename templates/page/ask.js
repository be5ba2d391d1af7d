// What is known of a place on the hull. The program answers the same question by the same definition.

import { anyHoldsPoint, distanceToOpening, holdsPoint } from "./geometry.js";

/** @typedef {import("./record.js").Hull} Hull */

/** An opening, or a place marked among the exceptions, so near to a place belongs to it. */
export const NEAR_M = 1;
/** A picture of something so near to a place belongs to it. */
export const PICTURED_M = 2;
/** Openings and gaugings that are named. */
const MOST_NAMED = 3;

/**
 * What is known of a place. Coordinates and distances are metres in hull axes, not rounded; the edge of a shape counts as
 * inside it (to `ON_EDGE_M`). Where several of a kind hold the place, the first in the order of the record is named; of
 * two that are equally far the first in that order comes first.
 *
 *  - `frame`: its frame, with a part of the spacing to the next; null beyond the frames given, or without any.
 *  - `onBottom`: whether the outline of the bottom holds it.
 *  - `positions`: every position, with the block whose cap hid it there; null where none did.
 *  - `steel`: the card of the steel that holds it.
 *  - `neverExposed`: the letter of the piece never exposed that holds it.
 *  - `exceptions`: letters of those whose steel holds it, or one of whose places is within `NEAR_M`.
 *  - `zone`: the id of the zone that holds it.
 *  - `openings`: the three nearest, with the distance to the opening's edge; 0 inside.
 *  - `gaugings`: the three nearest whose y is known, with the distance.
 *  - `anodes`: the nearest, with the distance to its place.
 *  - `pictures`: numbers of those that show something within `PICTURED_M`, or are about a block of `positions` or an
 *    opening within `NEAR_M`. `about` names a thing as `ID` or as `kind:ID`.
 *  - `findings`: ids of those about a block of `positions`, an opening within `NEAR_M`, the zone, or a coat of the steel.
 *  - `unseen`: names of the shapes in `hull.unseen` that hold it; the empty name is that of what no docking on record
 *    exposed.
 *
 * @typedef {{
 *   x: number, y: number, frame: number | null, onBottom: boolean,
 *   positions: { id: string, under: string | null }[],
 *   steel: string | null, neverExposed: string | null, exceptions: string[], zone: string | null,
 *   openings: { id: string, distance: number }[], gaugings: { card: string, distance: number }[],
 *   anodes: { id: string, distance: number }[],
 *   pictures: number[], findings: string[], unseen: string[],
 * }} SteelAnswer
 */

/** Asks the steel at a place. @param {Hull} hull @param {number} x @param {number} y @returns {SteelAnswer} */
export function askSteel(hull, x, y) {
  const positions = hull.positions.map((position) => ({
    id: position.id,
    under: position.hides.find((hidden) => holdsPoint(hidden.shape, x, y))?.block ?? null,
  }));
  const steel = hull.steel.find((part) => anyHoldsPoint(part.shape, x, y));
  const zone = hull.zones.find((one) => anyHoldsPoint(one.shape, x, y));
  const isNear = (/** @type {[number, number]} */ at, /** @type {number} */ most) => Math.hypot(at[0] - x, at[1] - y) <= most;
  const openings = nearest(hull.openings, (opening) => distanceToOpening(opening, x, y));
  const gaugings = nearest(hull.gaugings, ({ at }) => (at[1] === null ? null : Math.hypot(at[0] - x, at[1] - y)));
  const anodes = nearest(hull.anodes, ({ at }) => Math.hypot(at[0] - x, at[1] - y)).slice(0, 1);
  const blocks = [...new Set(positions.flatMap(({ under }) => (under === null ? [] : [under])))];
  const beside = openings.filter(({ distance }) => distance <= NEAR_M);
  const named = [
    ...blocks.map((id) => ({ kind: "block", id })),
    ...beside.map(({ one }) => ({ kind: "opening", id: one.id })),
  ];
  const cards = new Set([
    ...blocks.map((id) => `block.${id}`),
    ...beside.map(({ one }) => one.card),
    ...(zone === undefined ? [] : [zone.card]),
    ...(steel?.coats ?? []),
  ]);
  return {
    x,
    y,
    frame: frameAt(hull, x),
    onBottom: anyHoldsPoint(hull.bottom, x, y),
    positions,
    steel: steel?.card ?? null,
    neverExposed: hull.neverExposed.find(({ shape }) => holdsPoint(shape, x, y))?.letter ?? null,
    exceptions: hull.exceptions
      .filter(({ shape, places }) => anyHoldsPoint(shape, x, y) || places.some((at) => isNear(at, NEAR_M)))
      .map(({ letter }) => letter),
    zone: zone?.id ?? null,
    openings: openings.slice(0, MOST_NAMED).map(({ one, distance }) => ({ id: one.id, distance })),
    gaugings: gaugings.slice(0, MOST_NAMED).map(({ one, distance }) => ({ card: one.card, distance })),
    anodes: anodes.map(({ one, distance }) => ({ id: one.id, distance })),
    pictures: hull.pictures
      .filter(({ at, about }) => {
        if (at !== null && isNear(at, PICTURED_M)) return true;
        return about.some((name) => named.some(({ kind, id }) => isName(name, kind, id)));
      })
      .map(({ number }) => number),
    findings: hull.findings.filter(({ about }) => about.some((card) => cards.has(card))).map(({ id }) => id),
    unseen: hull.unseen.filter(({ shape }) => anyHoldsPoint(shape, x, y)).map(({ name }) => name),
  };
}

/**
 * All whose distance is known, nearest first.
 * @template T
 * @param {T[]} all @param {(one: T) => number | null} distanceOf @returns {{ one: T, distance: number }[]}
 */
function nearest(all, distanceOf) {
  const known = all.flatMap((one) => {
    const distance = distanceOf(one);
    return distance === null ? [] : [{ one, distance }];
  });
  return known.sort((a, b) => a.distance - b.distance);
}

/** Whether a name, `ID` or `kind:ID`, is that of a thing. @param {string} name @param {string} kind @param {string} id */
export function isName(name, kind, id) {
  const cut = name.indexOf(":");
  return cut < 0 ? name === id : name.slice(0, cut) === kind && name.slice(cut + 1) === id;
}

/** The frame at x, linear between those given; null beyond them. @param {Hull} hull @param {number} x @returns {number | null} */
export function frameAt(hull, x) {
  return between(hull.frames.at.map(([number, at]) => [at, number]), x);
}

/** Where a frame stands, linear between those given; null beyond them. @param {Hull} hull @param {number} number @returns {number | null} */
export function xOfFrame(hull, number) {
  return between(hull.frames.at, number);
}

/** The value at a place on a line through points. @param {[number, number][]} points @param {number} at @returns {number | null} */
function between(points, at) {
  const sorted = [...points].sort((a, b) => a[0] - b[0]);
  const exactly = sorted.find(([place]) => place === at);
  if (exactly !== undefined) return exactly[1];
  const next = sorted.findIndex(([place]) => place > at);
  if (next <= 0) return null;
  const [[a, from], [b, to]] = [sorted[next - 1], sorted[next]];
  return from + ((at - a) / (b - a)) * (to - from);
}
