// She is looked at and asked in a browser: the walks of somebody who has nothing but the page of the sample.

import assert from "node:assert/strict";
import { cpSync, readFileSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import { test } from "node:test";
import { HtmlValidate } from "html-validate";

import { temporary } from "../common/bundles.js";
import { largeProject } from "../common/large.js";
import { SAMPLE, addressOfPage, pageWithSupplement, programPage, recordIn, withRecord } from "../common/program_page.js";
import { startChromium, startFirefox } from "./drivers.js";

const AXE = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
/** Where pictures of the page are put, to be looked at. */
const PICTURES = process.env.PAGE_PICTURES;

const sample = programPage(SAMPLE);
const sampleAddress = addressOfPage(sample);

const browser = await startChromium();
test.after(() => browser.close());

/** A page that is open, and what it reported as wrong, as which a request to another place counts. @param {string} address @param {import("playwright-core").BrowserContextOptions} [options] */
async function opened(address, options = { viewport: { width: 1280, height: 900 } }) {
  const { page, errors } = await browser.open(address, options);
  page.on("request", (/** @type {import("playwright-core").Request} */ request) => {
    if (!/^(file|data|blob):/.test(request.url())) errors.push(`asked for ${request.url()}`);
  });
  await page.waitForSelector("#look .hull-view svg[viewBox]");
  await rested(page);
  return { page: /** @type {import("playwright-core").Page} */ (page), errors };
}

/** Waits until what was asked for is drawn and labelled. @param {import("playwright-core").Page} page */
async function rested(page) {
  await page.waitForTimeout(220);
  await page.evaluate(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))));
}

/** A text as it is read: no-break spaces are spaces. @param {import("playwright-core").Page} page @param {string} selector */
const textOf = async (page, selector) => (await page.innerText(selector)).replaceAll("\u00a0", " ");

/** The card of the place that was asked, as text. @param {import("playwright-core").Page} page */
const cardText = (page) => textOf(page, "#look .place");

/** Asks by the form. @param {import("playwright-core").Page} page @param {string} x @param {string} y @param {string} side */
async function typePlace(page, x, y, side = "to port") {
  await page.fill("#ask-x", x);
  await page.selectOption("#ask-side", { label: side });
  if (side !== "on the centreline") await page.fill("#ask-y", y);
  await page.getByRole("button", { name: "Ask", exact: true }).click();
}

/** Clicks a place of the hull on the plan. @param {import("playwright-core").Page} page @param {number} x @param {number} y */
async function clickPlace(page, x, y) {
  const at = await page.evaluate(([along, across]) => {
    const svg = /** @type {SVGSVGElement} */ (document.querySelector("#look .hull-view svg"));
    const ground = /** @type {SVGGElement} */ (svg.querySelector(".ground"));
    const matrix = ground.transform.baseVal.getItem(0).matrix;
    const box = svg.getBoundingClientRect();
    return [box.left + matrix.a * along + matrix.e, box.top + matrix.d * across + matrix.f];
  }, [x, y]);
  await page.mouse.click(at[0], at[1]);
}

/** The part of the card under a heading. @param {import("playwright-core").Page} page @param {RegExp} heading */
async function partOf(page, heading) {
  const parts = await page.$$eval("#look .place section", (all) => all.map((one) => [one.querySelector("h4")?.textContent ?? "", /** @type {HTMLElement} */ (one).innerText]));
  return parts.find(([title]) => heading.test(title))?.[1] ?.replaceAll("\u00a0", " ") ?? "";
}

/** The labels on the plan. @param {import("playwright-core").Page} page */
const labels = (page) => page.$$eval("#look .look-plan .hull-view text", (all) => all.map((one) => one.textContent));

