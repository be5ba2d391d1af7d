// A view of the hull in plan, bow to the right and port above, to be moved and enlarged by mouse, finger, keys and buttons,
// with a ruler of frames, a scale of x and a scale bar that follow.

import { frameAt } from "./ask.js";
import { button, element } from "./elements.js";
import { middleOf } from "./geometry.js";
import { Occupied, placeLabels } from "./labels.js";
import { decimalsOf, figure, placeInWords, roundStep } from "./lengths.js";
import { svgElement } from "./svg.js";

/** @typedef {import("./geometry.js").Extent} Extent */
/** @typedef {import("./labels.js").Wanted} Wanted */

/** Room for the frames above, for x and the scale bar below, and for the names of the sides, px. */
const HEAD_PX = 26;
const FOOT_PX = 46;
const SIDE_PX = 20;
/** Numbers on the rulers stand at least so far apart, px. */
const FRAMES_APART_PX = 36;
const XS_APART_PX = 64;
/** The scale bar is at most so long, px. */
const LONGEST_BAR_PX = 180;
/** The largest: a centimetre of the hull is so many pixels. */
const MOST_PX_PER_M = 800;
/** A key or button enlarges by so much, and moves by this part of what is in sight. */
const KEY_ZOOM = 1.5;
const KEY_MOVE = 0.15;
/** A pointer that moved less is a click, px. */
const CLICK_PX = 5;
/** Labels are placed anew when the plan has lain still for so long, ms. */
const LABELS_AFTER_MS = 120;
/** The drawing in print, px of 96 to the inch: as wide as a page of A4 with its margins. */
const PRINT_PX = { width: 700, height: 340 };
/** While the page itself is being scrolled, the wheel goes on doing so, ms. */
const SCROLLING_MS = 350;

/** What of a view changed. @typedef {{ pxPerM: number, zoomed: boolean }} Seen */

export class HullView {
  /**
   * @param {string} name unique in the page
   * @param {string} label what a screen reader calls it
   * @param {import("./record.js").Hull} hull
   * @param {Extent} extent
   */
  constructor(name, label, hull, extent) {
    this.hull = hull;
    this.extent = extent;
    this.width = 0;
    this.height = 0;
    this.pxPerM = 1;
    this.fitted = true;
    const [x, y] = middleOf(extent);
    /** What of the hull is in the middle. */
    this.x = x;
    this.y = y;
    /** Called when it is drawn, with whether its scale is another. @type {(seen: Seen) => void} */
    this.onDraw = () => {};
    /** Called for what is to be labelled and marked, after the plan has come to rest. @type {(occupied: Occupied) => { wanted: Wanted[], marks: SVGElement[] }} */
    this.onRest = () => ({ wanted: [], marks: [] });
    /** Called when somebody points at a place. @type {((x: number, y: number) => void) | null} */
    this.onPoint = null;
    this.defs = svgElement("defs", {});
    this.ground = svgElement("g", { class: "ground" });
    this.overlay = svgElement("g", {});
    const pin = "M-14 0H-4M4 0H14M0 -14V-4M0 4V14M-8 0A8 8 0 0 0 8 0A8 8 0 0 0 -8 0Z";
    this.pin = svgElement("g", { class: "pin", visibility: "hidden" }, svgElement("path", { class: "halo", d: pin }), svgElement("path", { d: pin }));
    this.cross = svgElement("path", { class: "cross", d: "M-9 0H9M0 -9V9" });
    this.rulers = svgElement("g", { class: "rulers" });
    this.svg = svgElement("svg", { "aria-hidden": "true", focusable: "false" }, this.defs, this.ground, this.overlay, this.pin, this.cross, this.rulers);
    const hint = element("p", { class: "note keys", id: `${name}-keys` });
    hint.textContent = "Bow to the right, port above. Keys: arrows move, + and \u2212 enlarge and reduce, 0 shows the whole hull, Enter asks at the cross.";
    this.hint = hint;
    this.root = element("div", { class: "hull-view fitted", tabindex: "0", role: "application", "aria-label": label, "aria-describedby": hint.id });
    this.root.append(this.svg);
    this.readout = element("p", { class: "readout", "aria-hidden": "true" });
    this.buttons = element("div", { class: "buttons", role: "group", "aria-label": `${label}: move and enlarge` });
    for (const [sign, says, act] of /** @type {[string, string, () => void][]} */ ([
      ["+", "Enlarge", () => this.zoom(KEY_ZOOM)],
      ["\u2212", "Reduce", () => this.zoom(1 / KEY_ZOOM)],
      ["\u2190", "Move aft", () => this.move(-1, 0)],
      ["\u2192", "Move forward", () => this.move(1, 0)],
      ["\u2191", "Move to port", () => this.move(0, 1)],
      ["\u2193", "Move to starboard", () => this.move(0, -1)],
      ["Whole hull", "", () => this.fit()],
    ])) {
      const made = button(sign, act);
      if (says !== "") {
        made.setAttribute("aria-label", says);
        made.title = says;
      }
      this.buttons.append(made);
    }
    /** The place that is marked. @type {[number, number]} */
    this.place = [0, 0];
    this.drawing = 0;
    this.resting = 0;
    this.drawnPxPerM = 0;
    /** The view for which labels were placed. */
    this.labelled = { x: 0, y: 0, pxPerM: 0 };
    /** @type {Map<number, { x: number, y: number }>} */
    this.pointers = new Map();
    this.moved = 0;
    this.listen();
  }

