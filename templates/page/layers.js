// What is drawn of the hull, layer by layer, each with its place in the legend, its marks and its labels.

import { extentOfOpening, extentOfPoints, extentOfShape, holdsPoint } from "./geometry.js";
import { hatchOfException, hatchOfPosition, patternOf, turnPattern } from "./hatches.js";
import { widthOfLabel } from "./labels.js";
import { pathOf, ringRound, svgElement } from "./svg.js";

/** @typedef {import("./record.js").Hull} Hull */
/** @typedef {import("./record.js").Shape} Shape */
/** @typedef {import("./labels.js").Wanted} Wanted */
/** @typedef {import("./labels.js").Occupied} Occupied */
/** @typedef {import("./view.js").HullView} HullView */

/** What a layer adds when the view has come to rest: it occupies where its edges and marks are, and wants labels. @typedef {{ wanted: Wanted[], marks: SVGElement[] }} Rested */

/**
 * @typedef {object} Layer
 * @property {string} name
 * @property {boolean} isOn
 * @property {SVGElement} sample
 * @property {SVGElement} group
 * @property {(pxPerM: number) => void} [resize] draws its marks of constant size anew
 * @property {(occupied: Occupied) => Rested} [rest]
 */

/** Classes of loss as the report has them: the part of the loss allowed that is used up, and half of the mark, px. */
const LOSSES = /** @type {const} */ ([
  { below: 0.25, words: "under 25 % of the loss allowed", half: 2.5 },
  { below: 0.5, words: "25 to 50 %", half: 3.5 },
  { below: 0.75, words: "50 to 75 %", half: 4.5 },
  { below: 1, words: "75 to 100 %", half: 5.5 },
  { below: Infinity, words: "beyond the limit", half: 6 },
]);
const NO_LIMIT = { words: "no original or no limit", half: 3.5 };
/** Half of an anode's mark, px. */
const ANODE_PX = { along: 7, across: 3 };
/** A picture's mark, and how far its arrow comes from, px. */
const PICTURE_PX = { half: 8, arrow: 26 };
/** Numbers in one mark of pictures at most. */
const MOST_NUMBERS = 3;
/** What is wider has its label inside, px. */
const WIDE_PX = 120;
/** Letters of one exception that are shown at once at most. */
const MOST_LETTERS = 3;

/** How large marks are drawn: smaller where the hull is, so that they don't hide it. @param {number} pxPerM */
function markScale(pxPerM) {
  return Math.min(1, Math.max(0.5, pxPerM / 16));
}

/** A mark of a loss round a place, as the data of a path. @param {number} n class, or -1 for no limit @param {number} x @param {number} y @param {number} r half, to the right and up @param {number} up 1 or -1 */
function lossMark(n, x, y, r, up) {
  if (n < 0) return `M${x - r} ${y - r}L${x + r} ${y + r}M${x - r} ${y + r}L${x + r} ${y - r}`;
  const round = `M${x - r} ${y}A${r} ${r} 0 0 0 ${x + r} ${y}A${r} ${r} 0 0 0 ${x - r} ${y}Z`;
  const d = r * Math.SQRT1_2;
  const slash = `M${x - d} ${y - d * up}L${x + d} ${y + d * up}`;
  const back = `M${x - d} ${y + d * up}L${x + d} ${y - d * up}`;
  return round + (n === 1 ? slash : n === 2 ? slash + back : n === 3 ? `${slash}${back}M${x} ${y - r}V${y + r}M${x - r} ${y}H${x + r}` : "");
}

/** The class of a gauging's loss. @param {number | null} share */
function lossClass(share) {
  return share === null ? -1 : LOSSES.findIndex(({ below }, n) => (n === LOSSES.length - 2 ? share <= below : share < below));
}

/** A picture of a mark for the legend. @param {(Node | string)[]} inside */
function sampleOf(...inside) {
  return svgElement("svg", { class: "sample", viewBox: "0 0 44 18", width: 44, height: 18, "aria-hidden": "true", focusable: "false" }, ...inside);
}

/** A rectangle for the legend. @param {Record<string, string | number>} attributes */
function sampleBox(attributes) {
  return svgElement("rect", { x: 1, y: 1, width: 42, height: 16, ...attributes });
}