test("which steel was never seen: it is black, lettered, and says so when asked", async () => {
  const { page, errors } = await opened(sampleAddress);
  assert.ok((await labels(page)).includes("A"), "its letter stands on the plan");
  await page.locator("#look .hull-view").first().scrollIntoViewIfNeeded();
  await clickPlace(page, 38.1, 0.2);
  const text = await cardText(page);
  assert.match(text, /Under K23 in P1 and K23S in P2; never exposed in this docking \(A\)/);
  assert.match(text, /Never exposed in this docking: part A, 0\.330 m²/);
  assert.match(await partOf(page, /ever seen/), /under blocks whenever the dock was dry[^]*No earlier docking is on record here/);
  // Pointing doesn't take the focus; it is told.
  assert.match(await textOf(page, "#look .look-asked > [role=status]"), /^Steel at x 38\.\d+ m/);
  assert.match(page.url(), /#at=38\.\d+,0\.\d+$/);
  assert.deepEqual(errors, []);
});

test("what lies under K11 in the second position", async () => {
  const { page, errors } = await opened(sampleAddress);
  const record = recordIn(sample);
  const hides = record.hull?.positions[1].hides.find(({ block }) => block === "K11");
  assert.ok(hides !== undefined);
  const ring = hides.shape[0].slice(0, 4);
  const [x, y] = [0, 1].map((n) => ring.reduce((sum, at) => sum + at[n], 0) / ring.length);
  await page.check("#look input[name=look-position][value='1']");
  await typePlace(page, x.toFixed(2), Math.abs(y).toFixed(2), y < 0 ? "to starboard" : "to port");
  const blocks = await partOf(page, /Under which block/);
  assert.match(blocks, /P2 \(dry 2031-04-22 18:05 to 2031-04-29 05:40\): under K11/);
  assert.match(blocks, /P1 \([^)]*\): under (no block|K10)/);
  assert.match(await partOf(page, /coats/), /./);
  assert.match(await partOf(page, /Findings/), /K11/, "the film reading where K11 stood");
  assert.deepEqual(errors, []);
});

test("which coats are at x 38.1, y 0.2, and at a place that got all of them", async () => {
  const { page, errors } = await opened(sampleAddress);
  await typePlace(page, "38.1", "0.2");
  assert.match(await partOf(page, /coats/), /No coat of this docking/);
  assert.equal(await page.evaluate(() => document.activeElement?.textContent?.replaceAll("\u00a0", " ")), "Steel at x 38.10 m, 0.20 m to port", "the focus is on its heading");
  await typePlace(page, "50,00", "2");
  const hull = /** @type {import("../../../templates/page/record.js").Hull} */ (recordIn(sample).hull);
  const steel = hull.steel.find(({ zone, missing }) => zone === "BP" && missing === null);
  assert.match(await partOf(page, /Where it is/), /Zone of the coating: BP/);
  // What the page says of this steel stands in the program's own words, where it wrote a card of it.
  const written = await page.evaluate((card) => document.getElementById(card)?.querySelector("table")?.textContent ?? null, steel?.card ?? "");
  if (written !== null) assert.ok((await page.textContent("#look .place"))?.includes(written));
  const copied = await page.$$eval("[id]", (all) => all.map(({ id }) => id).filter((id, n, ids) => id.startsWith("steel.") && ids.indexOf(id) !== n));
  assert.deepEqual(copied, [], "no id stands twice");
  assert.deepEqual(errors, []);
});

test("which photograph shows the stern, and where it was taken from", async () => {
  const { page, errors } = await opened(sampleAddress);
  await page.locator("#look .layers label", { hasText: "Photographs" }).click();
  await rested(page);
  const numbers = await page.$$eval("#look .picture-mark text", (all) => all.map((one) => one.textContent).join().split(",").map(Number));
  const placed = (recordIn(sample).hull?.pictures ?? []).filter(({ at }) => at !== null).map(({ number }) => number);
  assert.deepEqual(numbers.sort((a, b) => a - b), placed, "every one that has a place is on the plan");
  const arrows = await page.$$eval("#look .picture-mark .arrow", (all) => all.filter((one) => one.getAttribute("d") !== "").length);
  assert.ok(arrows > 0);
  // The aftermost.
  const aftermost = (recordIn(sample).hull?.pictures ?? []).reduce((a, b) => ((b.at?.[0] ?? Infinity) < (a.at?.[0] ?? Infinity) ? b : a));
  await typePlace(page, String(aftermost.at?.[0]), String(Math.abs(aftermost.at?.[1] ?? 0)), "to starboard");
  assert.match(await partOf(page, /Photographs/), new RegExp(`${aftermost.number}: ${aftermost.file} .*seen from starboard`));
  assert.deepEqual(errors, []);
});

