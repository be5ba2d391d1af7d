// The card of a place on the hull: what is known of the steel there, in words, with links to the cards of what it names.

import { NEAR_M, PICTURED_M } from "./ask.js";
import { element, listOf } from "./elements.js";
import { figure, frameInWords, lengthInWords, offsetInWords, placeInWords } from "./lengths.js";
import { extentOfPoints, middleOf } from "./geometry.js";
import { svgElement } from "./svg.js";

/** @typedef {import("./record.js").Hull} Hull */
/** @typedef {import("./ask.js").SteelAnswer} SteelAnswer */

/** Decimals of metres in the address of a place: a millimetre. */
const KEPT_DECIMALS = 3;

/** The fragment of a place, in metres whatever the page's units. @param {number} x @param {number} y */
export function fragmentOfPlace(x, y) {
  const kept = (/** @type {number} */ value) => String(Number(value.toFixed(KEPT_DECIMALS)) + 0);
  return `#at=${kept(x)},${kept(y)}`;
}

/** The place that a fragment names; null if it names none. @param {string} fragment @returns {[number, number] | null} */
export function placeOfFragment(fragment) {
  const found = /^#at=(-?\d{1,4}(?:\.\d{1,9})?)(?:,|%2C)(-?\d{1,4}(?:\.\d{1,9})?)$/i.exec(fragment);
  return found === null ? null : [Number(found[1]), Number(found[2])];
}

/** A link to a card, or only the words where the page has no such card. @param {string} card @param {string} words */
export function linkToCard(card, words) {
  if (document.getElementById(card) === null) return element("span", { class: "id" }, words);
  return element("a", { class: "id", href: `#${encodeURIComponent(card)}` }, words);
}

/**
 * Where a thing is on the hull: a block in every position that it stood in, with the position's id, anything else at one
 * place; nowhere where that is not known.
 * @param {Hull} hull @param {string} card @returns {{ position: string | null, at: [number, number] }[]}
 */
export function placesOfCard(hull, card) {
  const stood = hull.positions.flatMap(({ id, hides }) => {
    const extent = extentOfPoints(hides.filter(({ block }) => `block.${block}` === card).flatMap(({ shape }) => shape.flat()));
    return extent === null ? [] : [{ position: id, at: middleOf(extent) }];
  });
  if (stood.length > 0) return stood;
  const opening = hull.openings.find((one) => one.card === card);
  if (opening !== undefined) return [{ position: null, at: opening.centre }];
  const placed = [...hull.anodes, ...hull.gaugings, ...hull.pictures].find((one) => one.card === card)?.at ?? null;
  return placed === null || placed[1] === null ? [] : [{ position: null, at: [placed[0], placed[1]] }];
}

/** Sentences of what matters most there. @param {Hull} hull @param {SteelAnswer} answer */
function inShort(hull, answer) {
  const under = answer.positions.filter((one) => one.under !== null);
  if (!answer.onBottom && under.length === 0) {
    return hull.bottom.length === 0 ? "The outline of the bottom is not recorded, so whether this is on it is not known." : "Not on the bottom, as its outline is recorded.";
  }
  const names = under.map(({ id, under: block }) => `${block} in ${id}`);
  const blocks = names.length === 0 ? "Under no block of this record" : `Under ${inWords(names)}`;
  const never = answer.neverExposed === null ? "" : `; never exposed in this docking (${answer.neverExposed})`;
  const steel = hull.steel.find(({ card }) => card === answer.steel);
  const lacks = steel?.missing ? `; missing of its scheme: ${steel.missing}` : "";
  return `${blocks}${never}${lacks}.`;
}

/** Names in a sentence. @param {string[]} names */
function inWords(names) {
  return names.length < 2 ? names.join("") : `${names.slice(0, -1).join(", ")} and ${names[names.length - 1]}`;
}

/** @param {string} title @param {(Node | string)[]} inside */
function part(title, ...inside) {
  return element("section", {}, element("h4", {}, title), ...inside);
}

/** The card of a place. Its heading can take the focus. @param {Hull} hull @param {SteelAnswer} answer @returns {HTMLElement} */
export function cardOfPlace(hull, answer) {
  const { length } = hull;
  const heading = element("h3", { tabindex: "-1", id: "asked-head" }, `Steel at ${placeInWords(answer.x, answer.y, length)}`);
  return element(
    "article",
    { class: "place", "aria-labelledby": "asked-head" },
    heading,
    element("p", { class: "lead" }, inShort(hull, answer)),
    wherePart(hull, answer),
    blocksPart(hull, answer),
    coatsPart(hull, answer),
    nearPart(hull, answer),
    picturesPart(hull, answer),
    findingsPart(hull, answer),
    seenPart(hull, answer),
  );
}