/** All layers of a hull on a view. */
export class HullLayers {
  /** @param {HullView} view @param {Hull} hull @param {string} name that of the view */
  constructor(view, hull, name) {
    this.view = view;
    this.hull = hull;
    this.name = name;
    /** @type {{ pattern: SVGElement, hatch: import("./hatches.js").Hatch }[]} */
    this.patterns = [];
    /** The number of the position whose blocks are shown; null for all. @type {number | null} */
    this.position = null;
    /** @type {Layer[]} */
    this.layers = [];
    const outline = svgElement("path", { d: pathOf(hull.bottom), class: "outline" });
    view.ground.append(outline);
  }

  /** A hatch to fill with: for the hull, and for the legend. @param {string} of @param {import("./hatches.js").Hatch} hatch */
  fill(of, hatch) {
    const [id, still] = [`${this.name}-${of}`, `${this.name}-${of}-still`];
    if (!this.view.defs.querySelector(`[id="${id}"]`)) {
      const pattern = patternOf(id, hatch);
      this.patterns.push({ pattern, hatch });
      this.view.defs.append(pattern, patternOf(still, hatch));
    }
    return { hull: `url(#${id})`, legend: `url(#${still})` };
  }

  /** @param {Layer} layer */
  add(layer) {
    this.layers.push(layer);
    this.view.ground.append(layer.group);
    layer.group.classList.toggle("off", !layer.isOn);
    return layer;
  }

  /** Switches a layer. @param {Layer} layer @param {boolean} isOn */
  turn(layer, isOn) {
    layer.isOn = isOn;
    layer.group.classList.toggle("off", !isOn);
    this.view.label();
  }

  /** Draws what keeps its size on the screen. @param {number} pxPerM */
  resize(pxPerM) {
    for (const { pattern, hatch } of this.patterns) turnPattern(pattern, hatch, pxPerM, -pxPerM);
    for (const layer of this.layers) layer.resize?.(pxPerM);
  }

  /** Labels and marks of all layers that are on; those of later layers come first. @param {Occupied} occupied @returns {Rested} */
  rest(occupied) {
    for (const shape of this.hull.bottom) this.occupy(occupied, shape);
    const rested = this.layers.filter(({ isOn }) => isOn).map((layer) => layer.rest?.(occupied) ?? { wanted: [], marks: [] });
    return {
      wanted: rested.flatMap(({ wanted }) => wanted).sort((a, b) => RANKS.indexOf(a.kind) - RANKS.indexOf(b.kind)),
      marks: rested.flatMap(({ marks }) => marks),
    };
  }

  /** The edges of a shape in sight. @param {Occupied} occupied @param {Shape} shape */
  occupy(occupied, shape) {
    for (const ring of shape) occupied.addRing(ring.map(([x, y]) => this.view.toScreen(x, y)));
  }

  /** What lies in shapes, each with a label. @param {Occupied} occupied @param {{ text: string, shape: Shape }[]} things @param {string} kind @returns {Wanted[]} */
  labelled(occupied, things, kind) {
    return things.flatMap(({ text, shape }) => {
      const extent = extentOfShape(shape);
      if (extent === null || !this.view.sees(extent)) return [];
      this.occupy(occupied, shape);
      const about = this.view.areaOf(extent);
      const isWide = about.right - about.left > WIDE_PX || about.bottom - about.top > WIDE_PX;
      return [{ text, about, kind, ...(isWide ? { places: this.placesIn(shape, about) } : {}) }];
    });
  }

  /** Places in sight in a wide shape, those in the middle first: a label beside it would say nothing. @param {Shape} shape @param {import("./labels.js").Area} area @returns {[number, number][]} */
  placesIn(shape, area) {
    const [left, right] = [Math.max(area.left, 0), Math.min(area.right, this.view.width)];
    const [top, bottom] = [Math.max(area.top, 0), Math.min(area.bottom, this.view.height)];
    const parts = [0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.1, 0.9];
    return parts
      .flatMap((across) => parts.map((down) => /** @type {[number, number]} */ ([left + (right - left) * across, top + (bottom - top) * down])))
      .filter(([x, y]) => holdsPoint(shape, ...this.view.toHull(x, y)));
  }

