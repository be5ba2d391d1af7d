// Places for labels: on what they name or beside it, clear of each other and of every edge and mark. One that finds no
// place is left out until there is more room.

import { eachLine } from "./geometry.js";

/** An upright rectangle on the screen, px. @typedef {{ left: number, top: number, right: number, bottom: number }} Area */
/** A label for what lies in an area; where `places` are given it stands at one of these or nowhere. @typedef {{ text: string, about: Area, kind: string, places?: [number, number][] }} Wanted */
/** Where its middle is. @typedef {{ text: string, x: number, y: number, kind: string }} Placed */

/** Height of a label and room round it, px. */
const LABEL_PX = 12;
const AROUND_PX = 1;
/** The screen is divided into cells of this size. */
const CELL_PX = 3;
/** A label is cut to so many letters. */
const LONGEST_LABEL = 18;

/** What is occupied of a screen. */
export class Occupied {
  /** @param {number} width @param {number} height px */
  constructor(width, height) {
    this.width = width;
    this.height = height;
    this.across = Math.ceil(width / CELL_PX);
    this.cells = new Uint8Array(this.across * Math.ceil(height / CELL_PX));
  }

  /** @param {number} x @param {number} y */
  addPoint(x, y) {
    if (x >= 0 && y >= 0 && x < this.width && y < this.height) {
      this.cells[Math.floor(y / CELL_PX) * this.across + Math.floor(x / CELL_PX)] = 1;
    }
  }

  /** The edges of a ring. @param {[number, number][]} ring */
  addRing(ring) {
    eachLine(ring, (from, to) => {
      const part = this.inSight(from, to);
      if (part === null) return;
      const [dx, dy] = [to[0] - from[0], to[1] - from[1]];
      const steps = Math.max(1, Math.ceil((Math.hypot(dx, dy) * (part[1] - part[0])) / CELL_PX));
      for (let n = 0; n <= steps; n += 1) {
        const t = part[0] + ((part[1] - part[0]) * n) / steps;
        this.addPoint(from[0] + dx * t, from[1] + dy * t);
      }
    });
  }

  /** The part of a line that is in sight (Liang and Barsky). @param {[number, number]} from @param {[number, number]} to @returns {[number, number] | null} */
  inSight(from, to) {
    let [first, last] = [0, 1];
    for (const [way, room] of [
      [from[0] - to[0], from[0]],
      [to[0] - from[0], this.width - from[0]],
      [from[1] - to[1], from[1]],
      [to[1] - from[1], this.height - from[1]],
    ]) {
      if (way === 0) {
        if (room < 0) return null;
      } else if (way < 0) first = Math.max(first, room / way);
      else last = Math.min(last, room / way);
    }
    return first <= last ? [first, last] : null;
  }

  /** @param {Area} area */
  addArea(area) {
    this.eachCell(area, (cell) => {
      this.cells[cell] = 1;
      return true;
    });
  }

  /** Whether an area is all in sight and free. @param {Area} area */
  isFree(area) {
    if (area.left < 0 || area.top < 0 || area.right >= this.width || area.bottom >= this.height) return false;
    return this.eachCell(area, (cell) => this.cells[cell] === 0);
  }

  /** Whether a test holds for each cell of an area. @param {Area} area @param {(cell: number) => boolean} holds */
  eachCell(area, holds) {
    const top = Math.max(0, Math.floor(area.top / CELL_PX));
    const bottom = Math.min(Math.ceil(this.height / CELL_PX) - 1, Math.floor(area.bottom / CELL_PX));
    const left = Math.max(0, Math.floor(area.left / CELL_PX));
    const right = Math.min(this.across - 1, Math.floor(area.right / CELL_PX));
    for (let row = top; row <= bottom; row += 1) {
      for (let column = left; column <= right; column += 1) {
        if (!holds(row * this.across + column)) return false;
      }
    }
    return true;
  }
}

/** Widths of texts that were measured. @type {Map<string, number>} */
const measuredWidths = new Map();
/** @type {CanvasRenderingContext2D | null | undefined} */
let measuring;

/** How wide a label is, px. @param {string} text */
export function widthOfLabel(text) {
  const known = measuredWidths.get(text);
  if (known !== undefined) return known;
  measuring ??= document.createElement("canvas").getContext("2d");
  if (measuring !== null) measuring.font = `11px "DejaVu Sans", Verdana, "Segoe UI", Roboto, sans-serif`;
  const width = measuring?.measureText(text).width ?? text.length * 8;
  measuredWidths.set(text, width);
  return width;
}

/** A text as a label holds it. @param {string} text */
export function labelText(text) {
  const letters = [...text];
  return letters.length <= LONGEST_LABEL ? text : `${letters.slice(0, LONGEST_LABEL - 1).join("")}…`;
}

/** Places labels in the order given, and occupies where they stand. @param {Wanted[]} wanted @param {Occupied} occupied @returns {Placed[]} */
export function placeLabels(wanted, occupied) {
  /** @type {Placed[]} */
  const placed = [];
  for (const { text, about, kind, places: given } of wanted) {
    const seen = {
      left: Math.max(about.left, 0),
      top: Math.max(about.top, 0),
      right: Math.min(about.right, occupied.width),
      bottom: Math.min(about.bottom, occupied.height),
    };
    if (seen.left > seen.right || seen.top > seen.bottom) continue;
    const shown = labelText(text);
    const [halfWidth, halfHeight] = [widthOfLabel(shown) / 2 + AROUND_PX, LABEL_PX / 2 + 1];
    const [x, y] = [(seen.left + seen.right) / 2, (seen.top + seen.bottom) / 2];
    // A cell further, so that what it names is not in its way.
    const [right, left] = [seen.right + halfWidth + CELL_PX, seen.left - halfWidth - CELL_PX];
    const [above, below] = [seen.top - halfHeight - CELL_PX, seen.bottom + halfHeight + CELL_PX];
    const places = given ?? [
      [x, y],
      [x, above],
      [x, below],
      [right, y],
      [left, y],
      [right, above],
      [left, above],
      [right, below],
      [left, below],
    ];
    for (const [atX, atY] of places) {
      const area = { left: atX - halfWidth, right: atX + halfWidth, top: atY - halfHeight, bottom: atY + halfHeight };
      if (!occupied.isFree(area)) continue;
      occupied.addArea(area);
      placed.push({ text: shown, x: atX, y: atY, kind });
      break;
    }
  }
  return placed;
}