/** @param {Hull} hull @param {SteelAnswer} answer */
function wherePart(hull, answer) {
  const zone = hull.zones.find(({ id }) => id === answer.zone);
  const { length } = hull;
  return part(
    "Where it is",
    listOf([
      `${lengthInWords(Math.abs(answer.x), length)} ${answer.x < 0 ? "aft" : "forward"} of the stern reference point, ${offsetInWords(answer.y, length)}`,
      answer.frame === null ? (hull.frames.at.length === 0 ? "No frames are recorded" : "Beyond the frames of the bottom") : capitalized(frameInWords(answer.frame, hull)),
      zone === undefined ? "In no zone of the coating that is recorded" : element("span", {}, "Zone of the coating: ", linkToCard(zone.card, zone.id)),
      element("a", { href: fragmentOfPlace(answer.x, answer.y), class: "kept" }, "Link to this place"),
    ]),
  );
}

/** @param {string} words */
function capitalized(words) {
  return words.charAt(0).toUpperCase() + words.slice(1);
}

/** @param {Hull} hull @param {SteelAnswer} answer */
function blocksPart(hull, answer) {
  const lines = answer.positions.map(({ id, under }) => {
    const position = hull.positions.find((one) => one.id === id);
    const known = position !== undefined && position.hides.length > 0;
    const said = under !== null ? ["under ", linkToCard(`block.${under}`, under)] : [known ? "under no block" : "where blocks stood is not known"];
    const docked = position === undefined || position.docked === "" ? "" : ` (${position.docked})`;
    return element("span", {}, linkToCard(position?.card ?? "", id), `${docked}: `, ...said);
  });
  const never = hull.neverExposed.find(({ letter }) => letter === answer.neverExposed);
  return part(
    "Under which block",
    lines.length === 0 ? element("p", {}, "No position is recorded.") : listOf(lines),
    ...(never === undefined ? [] : [element("p", {}, element("strong", {}, `Never exposed in this docking: part ${never.letter}`), `, ${never.says}.`)]),
  );
}

/** @param {Hull} hull @param {SteelAnswer} answer */
function coatsPart(hull, answer) {
  const steel = hull.steel.find(({ card }) => card === answer.steel);
  const written = answer.steel === null ? null : document.getElementById(answer.steel);
  /** @type {Node[]} */
  const inside = [];
  if (written !== null) inside.push(...copyOf(written));
  else if (steel !== undefined) {
    inside.push(
      element("p", {}, steel.missing === null ? "Nothing is recorded as missing of its scheme." : `Missing of its scheme: ${steel.missing}.`),
      ...((steel.coats ?? []).length === 0 ? [] : [listOf((steel.coats ?? []).map((card) => linkToCard(card, card.replace(/^coat\./, ""))))]),
    );
  } else inside.push(element("p", {}, "No coating is recorded for this place."));
  const exceptions = hull.exceptions.filter(({ letter }) => answer.exceptions.includes(letter));
  if (exceptions.length > 0) {
    inside.push(element("p", { class: "lead" }, `Exceptions of the coating here or within ${lengthInWords(NEAR_M, hull.length)}:`), listOf(exceptions.map(({ letter, says }) => element("span", {}, element("strong", {}, letter), ` ${says}`))));
  }
  return part("Its coats", ...inside);
}

/** What stands in an element without its headings and without ids, which stand once in a page. @param {HTMLElement} original */
function copyOf(original) {
  const copy = /** @type {HTMLElement} */ (original.cloneNode(true));
  copy.removeAttribute("id");
  for (const one of copy.querySelectorAll("[id]")) one.removeAttribute("id");
  for (const one of copy.querySelectorAll("h1, h2, h3")) one.remove();
  return [...copy.childNodes];
}

