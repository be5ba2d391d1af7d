// What the program tells the scripts: the JSON in the element `record`. Lengths are metres in hull axes, x forward of
// the stern reference point and y to port; every text is finished, in the units of the project.

/** A ring of points, closed by its first. @typedef {[number, number][]} Ring */
/** Rings, the outer one first. @typedef {Ring[]} Shape */

/**
 * A length as the page shows it: metres times `factor`, with so many decimals, then the unit.
 * @typedef {{ unit: string, factor: number, decimals: number }} Length
 */

/**
 * A docking position. `hides` says which block's cap lay where; a block's card is `block.ID`.
 * @typedef {{
 *   id: string, card: string, docked: string,
 *   hides: { block: string, shape: Shape }[],
 *   leftOut: { block: string, shape: Shape }[],
 * }} Position
 */

/** An opening; a round one has a `diameter`. @typedef {{ id: string, card: string, kind: string, centre: [number, number], diameter: number | null, shape: Shape | null }} Opening */

/**
 * Steel of the bottom that lay under the same blocks and got the same coats. `missing` says what its scheme lacks,
 * as a few words; null where nothing does or there is no scheme. `coats` are the cards of the coats that it got.
 * @typedef {{ card: string, zone: string, missing: string | null, coats?: string[], shape: Shape[] }} Steel
 */

/** What is marked on the map of exceptions. @typedef {{ letter: string, kind: string, says: string, shape: Shape[], places: [number, number][] }} Exception */

/** A gauging; `share` is its loss as a part of the loss allowed, null where no limit or no original is recorded. `since` says what it lost since an earlier docking on record, if one gauged the plate. @typedef {{ card: string, plate: string, at: [number, number | null], loss: string, share: number | null, since?: string | null }} Gauging */

/** An anode. @typedef {{ id: string, card: string, at: [number, number], renewed: boolean | null }} Anode */

/**
 * A picture, and where what it shows is. `preview` is the id under which the page keeps it in small, with its width and
 * height in pixels; `alt` says what it is to those who can't see it.
 * @typedef {{
 *   number: number, card: string, file: string, caption: string, at: [number, number] | null, from: string[],
 *   about: string[], preview?: [string, number, number] | null, alt?: string,
 * }} Picture
 */

/** What blocks would hide in a position by the plan. @typedef {{ name: string, hides: { block: string, shape: Shape }[] }} Planned */

/** What was under blocks in every docking on record, or in an earlier one; `says` is the sentence for it. @typedef {{ name: string, says?: string, shape: Shape[] }} Unseen */

/**
 * What a shift of the ship by steps of `step` from `start` on does; a shift is + forward or to port, so that what the
 * blocks hide lies as far aft or to starboard on the hull. `twice` is the area in m2 hidden in both, `near` the openings
 * nearer to a cap than wanted, at each step.
 * @typedef {{ start: number, step: number, twice: number[], near: string[][] }} Steps
 */

/** A shift to aim at: by `at` metres, `along` or else athwart; `miss` is by how much it may be missed either way. @typedef {{ along: boolean, at: number, miss: number, says: string }} Aim */

/**
 * Shifts of the ship from where she lay in the position `from`; `to` says in words on which blocks. `caps` are the caps
 * that stand after the shift, where they would bear if she were not shifted. `area` is how an area is shown, as a length
 * is: m2 times `factor`.
 * @typedef {{
 *   from: string, to: string, area: Length, caps: { block: string, shape: Shape }[],
 *   along: Steps, athwart: Steps, aims: Aim[], caution: string,
 * }} Shifts
 */

/** A finding that does not agree, and the cards of what it is about. @typedef {{ id: string, card: string, outcome: string, sentence: string, about: string[] }} Marked */

/**
 * The hull and what lies on it.
 * @typedef {{
 *   length: Length, bottom: Shape[],
 *   frames: { fromAft: boolean, at: [number, number][] },
 *   positions: Position[], planned?: Planned[], neverExposed: { letter: string, shape: Shape, says: string }[],
 *   openings: Opening[], zones: { id: string, card: string, shape: Shape[] }[],
 *   steel: Steel[], exceptions: Exception[], gaugings: Gauging[], anodes: Anode[],
 *   pictures: Picture[], unseen: Unseen[], notUnseen?: string | null, findings: Marked[],
 *   shifts?: Shifts | null,
 * }} Hull
 */

/**
 * All of it. `format` is the version of this form.
 * @typedef {{
 *   format: number, program: string, ship: string, dock: string, period: string | null, bundle: string | null,
 *   hull: Hull | null,
 * }} PageRecord
 */

/** @returns {PageRecord} */
export function readRecord() {
  return JSON.parse(document.getElementById("record")?.textContent ?? "null");
}
