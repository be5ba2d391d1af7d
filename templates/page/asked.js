// Asking the steel: by pointing, by typing a place, from a list, or by the address.

import { askSteel, xOfFrame } from "./ask.js";
import { button, element } from "./elements.js";
import { figure, typedNumber } from "./lengths.js";
import { cardOfPlace, fragmentOfPlace, placeOfFragment, placesOfCard } from "./place.js";

/** @typedef {import("./record.js").Hull} Hull */

/** Further from the stern reference point than this nothing of a ship is, m. */
const FURTHEST_M = 1000;

/**
 * What asks and answers, in an element.
 * @typedef {{ askAt: (x: number, y: number, how: "pointed" | "typed") => void }} Asking
 */

/**
 * Makes the form, the list and the place for the answer.
 * @param {HTMLElement} into @param {Hull} hull @param {import("./plan.js").Plan | null} plan
 * @returns {Asking}
 */
export function startAsking(into, hull, plan) {
  const view = plan?.view ?? null;
  const answer = element("div", { class: "answer" });
  const said = element("p", { class: "unseen", role: "status" });
  /** Shows the card of a place, and keeps it in the address. @type {Asking["askAt"]} */
  const askAt = (x, y, how) => {
    // What is asked is what the address keeps.
    const [keptX, keptY] = placeOfFragment(fragmentOfPlace(x, y)) ?? [x, y];
    const card = cardOfPlace(hull, askSteel(hull, keptX, keptY));
    answer.replaceChildren(card);
    view?.pinAt(keptX, keptY);
    // Pages opened from a disk may not be allowed to.
    try {
      history.replaceState(null, "", fragmentOfPlace(keptX, keptY));
    } catch {}
    const heading = /** @type {HTMLElement} */ (card.querySelector("h3"));
    if (how === "typed") {
      heading.focus({ preventScroll: true });
      into.scrollIntoView({ block: "nearest" });
      card.scrollIntoView({ block: "start" });
    } else {
      said.textContent = `${heading.textContent}: ${card.querySelector("p")?.textContent}`;
      heading.scrollIntoView({ block: "nearest" });
    }
  };
  into.append(element("div", { class: "ways" }, ...(view === null ? [] : [formOf(hull, askAt)]), listOfCards(hull, plan, askAt)), said, answer);

  const follow = () => {
    const place = placeOfFragment(location.hash);
    if (place !== null && place.every((metres) => Math.abs(metres) <= FURTHEST_M)) {
      askAt(place[0], place[1], "typed");
      view?.show(place[0], place[1]);
    } else if (openCard(cardOfFragment())) {
      const places = placesOfCard(hull, cardOfFragment());
      const { at } = places.find(({ position }) => position === plan?.shown()) ?? places[0] ?? { at: null };
      if (at !== null) view?.pinAt(at[0], at[1]);
    }
  };
  linkCards(hull);
  addEventListener("hashchange", follow);
  follow();
  return { askAt };
}

/** Gives every card of a thing that has a place the way to the steel there. @param {Hull} hull */
function linkCards(hull) {
  for (const card of new Set(thingsOf(hull).map((thing) => thing.card))) {
    const heading = document.getElementById(card)?.querySelector("h3");
    if (!heading) continue;
    const links = placesOfCard(hull, card).flatMap(({ position, at }, n) => {
      const link = element("a", { href: fragmentOfPlace(...at) }, position === null ? "ask the steel there" : `ask the steel under it in ${position}`);
      return n === 0 ? [link] : ["; ", link];
    });
    if (links.length > 0) heading.after(element("p", { class: "note way" }, "On the plan: ", ...links, "."));
  }
}

/** The card that the address names; the empty text for none. */
function cardOfFragment() {
  try {
    return decodeURIComponent(location.hash.slice(1));
  } catch {
    return "";
  }
}

/** Opens what a card is folded into, and brings it into sight. @param {string} card */
function openCard(card) {
  const found = card === "" ? null : document.getElementById(card);
  if (found === null) return false;
  let isFolded = false;
  for (let fold = found.closest("details"); fold !== null; fold = fold.parentElement?.closest("details") ?? null) {
    if (!fold.open) isFolded = true;
    fold.open = true;
  }
  if (isFolded) found.scrollIntoView();
  return true;
}