test("where to put her next time: every figure of the slider is the program's", async () => {
  const { page, errors } = await opened(sampleAddress);
  const shifts = recordIn(sample).hull?.shifts;
  assert.ok(shifts, "the sample has shifts");
  assert.ok(await page.isVisible(`text=${shifts.caution.slice(0, 60)}`));
  const sliders = page.locator("#look .slider input");
  for (const [which, steps, moves] of /** @type {const} */ ([[0, shifts.along, "x"], [1, shifts.athwart, "y"]])) {
    for (const n of [0, 1, Math.floor(steps.twice.length / 3), steps.twice.length - 1]) {
      const at = steps.start + n * steps.step;
      await sliders.nth(which).fill(at.toFixed(4));
      const text = await page.innerText("#look .step-figures");
      assert.ok(text.includes(`${(steps.twice[n] * shifts.area.factor).toFixed(shifts.area.decimals)}\u00a0${shifts.area.unit}`), text);
      for (const id of steps.near[n]) assert.ok(text.includes(id), id);
      assert.equal(steps.near[n].length === 0, /the table names no opening/.test(text));
      const transform = await page.getAttribute("#look .slid", "transform");
      const moved = [...(transform?.matchAll(/-?[\d.]+(?:e-?\d+)?/g) ?? [])].map(([one]) => Number(one));
      assert.ok(Math.abs(moved[moves === "x" ? 0 : 1] + at) < 1e-9 && moved[moves === "x" ? 1 : 0] === 0, `the blocks move against the ship: ${transform}`);
      assert.equal(await sliders.nth(1 - which).inputValue(), "0", "she is shifted one way at a time");
    }
  }
  // By keys, a centimetre at a time.
  await sliders.nth(0).focus();
  const before = Number(await sliders.nth(0).inputValue());
  await page.keyboard.press("ArrowRight");
  assert.ok(Math.abs(Number(await sliders.nth(0).inputValue()) - before - 0.01) < 1e-6);
  assert.match((await sliders.nth(0).getAttribute("aria-valuetext")) ?? "", /^\d+\.\d+\u00a0m (forward|aft)$/);
  for (const aim of shifts.aims) {
    const name = new RegExp(`^${Math.abs(aim.at).toFixed(2)}.m ${aim.along ? (aim.at < 0 ? "aft" : "forward") : aim.at < 0 ? "to starboard" : "to port"}`);
    await page.getByRole("group", { name: "Shifts to aim at" }).getByRole("button", { name }).first().click();
    assert.ok((await page.innerText("#look .step-figures")).includes(aim.says.slice(0, 40)), aim.says);
  }
  assert.ok(await page.isVisible("#next-team"));
  assert.deepEqual(errors, []);
});

test("the address keeps a place and a card", async () => {
  const { page, errors } = await opened(`${sampleAddress}#at=38.10,0.20`);
  assert.match(await cardText(page), /^Steel at x 38\.10 m, 0\.20 m to port/);
  assert.equal(await page.getAttribute("#look .place .kept", "href"), "#at=38.1,0.2");
  await page.evaluate(() => (location.hash = "#at=20,-1.5"));
  await page.waitForFunction(() => document.querySelector("#asked-head")?.textContent?.includes("20.00\u00a0m"));
  assert.match(await cardText(page), /1\.50 m to starboard/);
  for (const wrong of ["#at=", "#at=1", "#at=x,y", "#at=99999,0", "#at=1e3,0", "#%", "#at=1,2,3", "#at=<b>,1"]) {
    await page.evaluate((hash) => (location.hash = hash), wrong);
    await page.waitForTimeout(30);
    assert.match(await cardText(page), /x 20\.00 m/, wrong);
  }
  // A card that is folded away is opened.
  const folded = await page.evaluate(() => {
    const card = document.getElementById("block.K11");
    return card === null ? null : card.closest("details") !== null;
  });
  if (folded === true) {
    await page.evaluate(() => (location.hash = "#block.K11"));
    await page.waitForTimeout(60);
    assert.ok(await page.locator("[id='block.K11']").isVisible());
  }
  assert.deepEqual(errors, []);
});

test("by keyboard alone: plan, cross, form by frame, list", async () => {
  const { page, errors } = await opened(sampleAddress);
  const scale = () => page.evaluate(() => /** @type {SVGGElement} */ (document.querySelector("#look .ground")).transform.baseVal.getItem(0).matrix.a);
  await page.locator("#look .positions button").first().focus();
  for (let n = 0; n < 4; n += 1) {
    await page.keyboard.press("Tab");
    if (await page.evaluate(() => document.activeElement?.classList.contains("hull-view"))) break;
  }
  assert.ok(await page.evaluate(() => document.activeElement?.classList.contains("hull-view")), "the plan is reached");
  assert.equal(await page.evaluate(() => getComputedStyle(/** @type {Element} */ (document.querySelector("#look .cross"))).visibility), "visible");
  const whole = await scale();
  for (const key of ["+", "+", "+", "ArrowLeft", "ArrowUp"]) await page.keyboard.press(key);
  await rested(page);
  assert.ok((await scale()) > 3 * whole);
  await page.keyboard.press("Enter");
  assert.match(await cardText(page), /^Steel at x \d/);
  await page.locator("#look .hull-view").first().focus();
  await page.keyboard.press("0");
  await rested(page);
  assert.equal(await scale(), whole);

  await page.getByLabel("by frame").focus();
  await page.keyboard.press("Space");
  await page.getByLabel("Frame", { exact: true }).focus();
  await page.keyboard.type("58");
  await page.locator("#ask-y").focus();
  await page.keyboard.type("0.2");
  await page.keyboard.press("Enter");
  const x = recordIn(sample).hull?.frames.at.find(([number]) => number === 58)?.[1] ?? 0;
  assert.match(await cardText(page), new RegExp(`^Steel at x ${x.toFixed(2)} m`));
  assert.match(await partOf(page, /Where it is/), /Frame 58\n/);

  await page.locator("#ask-thing").focus();
  await page.keyboard.type("sc4");
  await page.keyboard.press("Enter");
  await page.waitForTimeout(50);
  const reached = await page.evaluate(() => (document.getElementById("opening.SC4") === null ? document.querySelector("#asked-head")?.textContent : document.activeElement?.id));
  assert.match(reached ?? "", /^opening\.SC4$|^Steel at/);
  await page.locator("#ask-thing").fill("nothing of the kind");
  await page.keyboard.press("Enter");
  assert.ok(await page.isVisible("text=has this id."));
  assert.deepEqual(errors, []);
});

