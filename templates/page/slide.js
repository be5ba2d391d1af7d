// The block plan slid over the hull. The picture moves; every figure is the program's, from its table of steps.

import { button, element, listOf } from "./elements.js";
import { extentOfOpening } from "./geometry.js";
import { hatchOfPosition } from "./hatches.js";
import { HullLayers, extentOfHull } from "./layers.js";
import { lengthInWords } from "./lengths.js";
import { linkToCard } from "./place.js";
import { pathOf, ringRound, svgElement } from "./svg.js";
import { HullView } from "./view.js";

/** @typedef {import("./record.js").Hull} Hull */
/** @typedef {import("./record.js").Shifts} Shifts */

/** A shift of the ship in words. @param {Hull} hull @param {boolean} along @param {number} metres */
export function shiftInWords(hull, along, metres) {
  if (Math.abs(metres) < 1e-9) return "no shift";
  const way = along ? (metres > 0 ? "forward" : "aft") : metres > 0 ? "to port" : "to starboard";
  return `${lengthInWords(Math.abs(metres), hull.length)} ${way}`;
}

/** Makes it, where there are shifts to show. @param {HTMLElement} into @param {Hull} hull */
export function startSliding(into, hull) {
  const shifts = hull.shifts ?? null;
  const extent = extentOfHull(hull);
  if (shifts === null || extent === null) return;
  const view = new HullView("look-slide", "Plan of the hull with the blocks slid", hull, extent);
  const layers = new HullLayers(view, hull, "look-slide");
  const before = hull.positions.findIndex(({ id }) => id === shifts.from);
  // Where no position is recorded, the plan of the blocks stands for it.
  const hides = before < 0 ? shifts.caps : hull.positions[before].hides;
  const first = Math.max(0, before);
  const fills = [hatchOfPosition(first), hatchOfPosition(first + 1)].map((hatch, n) => layers.fill(`footprint-${n}`, hatch));
  const still = svgElement("path", { d: pathOf(hides.map(({ shape }) => shape)), class: "hatched", fill: fills[0].hull });
  const slid = svgElement("path", { d: pathOf(shifts.caps.map(({ shape }) => shape)), class: "hatched slid", fill: fills[1].hull });
  view.ground.append(still, slid);
  layers.addOpenings();
  const ringOf = (/** @type {import("./record.js").Opening} */ one) => one.shape ?? [ringRound(one.centre, (one.diameter ?? 0) / 2)];
  const nearby = svgElement("path", { class: "opening near" });
  view.ground.append(nearby);
  /** Openings that are named at this step. @type {Set<string>} */
  let named = new Set();
  view.onDraw = ({ pxPerM, zoomed }) => {
    if (zoomed) layers.resize(pxPerM);
  };
  /** By how much the caps are drawn away from where they would bear if she were not shifted. */
  let moved = { x: 0, y: 0 };
  view.onRest = (occupied) => {
    for (const shape of hull.bottom) layers.occupy(occupied, shape);
    for (const { shape } of hides) layers.occupy(occupied, shape);
    for (const { shape } of shifts.caps) {
      layers.occupy(occupied, shape.map((ring) => ring.map(([x, y]) => /** @type {[number, number]} */ ([x + moved.x, y + moved.y]))));
    }
    const wanted = hull.openings.flatMap((opening) => {
      const about = extentOfOpening(opening);
      if (!view.sees(about)) return [];
      layers.occupy(occupied, ringOf(opening));
      return [{ text: opening.id, about: view.areaOf(about), kind: named.has(opening.id) ? "opening-id near" : "opening-id" }];
    });
    return { wanted: wanted.sort((a, b) => b.kind.length - a.kind.length), marks: [] };
  };

  const figures = element("div", { class: "step-figures" });
  const said = element("p", { class: "unseen", role: "status" });
  /** Shows a step of one way; she is shifted in one way at a time. @param {boolean} isAlong @param {number} at @param {string} [aimed] what the program says of it */
  const showStep = (isAlong, at, aimed = "") => {
    const { start, step, twice, near } = isAlong ? shifts.along : shifts.athwart;
    const n = Math.min(twice.length - 1, Math.max(0, Math.round((at - start) / step)));
    const metres = start + n * step;
    const shift = shiftInWords(hull, isAlong, metres);
    const ids = near[n] ?? [];
    moved = isAlong ? { x: -metres, y: 0 } : { x: 0, y: -metres };
    slid.setAttribute("transform", `translate(${moved.x} ${moved.y})`);
    named = new Set(ids);
    nearby.setAttribute("d", pathOf(hull.openings.filter(({ id }) => named.has(id)).map(ringOf)));
    const twiceSaid = `${lengthInWords(twice[n], shifts.area)}`;
    figures.replaceChildren(
      element("dl", { class: "facts" }, ...[
        ["The ship shifted", shift],
        ["Hidden in both", twiceSaid],
        ["Openings nearer to a cap than wanted", String(ids.length)],
      ].map(([name, value]) => element("div", {}, element("dt", {}, name), element("dd", {}, value)))),
      ids.length === 0
        ? element("p", {}, "At this step the table names no opening as nearer to a cap than wanted.")
        : element("p", {}, "Nearer than wanted, or under a cap: ", ...ids.flatMap((id, at) => [at === 0 ? "" : ", ", linkToCard(`opening.${id}`, id)]), "."),
      ...(aimed === "" ? [] : [element("p", { class: "aimed" }, aimed)]),
    );
    said.textContent = `${shift}: ${twiceSaid} hidden in both; ${ids.length} openings nearer than wanted`;
    for (const { isAlong: of, slider, output } of sliders) {
      const value = of === isAlong ? metres : 0;
      slider.value = value.toFixed(4);
      const words = shiftInWords(hull, of, value);
      slider.setAttribute("aria-valuetext", words);
      output.textContent = words;
    }
    clearTimeout(view.resting);
    view.resting = setTimeout(() => view.label(), 120);
  };
  const sliders = [true, false].map((isAlong) => {
    const { start, step, twice } = isAlong ? shifts.along : shifts.athwart;
    const end = start + step * (twice.length - 1);
    const slider = /** @type {HTMLInputElement} */ (element("input", { type: "range", min: start.toFixed(4), max: end.toFixed(4), step: String(step), value: "0" }));
    const output = element("span", { class: "shift" });
    slider.addEventListener("input", () => showStep(isAlong, Number(slider.value)));
    const ends = isAlong ? ["aft", "forward"] : ["to starboard", "to port"];
    const label = element("label", {}, element("span", {}, isAlong ? "Ship fore and aft" : "Ship athwart", " "), output, slider);
    return { isAlong, slider, output, row: element("div", { class: "slider" }, label, element("div", { class: "ends", "aria-hidden": "true" }, element("span", {}, ends[0]), element("span", {}, ends[1]))) };
  });
  const aims = shifts.aims.map(({ along, at, miss, says }) =>
    button(`${shiftInWords(hull, along, at)} (\u00b1 ${lengthInWords(miss, hull.length)})`, () => showStep(along, at, says)),
  );
  const sample = (/** @type {number} */ n) =>
    svgElement("svg", { class: "sample", viewBox: "0 0 44 18", width: 44, height: 18, "aria-hidden": "true" }, svgElement("rect", { x: 1, y: 1, width: 42, height: 16, class: "hatched", fill: fills[n].legend }));
  into.append(
    element("h3", { id: "look-slide-head" }, "Slide the blocks"),
    element("p", {}, shifts.to),
    element("p", { class: "note" }, "The ship is shifted one way at a time; over the hull the blocks move against it. Figures are the program\u2019s, for steps of 1 cm."),
    view.root,
    element("div", { class: "under-plan" }, view.buttons, view.readout),
    view.hint,
    listOf([
      element("span", {}, sample(0), before < 0 ? " under blocks before the shift, as planned" : ` under blocks in ${shifts.from}`),
      element("span", {}, sample(1), " under blocks after the shift, as they would bear; where hatches cross, in both"),
    ]),
    element("div", { class: "slide" }, element("div", {}, ...sliders.map(({ row }) => row), figures), element("div", { class: "caution", role: "note" }, element("p", {}, shifts.caution))),
    ...(aims.length === 0
      ? [element("p", {}, "No shift of this range leaves nothing hidden in both.")]
      : [element("p", { class: "lead" }, "Shifts to aim at, after which by this arithmetic nothing stays hidden in both:"), element("div", { class: "buttons aims", role: "group", "aria-label": "Shifts to aim at" }, ...aims)]),
    said,
  );
  view.hint.textContent = view.hint.textContent?.replace(", Enter asks at the cross", "") ?? "";
  showStep(true, 0);
}