  /** The middle of the part in which the hull is drawn, and its size, px. */
  get frame() {
    return {
      x: (SIDE_PX + this.width) / 2,
      y: (HEAD_PX + this.height - FOOT_PX) / 2,
      width: Math.max(1, this.width - SIDE_PX),
      height: Math.max(1, this.height - HEAD_PX - FOOT_PX),
    };
  }

  /** On the screen. @param {number} x @param {number} y @returns {[number, number]} */
  toScreen(x, y) {
    const frame = this.frame;
    return [frame.x + (x - this.x) * this.pxPerM, frame.y - (y - this.y) * this.pxPerM];
  }

  /** On the hull. @param {number} left @param {number} top @returns {[number, number]} */
  toHull(left, top) {
    const frame = this.frame;
    return [this.x + (left - frame.x) / this.pxPerM, this.y - (top - frame.y) / this.pxPerM];
  }

  /** An extent on the screen. @param {Extent} extent @returns {import("./labels.js").Area} */
  areaOf(extent) {
    const [left, top] = this.toScreen(extent.aft, extent.port);
    const [right, bottom] = this.toScreen(extent.forward, extent.starboard);
    return { left, top, right, bottom };
  }

  /** Whether any of an extent is in sight. @param {Extent} extent */
  sees(extent) {
    const area = this.areaOf(extent);
    return area.right >= 0 && area.left <= this.width && area.bottom >= 0 && area.top <= this.height;
  }

  /** The scale at which all of it is in sight. */
  get wholePxPerM() {
    const [length, breadth] = [this.extent.forward - this.extent.aft, this.extent.port - this.extent.starboard];
    return Math.min(this.frame.width / Math.max(0.5, length * 1.03), this.frame.height / Math.max(0.5, breadth * 1.25));
  }

  fit() {
    this.fitted = true;
    [this.x, this.y] = middleOf(this.extent);
    this.pxPerM = this.wholePxPerM;
    this.draw();
  }

  /** Enlarges round a place on the screen, or round the middle. @param {number} times @param {number} [left] @param {number} [top] */
  zoom(times, left, top) {
    const whole = this.wholePxPerM;
    const scale = Math.min(Math.max(MOST_PX_PER_M, whole), Math.max(whole, this.pxPerM * times));
    if (scale <= whole * 1.001) {
      this.fit();
      return;
    }
    const at = [left ?? this.frame.x, top ?? this.frame.y];
    const [x, y] = this.toHull(at[0], at[1]);
    this.fitted = false;
    this.pxPerM = scale;
    this.x = x - (at[0] - this.frame.x) / scale;
    this.y = y + (at[1] - this.frame.y) / scale;
    this.draw();
  }

  /** Moves by parts of what is in sight. @param {number} forward @param {number} toPort */
  move(forward, toPort) {
    this.x += (forward * KEY_MOVE * this.frame.width) / this.pxPerM;
    this.y += (toPort * KEY_MOVE * this.frame.height) / this.pxPerM;
    this.draw();
  }