test("what is typed wrong is told, and nothing is asked", async () => {
  const { page, errors } = await opened(sampleAddress);
  for (const [x, y, says] of [
    ["", "1", /^x must be a number/],
    ["abc", "1", /^x must be a number/],
    ["1e3", "1", /^x must be a number/],
    ["20", "", /^The distance from the centreline must be a number not less than 0/],
    ["20", "-1", /^The distance from the centreline must be a number not less than 0/],
    ["99999", "1", /further away than any part of her/],
  ]) {
    await typePlace(page, /** @type {string} */ (x), /** @type {string} */ (y));
    assert.match(await page.innerText("#ask-wrong"), /** @type {RegExp} */ (says));
    assert.equal(await page.locator("#look .place").count(), 0);
  }
  await page.check("text=by frame");
  await page.fill("#ask-frame", "900");
  await page.getByRole("button", { name: "Ask", exact: true }).click();
  assert.match(await page.innerText("#ask-wrong"), /^Frames of the bottom go from 10 to 149\.$/);
  assert.deepEqual(errors, []);
});

test("it is moved and enlarged by mouse and finger, and the scale bar stays true", async () => {
  const { page, errors } = await opened(sampleAddress, { viewport: { width: 1280, height: 900 }, hasTouch: true });
  const view = page.locator("#look .hull-view").first();
  await view.scrollIntoViewIfNeeded();
  await page.waitForTimeout(400);
  const matrix = () => page.evaluate(() => {
    const { a, d, e, f } = /** @type {SVGGElement} */ (document.querySelector("#look .ground")).transform.baseVal.getItem(0).matrix;
    return { a, d, e, f };
  });
  const bar = async () => {
    const [metres, px] = await page.$eval("#look .scale-bar", (one) => [Number(one.getAttribute("data-length-m")), Number(one.getAttribute("data-px"))]);
    const { a, d } = await matrix();
    assert.ok(Math.abs(px / metres - a) < 1e-6 * a && a === -d, "one scale along, across and on the bar");
    assert.ok(px > 30 && px <= 180, `${px}`);
    const drawn = await page.$eval("#look .bar-outline", (one) => one.getBoundingClientRect().width);
    assert.ok(Math.abs(drawn - px) < 2.5, `${drawn} ${px}`);
  };
  await bar();
  const box = /** @type {{ x: number, y: number, width: number, height: number }} */ (await view.boundingBox());
  const at = { x: box.x + box.width * 0.7, y: box.y + box.height * 0.45 };
  const under = (/** @type {{ a: number, e: number }} */ { a, e }) => (at.x - box.x - 1 - e) / a;
  const before = await matrix();
  await page.mouse.move(at.x, at.y);
  for (let n = 0; n < 8; n += 1) await page.mouse.wheel(0, -120);
  await rested(page);
  const near = await matrix();
  assert.ok(near.a > 4 * before.a);
  assert.ok(Math.abs(under(near) - under(before)) < 0.02, "what is under the pointer stays there");
  await bar();
  await page.mouse.down();
  await page.mouse.move(at.x - 100, at.y + 40, { steps: 5 });
  await page.mouse.up();
  await rested(page);
  const moved = await matrix();
  assert.ok(Math.abs(moved.e - near.e + 100) < 1.5 && Math.abs(moved.f - near.f - 40) < 1.5, JSON.stringify([near, moved]));
  assert.equal(await page.locator("#look .place").count(), 0, "dragging asks nothing");
  const protocol = await page.context().newCDPSession(page);
  const touch = (/** @type {string} */ type, /** @type {[number, number][]} */ points) =>
    protocol.send("Input.dispatchTouchEvent", { type: /** @type {"touchStart"} */ (type), touchPoints: points.map(([x, y], id) => ({ x, y, id })) });
  const [cx, cy] = [box.x + box.width / 2, box.y + box.height / 2];
  await touch("touchStart", [[cx - 40, cy], [cx + 40, cy]]);
  for (let n = 1; n <= 5; n += 1) await touch("touchMove", [[cx - 40 - 8 * n, cy], [cx + 40 + 8 * n, cy]]);
  await touch("touchEnd", []);
  await rested(page);
  const pinched = await matrix();
  assert.ok(Math.abs(pinched.a / moved.a - 2) < 0.1, `${pinched.a / moved.a}`);
  await touch("touchStart", [[cx, cy]]);
  for (let n = 1; n <= 5; n += 1) await touch("touchMove", [[cx + 12 * n, cy]]);
  await touch("touchEnd", []);
  await rested(page);
  assert.ok((await matrix()).e > pinched.e + 30, "one finger moves it");
  await bar();
  await page.getByRole("button", { name: "Whole hull" }).first().click();
  await rested(page);
  assert.equal((await matrix()).a, before.a);
  assert.deepEqual(errors, []);
});