  /** Marks at places, each with a label. @param {Occupied} occupied @param {{ text: string, at: [number, number], along: number, across: number }[]} marks @param {string} kind @returns {Wanted[]} */
  marked(occupied, marks, kind) {
    return marks.flatMap(({ text, at, along, across }) => {
      const [x, y] = this.view.toScreen(at[0], at[1]);
      const about = { left: x - along, right: x + along, top: y - across, bottom: y + across };
      if (about.right < 0 || about.left > this.view.width || about.bottom < 0 || about.top > this.view.height) return [];
      occupied.addArea(about);
      return [{ text, about, kind }];
    });
  }

  /** Zones of the coating, and what is an exception of it. */
  addCoating() {
    const { hull } = this;
    if (hull.zones.length > 0) {
      this.add({
        name: "Zones of the coating",
        isOn: false,
        sample: sampleOf(sampleBox({ class: "zone" })),
        group: svgElement("path", { d: pathOf(hull.zones.flatMap(({ shape }) => shape)), class: "zone" }),
        rest: (occupied) => ({
          wanted: hull.zones.flatMap(({ id, shape }) => this.labelled(occupied, shape.map((one) => ({ text: id, shape: one })), "zone")),
          marks: [],
        }),
      });
    }
    const kinds = [...new Set(hull.exceptions.map(({ kind }) => kind))];
    for (const kind of kinds) {
      const some = hull.exceptions.filter((one) => one.kind === kind && one.shape.length + one.places.length > 0);
      if (some.length === 0) continue;
      const hatch = hatchOfException(kind);
      const fill = hatch === null ? null : this.fill(`exception-${kinds.indexOf(kind)}`, hatch);
      const places = some.flatMap((one) => one.places);
      const rings = svgElement("path", { class: "places" });
      const area = svgElement("path", { d: pathOf(some.flatMap(({ shape }) => shape)), class: fill === null ? "solid" : "hatched", ...(fill === null ? {} : { fill: fill.hull }) });
      this.add({
        name: `Exceptions: ${kind} (${some.map(({ letter }) => letter).join(", ")})`,
        isOn: false,
        sample: sampleOf(
          places.length > 0 && area.getAttribute("d") === ""
            ? svgElement("path", { class: "places", d: lossMark(0, 22, 9, 5, -1) })
            : sampleBox(fill === null ? { class: "solid" } : { class: "hatched", fill: fill.legend }),
        ),
        group: svgElement("g", {}, area, rings),
        resize: (pxPerM) => rings.setAttribute("d", places.map(([x, y]) => lossMark(0, x, y, 5 / pxPerM, 1)).join("")),
        rest: (occupied) => ({
          wanted: some.flatMap(({ letter, shape, places: at }) => [
            ...this.largest(this.labelled(occupied, shape.map((one) => ({ text: letter, shape: one })), "letter")),
            ...this.marked(occupied, at.map((one) => ({ text: letter, at: one, along: 5, across: 5 })), "letter"),
          ]),
          marks: [],
        }),
      });
    }
  }

  /** Of many labels that say the same, those of the largest things. @param {Wanted[]} wanted */
  largest(wanted) {
    const size = (/** @type {Wanted} */ { about }) => (about.right - about.left) * (about.bottom - about.top);
    return wanted.sort((a, b) => size(b) - size(a)).slice(0, MOST_LETTERS);
  }