  /** Shows a place, enlarged enough to see what is there. @param {number} x @param {number} y */
  show(x, y) {
    // It may be asked for before the page stands.
    if (this.width === 0) this.resized();
    this.fitted = false;
    [this.x, this.y] = [x, y];
    this.pxPerM = Math.max(this.pxPerM, this.wholePxPerM, this.frame.width / 16);
    this.draw();
  }

  /** Marks a place. @param {number} x @param {number} y */
  pinAt(x, y) {
    this.place = [x, y];
    this.pin.setAttribute("visibility", "visible");
    this.draw();
  }

  /** Draws it before the next picture of the screen. */
  draw() {
    const { extent } = this;
    this.x = Math.min(extent.forward, Math.max(extent.aft, this.x));
    this.y = Math.min(extent.port, Math.max(extent.starboard, this.y));
    if (this.drawing === 0) this.drawing = requestAnimationFrame(() => this.drawNow());
  }

  drawNow() {
    this.drawing = 0;
    if (this.width === 0) return;
    const zoomed = this.pxPerM !== this.drawnPxPerM;
    this.drawnPxPerM = this.pxPerM;
    this.root.classList.toggle("fitted", this.fitted);
    const [left, top] = this.toScreen(0, 0);
    this.ground.setAttribute("transform", `matrix(${this.pxPerM} 0 0 ${-this.pxPerM} ${left} ${top})`);
    const [pinLeft, pinTop] = this.toScreen(this.place[0], this.place[1]);
    this.pin.setAttribute("transform", `translate(${pinLeft} ${pinTop})`);
    this.cross.setAttribute("transform", `translate(${this.frame.x} ${this.frame.y})`);
    this.onDraw({ pxPerM: this.pxPerM, zoomed });
    this.drawRulers();
    if (this.labelled.pxPerM === this.pxPerM) {
      // Labels go along until it comes to rest.
      const [by, up] = [(this.labelled.x - this.x) * this.pxPerM, (this.y - this.labelled.y) * this.pxPerM];
      this.overlay.setAttribute("transform", `translate(${by} ${up})`);
      clearTimeout(this.resting);
      this.resting = setTimeout(() => this.label(), LABELS_AFTER_MS);
    } else this.label();
  }

  /** Places labels and marks anew. */
  label() {
    clearTimeout(this.resting);
    if (this.width === 0) return;
    this.labelled = { x: this.x, y: this.y, pxPerM: this.pxPerM };
    this.overlay.removeAttribute("transform");
    const occupied = new Occupied(this.width, this.height);
    occupied.addArea({ left: 0, right: this.width, top: 0, bottom: HEAD_PX });
    occupied.addArea({ left: 0, right: this.width, top: this.height - FOOT_PX, bottom: this.height });
    occupied.addArea({ left: 0, right: SIDE_PX, top: 0, bottom: this.height });
    const { wanted, marks } = this.onRest(occupied);
    const labels = placeLabels(wanted, occupied);
    const texts = labels.map(({ text, x, y, kind }) => svgElement("text", { x, y: y + 4, class: `label label-${kind}` }, text));
    this.overlay.replaceChildren(...marks, ...texts);
  }