/** @param {Hull} hull @param {SteelAnswer} answer */
function nearPart(hull, answer) {
  const { length } = hull;
  const far = (/** @type {number} */ distance) => ` ${lengthInWords(distance, length)} away`;
  const openings = answer.openings.map(({ id, distance }) => {
    const opening = hull.openings.find((one) => one.id === id);
    const words = distance === 0 ? " here" : `${far(distance)} to its edge`;
    return element("span", {}, `${capitalized(opening?.kind ?? "opening")} `, linkToCard(opening?.card ?? "", id), words);
  });
  const gaugings = answer.gaugings.map(({ card, distance }) => {
    const gauging = hull.gaugings.find((one) => one.card === card);
    const loss = gauging?.loss == null ? "no loss known" : `loss ${gauging.loss}`;
    const share = gauging?.share == null ? "" : `, ${figure(gauging.share * 100, 0)} % of what is allowed`;
    const since = gauging?.since == null ? "" : `; ${gauging.since}`;
    return element("span", {}, "Plate ", linkToCard(card, gauging?.plate ?? card), `: ${loss}${share}${since};${far(distance)}`);
  });
  const anodes = answer.anodes.map(({ id, distance }) => {
    const anode = hull.anodes.find((one) => one.id === id);
    const renewed = anode === undefined || anode.renewed === null ? "not recorded whether renewed" : anode.renewed ? "renewed" : "left";
    return element("span", {}, "Anode ", linkToCard(anode?.card ?? "", id), `: ${renewed};${far(distance)}`);
  });
  const lines = [...openings, ...gaugings, ...anodes];
  return part("Nearest openings, gaugings and anode", lines.length === 0 ? element("p", {}, "None are recorded with a place.") : listOf(lines));
}

/** A picture in small, as the page keeps it. @param {[string, number, number]} preview @param {string} alt */
function inSmall([id, width, height], alt) {
  return svgElement("svg", { class: "preview", role: "img", "aria-label": alt, width, height, viewBox: `0 0 ${width} ${height}` }, svgElement("use", { href: `#${id}` }));
}

/** @param {Hull} hull @param {SteelAnswer} answer */
function picturesPart(hull, answer) {
  const pictures = hull.pictures.filter(({ number }) => answer.pictures.includes(number));
  const lines = pictures.map(({ number, card, caption, file, from, preview, alt }) =>
    element(
      "span",
      {},
      `${number}: `,
      linkToCard(card, file),
      caption === "" ? "" : ` ${caption}`,
      from.length === 0 ? "" : ` (seen from ${inWords(from)})`,
      ...(preview == null ? [] : [inSmall(preview, alt ?? "")]),
    ),
  );
  return part("Photographs", lines.length === 0 ? element("p", {}, `None of what lies within ${lengthInWords(PICTURED_M, hull.length)}, or of a block over it or an opening within ${lengthInWords(NEAR_M, hull.length)}.`) : listOf(lines));
}

/** @param {Hull} hull @param {SteelAnswer} answer */
function findingsPart(hull, answer) {
  const findings = hull.findings.filter(({ id }) => answer.findings.includes(id));
  const lines = findings.map(({ id, card, outcome, sentence }) => element("span", {}, element("strong", {}, `${outcome}: `), `${sentence} `, linkToCard(card, id)));
  return part(
    "Findings",
    lines.length === 0
      ? element("p", {}, `None that doesn\u2019t agree names a block over it, an opening within ${lengthInWords(NEAR_M, hull.length)}, its zone or its coats.`)
      : listOf(lines),
  );
}

/** @param {Hull} hull @param {SteelAnswer} answer */
function seenPart(hull, answer) {
  const bare = answer.positions.filter(({ id, under }) => under === null && hull.positions.some((one) => one.id === id && one.hides.length > 0));
  /** @type {string[]} */
  const lines = [];
  if (!answer.onBottom) lines.push("Not asked: it is not on the bottom that is recorded.");
  else if (bare.length > 0) lines.push(`In this docking it lay under no block in ${inWords(bare.map(({ id }) => id))}.`);
  else if (answer.neverExposed !== null) lines.push("In this docking it lay under blocks whenever the dock was dry.");
  else lines.push("Whether it was exposed in this docking is not known.");
  for (const name of answer.unseen) {
    lines.push(hull.unseen.find((one) => one.name === name)?.says ?? "");
  }
  if (answer.onBottom && answer.unseen.length === 0) {
    lines.push(hull.notUnseen ?? "No earlier docking is on record here, so nothing is said of the years before.");
  }
  return part("Whether it was ever seen", listOf(lines));
}
