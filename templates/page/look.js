// The section in which she is looked at: the plan, what is asked of it, and the blocks slid.

import { startAsking, thingsOf } from "./asked.js";
import { element } from "./elements.js";
import { extentOfHull } from "./layers.js";
import { startPlan } from "./plan.js";
import { startSliding } from "./slide.js";

/** Makes what stands in the section `look`; where nothing of the hull is recorded it stays away. @param {import("./record.js").PageRecord} record */
export function startLook(record) {
  const section = document.getElementById("look");
  const { hull } = record;
  if (section === null || hull === null || (extentOfHull(hull) === null && thingsOf(hull).length === 0)) return;
  const [plan, asked, slide] = ["plan", "asked", "slide"].map((name) => element("div", { class: `look-${name}` }));
  section.append(plan, asked, slide);
  section.hidden = false;
  // Without scripts there is nothing to go to.
  const first = document.querySelector("nav li");
  first?.after(element("li", {}, element("a", { href: "#look" }, section.querySelector("h2")?.textContent ?? "")));
  /** @type {import("./asked.js").Asking | null} */
  let asking = null;
  const made = startPlan(plan, hull, (x, y) => asking?.askAt(x, y, "pointed"));
  asking = startAsking(asked, hull, made);
  startSliding(slide, hull);
}