test("labels lie over no other label and over no edge of a block or opening", async () => {
  const { page, errors } = await opened(sampleAddress);
  for (const box of await page.$$("#look .layers input")) await box.check();
  await page.locator("#look .hull-view").first().focus();
  const hull = /** @type {import("../../../templates/page/record.js").Hull} */ (recordIn(sample).hull);
  const rings = [...hull.positions.flatMap(({ hides }) => hides.map(({ shape }) => shape)), ...hull.openings.flatMap(({ shape }) => (shape === null ? [] : [shape]))].flat();
  const crossings = [];
  for (let n = 0; n < 6; n += 1) {
    await rested(page);
    const { a, d, e, f, boxes } = await page.evaluate(() => {
      const view = /** @type {Element} */ (document.querySelector("#look .hull-view"));
      const svg = /** @type {Element} */ (view.querySelector("svg")).getBoundingClientRect();
      const matrix = /** @type {SVGGElement} */ (view.querySelector(".ground")).transform.baseVal.getItem(0).matrix;
      const boxes = [...view.querySelectorAll("svg > g:not(.ground):not(.rulers) text")].map((one) => {
        const { left, right, top, bottom } = one.getBoundingClientRect();
        // A line of text is higher than its letters.
        const middle = (top + bottom) / 2 - svg.top;
        return { text: one.textContent, isOfPicture: one.closest(".picture-mark") !== null, left: left - svg.left, right: right - svg.left, top: middle - 4, bottom: middle + 4 };
      });
      return { a: matrix.a, d: matrix.d, e: matrix.e, f: matrix.f, boxes };
    });
    assert.ok(boxes.length > 10, `${boxes.length} labels`);
    for (const [at, one] of boxes.entries()) {
      for (const other of boxes.slice(at + 1)) {
        const [across, down] = [Math.min(one.right, other.right) - Math.max(one.left, other.left), Math.min(one.bottom, other.bottom) - Math.max(one.top, other.top)];
        if (across > 1 && down > 1) crossings.push(`${n}: ${one.text} over ${other.text}`);
      }
      // A picture's number stands on a mark of its own.
      if (one.isOfPicture) continue;
      const inside = { left: one.left + 1, right: one.right - 1, top: one.top, bottom: one.bottom };
      for (const ring of rings) {
        const points = ring.map(([x, y]) => [a * x + e, d * y + f]);
        if (points.some((from, k) => crosses(from, points[(k + 1) % points.length], inside))) crossings.push(`${n}: ${one.text} over an edge`);
      }
    }
    await page.keyboard.press("+");
  }
  assert.deepEqual(crossings, []);
  assert.deepEqual(errors, []);
});

/** Whether a line goes through a rectangle, by many points on it. @param {number[]} from @param {number[]} to @param {{ left: number, right: number, top: number, bottom: number }} box */
function crosses(from, to, box) {
  const steps = Math.ceil(Math.hypot(to[0] - from[0], to[1] - from[1])) + 1;
  return Array.from({ length: steps + 1 }, (_, n) => n / steps).some((t) => {
    const [x, y] = [from[0] + (to[0] - from[0]) * t, from[1] + (to[1] - from[1]) * t];
    return x > box.left && x < box.right && y > box.top && y < box.bottom;
  });
}