  /** Blocks of each position, and those left out. */
  addBlocks() {
    const { hull } = this;
    const drawn = hull.positions.map((position, n) => {
      const fill = this.fill(`position-${n}`, hatchOfPosition(n));
      const path = svgElement("path", { d: pathOf(position.hides.map(({ shape }) => shape)), class: "hatched", fill: fill.hull });
      const leftOut = svgElement("path", { d: pathOf(position.leftOut.map(({ shape }) => shape)), class: "left-out" });
      return { path, leftOut, fill };
    });
    /** Shows the blocks of one position, or of all. @param {number | null} position */
    this.showPosition = (position) => {
      this.position = position;
      drawn.forEach(({ path, leftOut }, n) => {
        for (const one of [path, leftOut]) one.classList.toggle("off", position !== null && position !== n);
      });
      this.view.label();
    };
    const shown = () => hull.positions.filter((_, n) => this.position === null || this.position === n);
    /** Blocks that have a label: one that is moved or left out has one only. @type {Set<string>} */
    let seen = new Set();
    const once = (/** @type {"hides" | "leftOut"} */ what, /** @type {Occupied} */ occupied) => {
      if (what === "hides") seen = new Set();
      return shown().flatMap((position) => {
        const labels = this.labelled(occupied, position[what].map(({ block, shape }) => ({ text: block, shape })), what);
        return labels.filter(({ text }) => !seen.has(text) && seen.add(text));
      });
    };
    this.blockSamples = drawn.map(({ fill }) => sampleOf(sampleBox({ class: "hatched", fill: fill.legend })));
    if (hull.positions.some(({ hides }) => hides.length > 0)) {
      this.add({
        name: "Under blocks",
        isOn: true,
        sample: sampleOf(...(drawn.length > 0 ? [sampleBox({ class: "hatched", fill: drawn[0].fill.legend })] : [])),
        group: svgElement("g", {}, ...drawn.map(({ path }) => path)),
        rest: (occupied) => ({ wanted: once("hides", occupied), marks: [] }),
      });
    }
    if (hull.positions.some(({ leftOut }) => leftOut.length > 0)) {
      this.add({
        name: "Blocks left out",
        isOn: true,
        sample: sampleOf(sampleBox({ class: "left-out" })),
        group: svgElement("g", {}, ...drawn.map(({ leftOut }) => leftOut)),
        rest: (occupied) => ({ wanted: once("leftOut", occupied), marks: [] }),
      });
    }
  }

  /** Where blocks would stand by the plan, for each planned position. */
  addPlanned() {
    const { hull } = this;
    (hull.planned ?? []).forEach(({ name, hides }) => {
      this.add({
        name,
        isOn: false,
        sample: sampleOf(sampleBox({ class: "planned" })),
        group: svgElement("path", { d: pathOf(hides.map(({ shape }) => shape)), class: "planned" }),
        rest: (occupied) => ({ wanted: this.labelled(occupied, hides.map(({ block, shape }) => ({ text: block, shape })), "hides"), marks: [] }),
      });
    });
  }

  /** What no position exposed, and what no docking on record did or what an earlier one left. */
  addUnseen() {
    const { hull } = this;
    hull.unseen.forEach(({ name, shape }, n) => {
      const fills = (name === "" ? [45, 135] : [30 + 40 * (n % 4)]).map((angle) =>
        this.fill(`unseen-${n}-${angle}`, { angle, spacing: name === "" ? 5 : 7 + 2 * n, width: name === "" ? 1.6 : 1 }),
      );
      this.add({
        name: name === "" ? "Never exposed in any docking on record" : `Left under blocks in ${name}, not exposed since`,
        isOn: name === "",
        sample: sampleOf(...fills.map((fill) => sampleBox({ class: "hatched", fill: fill.legend }))),
        group: svgElement("g", {}, ...fills.map((fill) => svgElement("path", { d: pathOf(shape), class: "hatched", fill: fill.hull }))),
        rest: (occupied) => {
          for (const one of shape) this.occupy(occupied, one);
          return { wanted: [], marks: [] };
        },
      });
    });
    if (hull.neverExposed.length > 0) {
      this.add({
        name: "Never exposed in this docking",
        isOn: true,
        sample: sampleOf(sampleBox({ class: "solid" })),
        group: svgElement("path", { d: pathOf(hull.neverExposed.map(({ shape }) => shape)), class: "solid never" }),
        rest: (occupied) => {
          const wanted = this.labelled(occupied, hull.neverExposed.map(({ letter, shape }) => ({ text: letter, shape })), "never");
          // A letter stands beside what is black.
          for (const { about } of wanted) occupied.addArea(about);
          return { wanted, marks: [] };
        },
      });
    }
  }

  addOpenings() {
    const { openings } = this.hull;
    if (openings.length === 0) return;
    const shapeOf = (/** @type {import("./record.js").Opening} */ { shape, centre, diameter }) => shape ?? [ringRound(centre, (diameter ?? 0) / 2)];
    this.add({
      name: "Openings",
      isOn: true,
      sample: sampleOf(svgElement("rect", { x: 15, y: 3, width: 14, height: 12, class: "opening" })),
      group: svgElement("path", { d: pathOf(openings.map(shapeOf)), class: "opening" }),
      rest: (occupied) => ({
        wanted: openings.flatMap((opening) => {
          const extent = extentOfOpening(opening);
          if (!this.view.sees(extent)) return [];
          this.occupy(occupied, shapeOf(opening));
          return [{ text: opening.id, about: this.view.areaOf(extent), kind: "opening-id" }];
        }),
        marks: [],
      }),
    });
  }

