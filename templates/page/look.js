// The section in which she is looked at: the plan, what is asked of it, and the blocks slid.

import { startAsking } from "./asked.js";
import { element } from "./elements.js";
import { startPlan } from "./plan.js";
import { startSliding } from "./slide.js";

/** Makes what stands in the section `look`; without a hull it stays away. @param {import("./record.js").PageRecord} record */
export function startLook(record) {
  const section = document.getElementById("look");
  const { hull } = record;
  if (section === null || hull === null) return;
  const [plan, asked, slide] = ["plan", "asked", "slide"].map((name) => element("div", { class: `look-${name}` }));
  section.append(plan, asked, slide);
  section.hidden = false;
  /** @type {import("./asked.js").Asking | null} */
  let asking = null;
  const view = startPlan(plan, hull, (x, y) => asking?.askAt(x, y, "pointed"));
  asking = startAsking(asked, hull, view);
  startSliding(slide, hull);
}