test("what no docking exposed is drawn and told; without shifts there is no slider, without a hull no section", async () => {
  const record = structuredClone(recordIn(sample));
  assert.ok(record.hull);
  record.hull.unseen = [
    { name: "", says: "No docking on record ever exposed it.", shape: [[[[30, -2], [34, -2], [34, 2], [30, 2], [30, -2]]]] },
    { name: "2021", says: "It was left under blocks in 2021, and nothing on record since exposed it.", shape: [[[[29, -3], [34, -3], [34, 3], [29, 3], [29, -3]]]] },
  ];
  record.hull.notUnseen = "It is not among what the earlier dockings on record are known to have left under blocks.";
  record.hull.shifts = null;
  const { page, errors } = await opened(`${addressOfPage(withRecord(sample, record))}#at=31,1.5`);
  assert.match(await partOf(page, /ever seen/), /No docking on record ever exposed it\.[^]*It was left under blocks in 2021, and nothing on record since exposed it\./);
  assert.match(await textOf(page, "#look .layers"), /Never exposed in any docking on record[^]*Left under blocks in 2021, not exposed since/);
  assert.equal(await page.locator("#look .look-slide *").count(), 0);
  await typePlace(page, "60", "1.5");
  assert.match(await partOf(page, /ever seen/), /not among what the earlier dockings on record are known to have left under blocks/);
  assert.deepEqual(errors, []);
  const without = await browser.open(addressOfPage(withRecord(sample, { ...record, hull: null })));
  assert.equal(await without.page.isVisible("#look"), false);
  assert.deepEqual(without.errors, []);
});

test("layers are switched, positions stepped through", async () => {
  const { page, errors } = await opened(sampleAddress);
  const shown = () => page.$$eval("#look .look-plan .ground path.hatched", (all) => all.filter((one) => one.closest(".off") === null).length);
  assert.equal(await shown(), 2, "both positions");
  await page.click("#look .positions >> text=Next");
  assert.equal(await shown(), 1);
  assert.ok(await page.isChecked("#look input[name=look-position][value='0']"));
  await page.click("#look .positions >> text=Previous");
  assert.equal(await shown(), 2);
  for (const box of await page.$$("#look .layers input")) await box.uncheck();
  assert.equal(await shown(), 0);
  await rested(page);
  assert.ok(!(await labels(page)).some((text) => /^[KB]/.test(text ?? "") && text !== "bow \u25b8"));
  assert.deepEqual(errors, []);
});