  drawRulers() {
    const { width, height, pxPerM } = this;
    const { length, frames } = this.hull;
    const foot = height - FOOT_PX;
    /** @type {SVGElement[]} */
    const texts = [];
    let lines = `M${SIDE_PX} ${HEAD_PX}H${width}M${SIDE_PX} ${foot}H${width}M${SIDE_PX} ${HEAD_PX}V${foot}`;
    const say = (/** @type {number} */ x, /** @type {number} */ y, /** @type {string} */ text, anchor = "middle") => {
      texts.push(svgElement("text", { x, y, class: "label", "text-anchor": anchor }, text));
    };
    const clear = SIDE_PX + 26;
    if (frames.at.length > 0) {
      say(2, 14, "frame", "start");
      const [first, last] = [frames.at[0], frames.at[frames.at.length - 1]];
      const spacing = (Math.abs(last[1] - first[1]) / Math.max(1, Math.abs(last[0] - first[0]))) * pxPerM;
      const step = [1, 2, 5, 10, 20, 50, 100].find((one) => one * spacing >= FRAMES_APART_PX) ?? 200;
      for (const [number, x] of frames.at) {
        const [at] = this.toScreen(x, 0);
        if (at < SIDE_PX || at > width) continue;
        const numbered = number % step === 0;
        if (numbered || spacing >= 4) lines += `M${at} ${HEAD_PX}v${numbered ? -7 : -4}`;
        if (numbered && at > clear + 12 && at < width - 10) say(at, 14, figure(number, 0));
      }
    }
    const pxPerUnit = pxPerM / length.factor;
    const step = roundStep(XS_APART_PX / pxPerUnit);
    const decimals = decimalsOf(step);
    const [from] = this.toHull(SIDE_PX, 0);
    const [to] = this.toHull(width, 0);
    for (let n = Math.ceil((from * length.factor) / step); n * step <= to * length.factor; n += 1) {
      const [at] = this.toScreen((n * step) / length.factor, 0);
      lines += `M${at} ${foot}v6`;
      if (at > clear + 20 && at < width - 20) say(at, foot + 18, figure(n * step, decimals));
    }
    say(2, foot + 18, `x, ${length.unit}`, "start");
    const middle = (HEAD_PX + foot) / 2;
    for (const [name, y] of /** @type {[string, number][]} */ ([["port", (HEAD_PX + middle) / 2], ["starboard", (middle + foot) / 2]])) {
      texts.push(svgElement("text", { class: "label", transform: `translate(13 ${y}) rotate(-90)` }, name));
    }
    // The scale bar: the longest round length that there is room for, in four fields.
    const most = Math.min(LONGEST_BAR_PX, width / 3) / pxPerUnit;
    let bar = roundStep(most);
    while (bar > most * (1 + 1e-9)) bar = roundStep(bar / 2.5);
    const [start, px, y] = [clear, bar * pxPerUnit, height - 13];
    const fields = [0, 2].map((n) => `M${start + (n * px) / 4} ${y}h${px / 4}v5h${-px / 4}Z`).join("");
    say(start - 5, y + 6, "0", "end");
    say(start + px + 5, y + 6, `${figure(bar, decimalsOf(bar))}\u00a0${length.unit}`, "start");
    say(width - 6, y + 6, "bow \u25b8", "end");
    const paper = `M-4 -4H${width + 4}V${HEAD_PX}H${SIDE_PX}V${foot}H${width + 4}V${height + 4}H-4Z`;
    this.rulers.replaceChildren(
      svgElement("path", { class: "paper", d: paper }),
      svgElement("path", { class: "ticks", d: lines }),
      svgElement("path", { class: "bar-outline", d: `M${start} ${y}h${px}v5h${-px}Z` }),
      svgElement("path", { class: "solid scale-bar", d: fields, "data-length-m": bar / length.factor, "data-px": px }),
      ...texts,
    );
  }

  /** Where a pointer is in the drawing. @param {MouseEvent} event @returns {[number, number]} */
  pointOf(event) {
    const box = this.svg.getBoundingClientRect();
    return [event.clientX - box.left, event.clientY - box.top];
  }