  addMarks() {
    const { anodes, gaugings } = this.hull;
    const known = gaugings.flatMap(({ at: [x, y], plate, loss, share }) => (y === null ? [] : [{ x, y, plate, loss, n: lossClass(share) }]));
    if (known.length > 0) {
      const classes = [...LOSSES.keys(), -1].filter((n) => known.some((one) => one.n === n));
      const halfOf = (/** @type {number} */ n) => (n < 0 ? NO_LIMIT.half : LOSSES[n].half);
      const paths = classes.map((n) => svgElement("path", { class: n === LOSSES.length - 1 ? "loss beyond" : "loss" }));
      this.lossSamples = classes.map((n) => ({
        words: n < 0 ? NO_LIMIT.words : LOSSES[n].words,
        sample: sampleOf(svgElement("path", { class: n === LOSSES.length - 1 ? "loss beyond" : "loss", d: lossMark(n, 22, 9, halfOf(n), -1) })),
      }));
      this.add({
        name: "Thickness gauged, by loss",
        isOn: false,
        sample: sampleOf(svgElement("path", { class: "loss", d: lossMark(2, 22, 9, 5, -1) })),
        group: svgElement("g", {}, ...paths),
        resize: (pxPerM) => {
          classes.forEach((n, at) => {
            const r = (halfOf(n) * markScale(pxPerM)) / pxPerM;
            paths[at].setAttribute("d", known.filter((one) => one.n === n).map(({ x, y }) => lossMark(n, x, y, r, 1)).join(""));
          });
        },
        rest: (occupied) => {
          const marks = known.map(({ x, y, plate, loss, n }) => ({
            text: loss === null ? plate : `${plate}: ${loss}`,
            at: /** @type {[number, number]} */ ([x, y]),
            along: halfOf(n) * markScale(this.view.pxPerM),
            across: halfOf(n) * markScale(this.view.pxPerM),
          }));
          return { wanted: this.marked(occupied, marks, "plate"), marks: [] };
        },
      });
    }
    if (anodes.length > 0) {
      const box = (/** @type {number} */ x, /** @type {number} */ y, /** @type {number} */ px) => {
        const [a, b] = [ANODE_PX.along / px, ANODE_PX.across / px];
        return `M${x - a} ${y - b}H${x + a}V${y + b}H${x - a}Z`;
      };
      const stroke = (/** @type {number} */ x, /** @type {number} */ y, /** @type {number} */ px) =>
        `M${x - ANODE_PX.along / px} ${y - ANODE_PX.across / px}L${x + ANODE_PX.along / px} ${y + ANODE_PX.across / px}`;
      const [renewed, left] = [svgElement("path", { class: "solid" }), svgElement("path", { class: "anode" })];
      this.add({
        name: `Anodes (${["filled: renewed", "hollow: left", ...(anodes.some(({ renewed }) => renewed === null) ? ["struck through: not recorded"] : [])].join("; ")})`,
        isOn: false,
        sample: sampleOf(svgElement("path", { class: "solid", d: box(12, 9, 1) }), svgElement("path", { class: "anode", d: box(32, 9, 1) })),
        group: svgElement("g", {}, left, renewed),
        resize: (pxPerM) => {
          const px = pxPerM / markScale(pxPerM);
          const draw = (/** @type {(anode: import("./record.js").Anode) => boolean} */ which, /** @type {boolean} */ struck) =>
            anodes.filter(which).map(({ at }) => box(at[0], at[1], px) + (struck ? stroke(at[0], at[1], px) : "")).join("");
          renewed.setAttribute("d", draw((one) => one.renewed === true, false));
          left.setAttribute("d", draw((one) => one.renewed === false, false) + draw((one) => one.renewed === null, true));
        },
        rest: (occupied) => ({ wanted: this.marked(occupied, anodes.map(({ id, at }) => ({ text: id, at, ...ANODE_PX })), "anode-id"), marks: [] }),
      });
    }
  }