test("people's texts stay letters, whatever they try", async () => {
  const tags = `'"><img src=x onerror=alert(1)><script>alert(2)</script>javascript:alert(3)&lt;`;
  // A project whose free texts try.
  const folder = temporary();
  cpSync(SAMPLE, folder, { recursive: true });
  const change = (/** @type {string} */ file, /** @type {(text: string) => string} */ by) => {
    const was = readFileSync(join(folder, file), "utf8");
    const is = by(was);
    assert.notEqual(is, was, file);
    writeFileSync(join(folder, file), is);
  };
  change("docking.toml", (text) => text.replace('name = "Calder Wren"', `name = ${JSON.stringify(tags)}`));
  change("papers/papers.csv", (text) => text.replace(/Docking plug DP4 drawn[^,"\n]*/, () => "").replace(/(plug-dp4\.png,photograph,DP4,[^,]*,[^,]*,)("[^"]*"|[^,]*)/, (_, before) => `${before}"${tags.replaceAll('"', '""')}"`));
  const html = programPage(folder);
  // And a record in which every text tries, as no program writes it.
  /** @type {(value: any, key?: string) => any} */
  const twist = (value, key = "") => {
    if (typeof value === "string") return key === "kind" || key === "unit" || value === "" ? value : `${value}${tags}`;
    if (Array.isArray(value)) return value.map((one) => twist(one, key));
    if (value !== null && typeof value === "object") return Object.fromEntries(Object.entries(value).map(([name, one]) => [name, twist(one, name)]));
    return value;
  };
  for (const [name, text] of [["project", html], ["record", withRecord(html, twist(recordIn(html)))]]) {
    const { page, errors } = await opened(`${addressOfPage(text)}#at=33,-0.9`);
    for (const box of await page.$$("#look .layers input")) await box.check();
    await rested(page);
    assert.equal(await page.title(), `${tags}: the record of a dry-docking`);
    assert.ok((await page.innerText("#look .place")).includes(tags), name);
    await page.fill("#ask-thing", `photograph 5, ${recordIn(text).hull?.pictures[4].file}`);
    await page.click("text=Steel there");
    assert.ok((await page.innerText("#look .place")).includes(tags), name);
    assert.equal(await page.locator("#look img, #look script, #look iframe, #look [onerror]").count(), 0, name);
    const links = await page.$$eval("#look a", (all) => all.map((one) => one.getAttribute("href") ?? ""));
    assert.ok(links.length > 0 && links.every((href) => href.startsWith("#")), links.join());
    for (const href of links) assert.doesNotMatch(href, /[<>"' ]/);
    assert.deepEqual(errors, [], name);
  }
});

test("400 blocks, 100 000 film readings, 2000 gaugings and 4 positions: the page is small enough, and all of it stays smooth", { timeout: 300000 }, async () => {
  const html = programPage(largeProject({ blocks: 400, readings: 100000 }));
  process.stderr.write(`the page: ${(html.length / 1e6).toFixed(1)} MB\n`);
  assert.ok(Buffer.byteLength(html) < 25e6, `${Buffer.byteLength(html)} bytes`);
  const record = recordIn(html);
  const hull = /** @type {import("../../../templates/page/record.js").Hull} */ (record.hull);
  assert.equal(new Set(hull.positions.flatMap(({ hides }) => hides.map(({ block }) => block))).size, 399, "all blocks but the one never built");
  // More of what a plan has besides: gaugings, and the same blocks in two more positions.
  hull.gaugings = Array.from({ length: 2000 }, (_, n) => ({ card: `plate.X.${n}`, plate: `X ${n}`, at: [8 + (n % 200) * 0.44, -5 + Math.floor(n / 200)], loss: "0.50 mm", share: (n % 13) / 10 }));
  const shifted = (/** @type {import("../../../templates/page/record.js").Position} */ position, /** @type {string} */ id, /** @type {number} */ by) => ({
    ...position,
    id,
    hides: position.hides.map(({ block, shape }) => ({ block, shape: shape.map((ring) => ring.map(([x, y]) => /** @type {[number, number]} */ ([x + by, y]))) })),
  });
  hull.positions.push(shifted(hull.positions[0], "P3", 0.3), shifted(hull.positions[0], "P4", 0.5));
  assert.ok((hull.shifts?.caps.length ?? 0) > 390, "the slider moves them, too");
  const { page, errors } = await opened(addressOfPage(withRecord(html, record)));
  for (const each of await page.$$("#look .layers input")) await each.check();
  await rested(page);
  // What the page's thread takes of the processor, since other work on the machine makes any act seem long.
  const protocol = await page.context().newCDPSession(page);
  await protocol.send("Performance.enable", { timeDomain: "threadTicks" });
  const taskSeconds = async () => (await protocol.send("Performance.getMetrics")).metrics.find(({ name }) => name === "TaskDuration")?.value ?? NaN;
  /** How long acts take of the processor to the end of their drawing, ms, on average. @param {string} what @param {(n: number) => string} act */
  const timed = async (what, act) => {
    const ACTS = 31;
    const before = await taskSeconds();
    const times = await page.evaluate(async (acts) => {
      const taken = [];
      for (const one of acts) {
        const view = /** @type {HTMLElement} */ (document.querySelector("#look .hull-view"));
        const [kind, ...value] = one.split(" ");
        const began = performance.now();
        if (kind === "slide") {
          const slider = /** @type {HTMLInputElement} */ (document.querySelector("#look .slider input"));
          slider.value = value[0];
          slider.dispatchEvent(new Event("input"));
        } else if (kind === "seek") {
          const field = /** @type {HTMLInputElement} */ (document.querySelector("#sought"));
          field.value = value.join(" ");
          field.dispatchEvent(new Event("input"));
        } else if (kind === "ask") location.hash = `#at=${value[0]},0.2`;
        else view.dispatchEvent(new KeyboardEvent("keydown", { key: value[0], bubbles: true }));
        // What is asked for in a frame is done by the next one's beginning, but for the painting of it.
        await new Promise((done) => requestAnimationFrame(() => setTimeout(done)));
        document.body.getBoundingClientRect();
        taken.push(performance.now() - began);
        await new Promise((done) => requestAnimationFrame(done));
      }
      return taken.sort((a, b) => a - b);
    }, Array.from({ length: ACTS }, (_, n) => act(n)));
    const taken = ((await taskSeconds()) - before) * 1000 / ACTS;
    process.stderr.write(`${what}: ${taken.toFixed(1)} ms of the processor; by the clock half within ${times[15].toFixed(1)} ms, all within ${times[30].toFixed(1)} ms\n`);
    return taken;
  };
  assert.ok((await timed("a step of the slider", (n) => `slide ${(-0.5 + n / 50).toFixed(2)}`)) < 50);
  assert.ok((await timed("moving", (n) => `key ${n % 2 === 0 ? "ArrowLeft" : "ArrowRight"}`)) < 50);
  assert.ok((await timed("enlarging", (n) => `key ${n % 10 < 5 ? "+" : "-"}`)) < 100);
  assert.ok((await timed("asking, with its card and its place on the plan", (n) => `ask ${20 + n}`)) < 100);
  assert.ok((await timed("seeking", (n) => `seek ${["k", "k1", "k11", "film", "stern", "w20 p2"][n % 6]}`)) < 100);
  assert.deepEqual(errors, []);
});

test("axe finds nothing, and nothing is cut off, light, dark, in high contrast, at 320 px and at 200 %", async () => {
  /** @type {[string, import("playwright-core").BrowserContextOptions][]} */
  const looks = [
    ["wide", { viewport: { width: 1400, height: 900 } }],
    ["dark", { viewport: { width: 1280, height: 900 }, colorScheme: "dark" }],
    ["contrast", { viewport: { width: 1280, height: 900 }, forcedColors: "active" }],
    ["narrow", { viewport: { width: 320, height: 640 } }],
    // 200 % of a window of 1280 px is as wide as 640 px.
    ["enlarged", { viewport: { width: 640, height: 450 }, deviceScaleFactor: 2 }],
  ];
  for (const [look, options] of looks) {
    const { page, errors } = await opened(`${sampleAddress}#at=38.1,0.2`, { ...options, bypassCSP: true });
    for (const box of await page.$$("#look .layers input")) await box.check();
    await rested(page);
    if (PICTURES !== undefined) await page.locator("#look").screenshot({ path: join(PICTURES, `look-${look}.png`), timeout: 120000 });
    const width = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
    assert.ok(width <= 0, `${look}: ${width} px too wide`);
    await page.addScriptTag({ content: AXE });
    const { violations } = await page.evaluate(() => /** @type {any} */ (globalThis).axe.run("#look"));
    assert.deepEqual(violations.map((/** @type {any} */ one) => `${look}: ${one.id}: ${one.nodes[0].html.slice(0, 200)}`), []);
    assert.deepEqual(errors, [], look);
    await page.context().close();
  }
});

test("what a supplement says stands on the page and on the card, with nothing cut off or out of reach", async () => {
  const html = pageWithSupplement();
  const report = await new HtmlValidate({ extends: ["html-validate:standard"], rules: { "long-title": "off" } }).validateString(html);
  assert.deepEqual(report.results.flatMap(({ messages }) => messages.map(({ line, ruleId, message }) => `${line}: ${ruleId}: ${message}`)), []);
  for (const width of [1280, 320]) {
    const { page, errors } = await opened(addressOfPage(html), { viewport: { width, height: 800 }, bypassCSP: true });
    assert.match(await page.innerText("#supplements"), /-1\.801[^]*-1\.810[^]*mass_found_kg 4/);
    await page.click('#supplements a[href="#block.K2"]');
    assert.match(await page.innerText("#block\\.K2"), /What supplements say is wrong in it[^]*the level book has it/);
    const wide = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
    assert.ok(wide <= 0, `${width}: ${wide} px too wide`);
    await page.addScriptTag({ content: AXE });
    const { violations } = await page.evaluate(() => /** @type {any} */ (globalThis).axe.run("#supplements"));
    assert.deepEqual(violations.map((/** @type {any} */ one) => `${one.id}: ${one.nodes[0].html.slice(0, 200)}`), []);
    assert.deepEqual(errors, []);
    await page.context().close();
  }
});

test("in Firefox she is looked at and asked in the same way", async () => {
  const firefox = await startFirefox();
  try {
    const { page, errors, run, until } = await firefox.open(`${sampleAddress}#at=38.1,0.2`);
    assert.match(await until(() => document.querySelector("#look .place p")?.textContent), /^Under K23 in P1 and K23S in P2; never exposed/);
    await run(() => /** @type {HTMLElement} */ (document.querySelector("#look .hull-view")).focus());
    const scale = () => run(() => /** @type {SVGGElement} */ (document.querySelector("#look .ground")).transform.baseVal.getItem(0).matrix.a);
    await page.keyboard.press("0");
    await new Promise((done) => setTimeout(done, 300));
    const whole = await scale();
    await page.keyboard.press("+");
    await new Promise((done) => setTimeout(done, 300));
    assert.ok(Math.abs((await scale()) / whole - 1.5) < 1e-3);
    await page.keyboard.press("Enter");
    assert.match(await until(() => document.querySelector("#asked-head")?.textContent), /^Steel at x/);
    assert.ok((await run(() => document.querySelectorAll("#look .look-plan .hull-view .label-opening-id").length)) > 3);
    assert.deepEqual(errors, []);
  } finally {
    await firefox.close();
  }
});