/** A field under its label. @param {string} label @param {HTMLElement} field @param {string} [note] */
function fieldOf(label, field, note = "") {
  return element("label", {}, element("span", {}, label), field, ...(note === "" ? [] : [element("small", {}, note)]));
}

/** @param {string} id */
function numberField(id) {
  return /** @type {HTMLInputElement} */ (element("input", { type: "text", inputmode: "decimal", autocomplete: "off", spellcheck: "false", size: "8", id }));
}

/** The form for a place. @param {Hull} hull @param {Asking["askAt"]} askAt */
function formOf(hull, askAt) {
  const { unit, factor } = hull.length;
  const hasFrames = hull.frames.at.length > 0;
  const [x, frame, off, y] = ["ask-x", "ask-frame", "ask-off", "ask-y"].map(numberField);
  off.value = "0";
  const byX = /** @type {HTMLInputElement} */ (element("input", { type: "radio", name: "ask-by", checked: "" }));
  const byFrame = /** @type {HTMLInputElement} */ (element("input", { type: "radio", name: "ask-by" }));
  const side = /** @type {HTMLSelectElement} */ (
    element("select", { id: "ask-side" }, element("option", { value: "1" }, "to port"), element("option", { value: "-1" }, "to starboard"), element("option", { value: "0" }, "on the centreline"))
  );
  const wrong = element("p", { class: "wrong", role: "alert", id: "ask-wrong" });
  const xField = fieldOf(`x, ${unit}`, x, "forward of the stern reference point");
  const frameField = fieldOf("Frame", frame);
  const offField = fieldOf(`and ${unit} forward of it`, off, "\u2212 for aft");
  const yField = fieldOf(`From the centreline, ${unit}`, y);
  const refresh = () => {
    xField.hidden = byFrame.checked;
    frameField.hidden = offField.hidden = byX.checked;
    yField.hidden = side.value === "0";
  };
  for (const one of [byX, byFrame, side]) one.addEventListener("change", refresh);
  /** A number of a field, or what is wrong with it. @param {HTMLInputElement} field @param {string} name @param {number} least */
  const read = (field, name, least) => {
    const value = typedNumber(field.value);
    const ok = value !== null && value >= least;
    field.setAttribute("aria-invalid", String(!ok));
    if (ok) return value;
    wrong.textContent = `${name} must be a number${least === 0 ? " not less than 0" : ""}, such as ${least === 0 ? "0.20" : "38.10"}.`;
    field.focus();
    return null;
  };
  const form = element(
    "form",
    { class: "ask", "aria-describedby": "ask-wrong", novalidate: "" },
    element("h3", {}, "Ask the steel"),
    element("p", { class: "note" }, "Point at the plan, or type a place."),
    ...(hasFrames ? [element("div", { class: "by", role: "group", "aria-label": "Along the ship by" }, element("label", {}, byX, " by x"), element("label", {}, byFrame, " by frame"))] : []),
    element("div", { class: "fields" }, xField, frameField, offField, yField, fieldOf("Side", side)),
    wrong,
    element("button", { type: "submit" }, "Ask"),
  );
  refresh();
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    wrong.textContent = "";
    /** @type {number | null} */
    let along;
    if (byFrame.checked) {
      const number = read(frame, "Frame", -Infinity);
      if (number === null) return;
      const from = xOfFrame(hull, number);
      if (from === null) {
        const numbers = hull.frames.at.map(([one]) => one);
        wrong.textContent = `Frames of the bottom go from ${figure(Math.min(...numbers), 0)} to ${figure(Math.max(...numbers), 0)}.`;
        frame.setAttribute("aria-invalid", "true");
        frame.focus();
        return;
      }
      const more = read(off, "The distance from the frame", -Infinity);
      if (more === null) return;
      along = from + more / factor;
    } else {
      const value = read(x, "x", -Infinity);
      along = value === null ? null : value / factor;
    }
    if (along === null) return;
    const across = side.value === "0" ? 0 : read(y, "The distance from the centreline", 0);
    if (across === null) return;
    const toPort = (across / factor) * Number(side.value) + 0;
    if (Math.abs(along) > FURTHEST_M || Math.abs(toPort) > FURTHEST_M) {
      wrong.textContent = "That is further away than any part of her.";
      return;
    }
    askAt(along, toPort, "typed");
  });
  return form;
}

