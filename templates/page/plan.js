// The plan of the hull with its legend, in which layers are switched and positions stepped through.

import { button, element } from "./elements.js";
import { HullLayers, extentOfHull } from "./layers.js";
import { HullView } from "./view.js";

/** @typedef {import("./record.js").Hull} Hull */
/** @typedef {import("./layers.js").Layer} Layer */

/** The plan, and the id of the position whose blocks alone it shows; null for all. @typedef {{ view: HullView, shown: () => string | null }} Plan */

/**
 * Makes the plan in an element; null where nothing of the hull has a place.
 * @param {HTMLElement} into @param {Hull} hull @param {(x: number, y: number) => void} onPoint
 * @returns {Plan | null}
 */
export function startPlan(into, hull, onPoint) {
  const extent = extentOfHull(hull);
  if (extent === null) {
    into.append(element("p", {}, "Nothing that is recorded has a place on the hull, so there is no plan of her to draw."));
    return null;
  }
  const view = new HullView("look-plan", "Plan of the hull", hull, extent);
  const layers = new HullLayers(view, hull, "look-plan");
  layers.addCoating();
  layers.addUnseen();
  layers.addBlocks();
  layers.addPlanned();
  layers.addOpenings();
  layers.addMarks();
  layers.addPictures();
  view.onDraw = ({ pxPerM, zoomed }) => {
    if (zoomed) layers.resize(pxPerM);
  };
  view.onRest = (occupied) => layers.rest(occupied);
  view.onPoint = onPoint;
  into.append(...positionsOf(hull, layers), view.root, element("div", { class: "under-plan" }, view.buttons, view.readout), view.hint, legendOf(layers));
  if (hull.bottom.length === 0) into.append(element("p", { class: "note" }, "The outline of the bottom is not recorded: only what lies on it is drawn."));
  return { view, shown: () => (layers.position === null ? null : hull.positions[layers.position].id) };
}

/** Choosing whose blocks are shown. @param {Hull} hull @param {HullLayers} layers @returns {HTMLElement[]} */
function positionsOf(hull, layers) {
  const { positions } = hull;
  if (positions.length < 2) return [];
  /** @type {HTMLInputElement[]} */
  const radios = [];
  const said = element("span", { class: "unseen", role: "status" });
  const choose = (/** @type {number} */ n) => {
    radios[n].checked = true;
    layers.showPosition?.(n < positions.length ? n : null);
    said.textContent = n < positions.length ? `Blocks of ${positions[n].id} are shown` : "Blocks of all positions are shown";
  };
  const step = (/** @type {number} */ by) => {
    const at = radios.findIndex(({ checked }) => checked);
    choose((at + by + radios.length) % radios.length);
  };
  const field = element("fieldset", { class: "positions" }, element("legend", {}, "Blocks of"));
  field.append(element("span", { class: "buttons" }, button("\u2039 Previous", () => step(-1)), button("Next \u203a", () => step(1))));
  for (const [n, words] of [...positions.map(({ id, docked }) => [id, docked]), ["all, over each other", ""]].entries()) {
    const radio = /** @type {HTMLInputElement} */ (element("input", { type: "radio", name: "look-position", value: String(n) }));
    radio.checked = n === positions.length;
    radio.addEventListener("change", () => choose(n));
    radios.push(radio);
    const sample = layers.blockSamples?.[n];
    const name = element("span", {}, words[0], ...(words[1] === "" ? [] : [element("small", {}, words[1])]));
    field.append(element("label", {}, radio, ...(sample === undefined ? [] : [sample]), name));
  }
  field.append(said);
  return [field];
}

/** The layers with what stands for them. @param {HullLayers} layers */
function legendOf(layers) {
  const rows = element("div", { class: "rows" });
  for (const layer of layers.layers) {
    const box = /** @type {HTMLInputElement} */ (element("input", { type: "checkbox" }));
    box.checked = layer.isOn;
    box.addEventListener("change", () => layers.turn(layer, box.checked));
    const row = element("div", {}, element("label", {}, box, layer.sample, ` ${layer.name}`));
    rows.append(row);
    if (layer.name.startsWith("Thickness")) {
      row.append(element("ul", { class: "classes" }, ...(layers.lossSamples ?? []).map(({ words, sample }) => element("li", {}, sample, ` ${words}`))));
    }
  }
  if (layers.hull.positions.length > 1) {
    rows.append(element("p", { class: "note" }, "Where the hatches of two positions cross, the steel lay under blocks in both."));
  }
  return element("fieldset", { class: "layers" }, element("legend", {}, "Shown on the plan"), rows);
}