  listen() {
    const { root } = this;
    new ResizeObserver(() => this.resized()).observe(this.svg);
    let comeBack = () => {};
    addEventListener("beforeprint", () => (comeBack = this.drawForPrint()));
    addEventListener("afterprint", () => comeBack());
    let scrolled = -SCROLLING_MS;
    addEventListener("scroll", (event) => (scrolled = event.timeStamp), { passive: true });
    root.addEventListener("wheel", (event) => {
      const out = event.deltaY > 0;
      if (event.deltaY === 0 || event.timeStamp - scrolled < SCROLLING_MS || (out && this.fitted)) return;
      event.preventDefault();
      const px = event.deltaMode === 1 ? event.deltaY * 20 : event.deltaMode === 2 ? event.deltaY * 400 : event.deltaY;
      const [left, top] = this.pointOf(event);
      this.zoom(2 ** (-Math.max(-300, Math.min(300, px)) / 240), left, top);
    }, { passive: false });
    root.addEventListener("pointerdown", (event) => {
      if (event.button !== 0) return;
      const [x, y] = this.pointOf(event);
      if (this.pointers.size === 0) this.moved = 0;
      else this.moved = CLICK_PX;
      this.pointers.set(event.pointerId, { x, y });
      root.setPointerCapture(event.pointerId);
    });
    root.addEventListener("pointermove", (event) => this.pointerMoved(event));
    root.addEventListener("pointerleave", () => (this.readout.textContent = ""));
    root.addEventListener("pointerup", (event) => {
      if (!this.pointers.delete(event.pointerId) || this.moved >= CLICK_PX) return;
      const [left, top] = this.pointOf(event);
      const isGround = left > SIDE_PX && top > HEAD_PX && top < this.height - FOOT_PX;
      if (isGround) this.onPoint?.(...this.toHull(left, top));
    });
    root.addEventListener("pointercancel", (event) => this.pointers.delete(event.pointerId));
    root.addEventListener("keydown", (event) => {
      if (event.ctrlKey || event.altKey || event.metaKey) return;
      /** @type {Record<string, () => void>} */
      const acts = {
        ArrowLeft: () => this.move(-1, 0),
        ArrowRight: () => this.move(1, 0),
        ArrowUp: () => this.move(0, 1),
        ArrowDown: () => this.move(0, -1),
        "+": () => this.zoom(KEY_ZOOM),
        "=": () => this.zoom(KEY_ZOOM),
        "-": () => this.zoom(1 / KEY_ZOOM),
        "\u2212": () => this.zoom(1 / KEY_ZOOM),
        "0": () => this.fit(),
        Enter: () => this.onPoint?.(this.x, this.y),
      };
      const act = acts[event.key];
      if (act === undefined) return;
      event.preventDefault();
      act();
    });
  }

  /** @param {PointerEvent} event */
  pointerMoved(event) {
    const [x, y] = this.pointOf(event);
    if (event.pointerType === "mouse") {
      const [along, across] = this.toHull(x, y);
      const frame = frameAt(this.hull, along);
      const near = frame === null ? "" : `, near frame ${figure(Math.round(frame), 0)}`;
      this.readout.textContent = `${placeInWords(along, across, this.hull.length)}${near}`;
    }
    const before = this.pointers.get(event.pointerId);
    if (before === undefined) return;
    this.moved += Math.hypot(x - before.x, y - before.y);
    const other = [...this.pointers].find(([id]) => id !== event.pointerId)?.[1];
    this.pointers.set(event.pointerId, { x, y });
    if (other !== undefined) {
      const [was, is] = [Math.hypot(before.x - other.x, before.y - other.y), Math.hypot(x - other.x, y - other.y)];
      if (was > 0) this.zoom(is / was, (x + other.x) / 2, (y + other.y) / 2);
    } else if (this.moved < CLICK_PX || this.fitted) return;
    this.x -= (x - before.x) / this.pxPerM / (other === undefined ? 1 : 2);
    this.y += (y - before.y) / this.pxPerM / (other === undefined ? 1 : 2);
    if (!this.fitted) this.draw();
  }

  /** Draws what is in sight at the size of print, and says how to come back. */
  drawForPrint() {
    if (this.width === 0) return () => {};
    const { width, height, pxPerM } = this;
    const as = (/** @type {number} */ w, /** @type {number} */ h, /** @type {number} */ scale) => {
      [this.width, this.height, this.pxPerM] = [w, h, scale];
      this.svg.setAttribute("viewBox", `0 0 ${w} ${h}`);
      this.labelled.pxPerM = 0;
      this.drawNow();
    };
    const inSight = this.frame.width;
    as(PRINT_PX.width, PRINT_PX.height, (pxPerM * (PRINT_PX.width - SIDE_PX)) / inSight);
    return () => as(width, height, pxPerM);
  }

  resized() {
    const box = this.svg.getBoundingClientRect();
    // In print it is scaled as it is.
    if (box.width === 0 || matchMedia("print").matches) return;
    [this.width, this.height] = [box.width, box.height];
    this.svg.setAttribute("viewBox", `0 0 ${this.width} ${this.height}`);
    this.labelled.pxPerM = 0;
    if (this.fitted || this.pxPerM < this.wholePxPerM) this.fit();
    else this.draw();
  }
}