/** Everything that has an id, with its card. @param {Hull} hull @returns {{ name: string, id: string, card: string }[]} */
export function thingsOf(hull) {
  const blocks = [...new Set(hull.positions.flatMap(({ hides, leftOut }) => [...hides, ...leftOut].map(({ block }) => block)))];
  const things = [
    ...hull.positions.map(({ id, card }) => ({ kind: "position", id, card })),
    ...blocks.map((id) => ({ kind: "block", id, card: `block.${id}` })),
    ...hull.openings.map(({ id, card }) => ({ kind: "opening", id, card })),
    ...hull.zones.map(({ id, card }) => ({ kind: "zone", id, card })),
    ...hull.anodes.map(({ id, card }) => ({ kind: "anode", id, card })),
    ...hull.gaugings.map(({ plate, card }) => ({ kind: "plate", id: plate, card })),
    ...hull.pictures.map(({ number, file, card }) => ({ kind: `photograph ${number},`, id: file, card })),
  ];
  const seen = new Set();
  return things
    .map(({ kind, id, card }) => ({ name: `${kind} ${id}`, id, card }))
    .filter(({ name }) => !seen.has(name) && seen.add(name));
}

/** The list of all ids. @param {Hull} hull @param {import("./plan.js").Plan | null} plan @param {Asking["askAt"]} askAt */
function listOfCards(hull, plan, askAt) {
  const things = thingsOf(hull);
  const field = /** @type {HTMLInputElement} */ (element("input", { type: "text", list: "ask-things", id: "ask-thing", autocomplete: "off", spellcheck: "false" }));
  const list = element("datalist", { id: "ask-things" }, ...things.map(({ name }) => element("option", { value: name })));
  const wrong = element("p", { class: "wrong", role: "alert" });
  const ways = element("div", { class: "buttons" });
  const ask = (/** @type {[number, number]} */ at) => {
    ways.replaceChildren();
    plan?.view.show(at[0], at[1]);
    askAt(at[0], at[1], "typed");
  };
  const go = (/** @type {boolean} */ toPlan) => {
    wrong.textContent = "";
    ways.replaceChildren();
    const typed = field.value.trim().toLowerCase();
    const found = things.find(({ name }) => name.toLowerCase() === typed);
    const byId = things.filter(({ id }) => id.toLowerCase() === typed);
    const thing = found ?? (byId.length === 1 ? byId[0] : undefined);
    if (thing === undefined) {
      wrong.textContent =
        typed === "" ? "Type an id, such as one of the list." : byId.length > 1 ? `Several things have this id: ${byId.map(({ name }) => name).join("; ")}.` : "No block, opening, position, zone, anode, plate or photograph has this id.";
      field.focus();
      return;
    }
    const places = placesOfCard(hull, thing.card);
    if (!toPlan && document.getElementById(thing.card) !== null) {
      location.hash = `#${encodeURIComponent(thing.card)}`;
      openCard(thing.card);
      const card = /** @type {HTMLElement} */ (document.getElementById(thing.card));
      card.setAttribute("tabindex", "-1");
      card.focus({ preventScroll: true });
      return;
    }
    if (places.length === 0) {
      wrong.textContent = toPlan ? `Where ${thing.name} is on the hull is not recorded, or it is not in one place.` : `There is no card of ${thing.name} on this page.`;
      return;
    }
    const one = places.length === 1 ? places[0] : places.find(({ position }) => position === plan?.shown());
    if (one !== undefined) {
      ask(one.at);
      return;
    }
    // It stood in several positions, and none of these is chosen on the plan.
    ways.replaceChildren(...places.map(({ position, at }) => button(`Under ${thing.id} in ${position}`, () => ask(at))));
    /** @type {HTMLElement} */ (ways.firstElementChild).focus();
  };
  const form = element(
    "form",
    { class: "ask", novalidate: "" },
    element("h3", {}, "Find a thing by its id"),
    element("p", { class: "note" }, "Blocks, openings, positions, zones, anodes, plates, photographs."),
    element("div", { class: "fields" }, fieldOf("Id", field)),
    list,
    wrong,
    element("button", { type: "submit" }, "To its card"),
    " ",
    button("Steel there", () => go(true)),
    ways,
  );
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    go(false);
  });
  return form;
}