  addPictures() {
    const placed = this.hull.pictures.flatMap(({ at, number, from }) => (at === null ? [] : [{ at, number, from }]));
    if (placed.length === 0) return;
    const h = PICTURE_PX.half;
    this.add({
      name: "Photographs (arrow: from where)",
      isOn: false,
      sample: sampleOf(svgElement("rect", { x: 14, y: 1, width: 16, height: 16, class: "picture" }), svgElement("text", { x: 22, y: 13, class: "label" }, "1")),
      group: svgElement("g", {}),
      rest: (occupied) => {
        /** @type {{ x: number, y: number, numbers: number[], from: string[][] }[]} */
        const clusters = [];
        for (const { at, number, from } of placed) {
          const [x, y] = this.view.toScreen(at[0], at[1]);
          if (x < -50 || x > this.view.width + 50 || y < -50 || y > this.view.height + 50) continue;
          const near = clusters.find((one) => Math.hypot(one.x - x, one.y - y) < 2.5 * h);
          if (near === undefined) clusters.push({ x, y, numbers: [number], from: [from] });
          else {
            near.numbers.push(number);
            near.from.push(from);
          }
        }
        const marks = clusters.map(({ x, y, numbers, from }) => {
          const more = numbers.length - MOST_NUMBERS;
          const text = numbers.slice(0, MOST_NUMBERS).join(",") + (more > 0 ? `+${more}` : "");
          const half = Math.max(h, widthOfLabel(text) / 2 + 3);
          const arrows = from.flatMap((sides) => arrowFrom(sides, x, y, half));
          occupied.addArea({ left: x - half - 2, right: x + half + 2, top: y - h - 2, bottom: y + h + 2 });
          return svgElement(
            "g",
            { class: "picture-mark" },
            svgElement("path", { class: "arrow", d: arrows.join("") }),
            svgElement("rect", { x: x - half, y: y - h, width: 2 * half, height: 2 * h, class: "picture" }),
            svgElement("text", { x, y: y + 4, class: "label" }, text),
          );
        });
        return { wanted: [], marks };
      },
    });
  }
}

/** Which labels find a place first. */
const RANKS = ["never", "opening-id", "letter", "hides", "leftOut", "anode-id", "zone", "plate"];

/** An arrow to a mark from where a picture was taken, as the data of a path. @param {string[]} sides @param {number} x @param {number} y @param {number} half */
function arrowFrom(sides, x, y, half) {
  const part = (/** @type {string} */ plus, /** @type {string} */ minus) => Number(sides.includes(plus)) - Number(sides.includes(minus));
  const [right, down] = [part("forward", "aft"), part("starboard", "port")];
  const length = Math.hypot(right, down);
  if (length === 0) return [];
  const [dx, dy] = [right / length, down / length];
  // Where the arrow meets the mark's edge.
  const edge = Math.min(dx === 0 ? Infinity : half / Math.abs(dx), dy === 0 ? Infinity : PICTURE_PX.half / Math.abs(dy));
  const [tipX, tipY] = [x + dx * edge, y + dy * edge];
  const barb = (/** @type {number} */ turn) => `${tipX + 5 * (dx * Math.cos(turn) - dy * Math.sin(turn))} ${tipY + 5 * (dx * Math.sin(turn) + dy * Math.cos(turn))}`;
  return [`M${x + dx * (edge + PICTURE_PX.arrow - 8)} ${y + dy * (edge + PICTURE_PX.arrow - 8)}L${tipX} ${tipY}M${barb(0.5)}L${tipX} ${tipY}L${barb(-0.5)}`];
}

/** All that is known of the hull in one extent; null where nothing has a place. @param {Hull} hull */
export function extentOfHull(hull) {
  const shapes = [
    ...hull.bottom,
    ...[...hull.positions, ...(hull.planned ?? [])].flatMap(({ hides }) => hides.map(({ shape }) => shape)),
    ...hull.zones.flatMap(({ shape }) => shape),
    ...(hull.shifts?.caps ?? []).map(({ shape }) => shape),
  ];
  const opened = hull.openings.map(extentOfOpening).flatMap(({ aft, forward, starboard, port }) => /** @type {[number, number][]} */ ([[aft, starboard], [forward, port]]));
  return extentOfPoints([...shapes.flat(2), ...opened]);
}
