// The seven questions that somebody with nothing but a browser answers from the files of a closeout. Each is walked as a
// person would, by what is read, clicked and typed, in both browsers. What the answer has to be is taken from the records,
// from the tables and findings in the bundle, or from what another command of the program prints; never from the page.

import { test } from "node:test";
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { existsSync, readFileSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";

import { PROGRAM, closeOutSample, temporary, unpack } from "../common/bundles.js";
import { SAMPLE, addressOfPage, withScripts } from "../common/program_page.js";
import { startChromium, startFirefox } from "./drivers.js";

/** @typedef {import("./drivers.js").Opened} Opened */
/** @typedef {Record<string, string>} Row */

const closed = closeOutSample();
const bag = join(unpack(closed.zip), closed.name);
const address = addressOfPage(withScripts(pageOfCloseout()));

/** The page that the closeout wrote beside the zip. */
function pageOfCloseout() {
  const beside = join(dirname(closed.zip), `${closed.name}-start-here.html`);
  if (!existsSync(beside)) execFileSync(PROGRAM, ["page", closed.zip, "--out", beside], { stdio: "pipe" });
  return readFileSync(beside, "utf8");
}

/** The rows of a CSV file of the bundle (RFC 4180). @param {string} file below data/ @returns {Row[]} */
function rows(file) {
  // Those with other letters than ASCII begin with a byte order mark.
  const text = readFileSync(join(bag, "data", file), "utf8").replace(/^\ufeff/, "");
  const cells = [...text.matchAll(/(?:"((?:[^"]|"")*)"|([^,\r\n]*))(,|\r?\n|$)/g)].filter((one) => one[0] !== "");
  /** @type {string[][]} */
  const lines = [[]];
  for (const [, quoted, plain, end] of cells) {
    lines[lines.length - 1].push(quoted?.replaceAll('""', '"') ?? plain);
    if (end !== ",") lines.push([]);
  }
  const [names, ...rest] = lines.filter((line) => line.length > 0);
  return rest.map((line) => Object.fromEntries(names.map((name, n) => [name, line[n]])));
}

/** The row of a table that has a value. @param {string} file @param {Row} values */
function row(file, values) {
  const found = rows(file).filter((one) => Object.entries(values).every(([name, value]) => one[name] === value));
  assert.equal(found.length, 1, `${file} ${JSON.stringify(values)}`);
  return found[0];
}

/** A text as it is read: no-break and thin spaces are spaces, and a true minus is a hyphen. @param {string} text */
const read = (text) => text.replace(/[\u00a0\u2009\u202f]/g, " ").replaceAll("\u2212", "-");

/** What is read in an element. @param {Opened} opened @param {string} selector */
async function textOf(opened, selector) {
  return read(await opened.until((css) => {
    const found = /** @type {HTMLElement | null} */ (document.querySelector(css));
    return found !== null && found.innerText;
  }, selector));
}

/** Clicks with the mouse on what a person reads; `inside` says where on the page. @param {Opened} opened @param {string} selector @param {string} words @param {string} [inside] */
async function click(opened, selector, words, inside = "body") {
  const at = await opened.until(([css, said, within]) => {
    const seen = [...document.querySelectorAll(`${within} :is(${css})`)].filter((one) => one.getClientRects().length > 0);
    const named = seen.filter((one) => (one.textContent ?? "").replace(/\s+/g, " ").trim().startsWith(said));
    if (named.length === 0) return false;
    named[0].scrollIntoView({ block: "center" });
    const [box] = named[0].getClientRects();
    const [x, y] = [box.left + Math.min(box.width, 200) / 2, box.top + box.height / 2];
    // What lies over it is what a person would click.
    const over = document.elementFromPoint(x, y);
    return over !== null && (named[0].contains(over) || over.contains(named[0])) && { x, y };
  }, [selector, words, inside]);
  await opened.page.mouse.click(at.x, at.y);
}

/** Types into a field in place of what stands in it. @param {Opened} opened @param {string} id @param {string} text */
async function type(opened, id, text) {
  await opened.run((name) => {
    const field = /** @type {HTMLInputElement} */ (document.getElementById(name));
    field.scrollIntoView({ block: "center" });
    field.focus();
    field.select();
  }, id);
  await opened.page.keyboard.type(text);
}

/** What of the page is in sight. @param {Opened} opened @param {string} selector */
const inSight = (opened, selector) => opened.until((css) => {
  const box = document.querySelector(css)?.getBoundingClientRect();
  return box !== undefined && box.top < innerHeight && box.bottom > 0;
}, selector);

/** Asks the steel by typing a place. @param {Opened} opened @param {string} x @param {string} y */
async function askAt(opened, x, y) {
  await click(opened, "nav a", "Look at her");
  await type(opened, "ask-x", x);
  await type(opened, "ask-y", y);
  await opened.page.keyboard.press("Enter");
  return placeCard(opened);
}

/** The card of the place that was asked, by its headings. @param {Opened} opened @returns {Promise<(heading: string) => string>} */
async function placeCard(opened) {
  const parts = await opened.until(() => {
    const card = document.querySelector("#look .place");
    return card !== null && [...card.querySelectorAll("section")].map((one) => [one.querySelector("h4")?.textContent ?? "", /** @type {HTMLElement} */ (one).innerText]);
  });
  return (heading) => read(parts.find((/** @type {string[]} */ [name]) => name === heading)?.[1] ?? "");
}

/** @type {[string, (opened: Opened) => Promise<void>][]} */
const questions = [
  ["is it whole", async (opened) => {
    await click(opened, "nav a", "Is the bundle whole?");
    await inSight(opened, "#proof-zip");
    // Every file of a list, and the second list of the lists, which the page holds against the files that it names.
    const listed = ["manifest-sha256.txt", "tagmanifest-sha256.txt"].map((name) => readFileSync(join(bag, name), "utf8").trim().split("\n").length);
    await opened.choose("proof-zip", closed.zip);
    assert.match(await textOf(opened, "#proof-result:has(h3)"), new RegExp(`^As its own lists say; the seal is not compared yet\\s+${listed[0] + listed[1] + 1} files were held against the lists in the bundle \\(${listed[0]} of them`));
    await type(opened, "proof-seal", closed.seal);
    assert.match(await textOf(opened, "#proof-result"), /^Whole, and it is the bundle that the seal was made for/);
    // With one byte of a record another it is named, and nothing is called whole.
    const bytes = readFileSync(closed.zip);
    const at = bytes.indexOf("Forefoot in P1");
    assert.ok(at > 0);
    bytes[at] ^= 1;
    const changed = join(temporary(), "changed.zip");
    writeFileSync(changed, bytes);
    await opened.choose("proof-zip", changed);
    const found = await opened.until(() => document.querySelector("#proof-result h3.wrong") && /** @type {HTMLElement} */ (document.querySelector("#proof-result")).innerText);
    assert.match(found, /^Not whole[^]*data\/records\/papers\/papers\.csv changed/);
  }],

  ["which steel was never seen", async (opened) => {
    const never = rows("tables/recomputed-never-exposed.csv");
    assert.equal(never.length, 1);
    const [{ from_x_m, to_x_m, from_y_m, to_y_m, area_m2, hidden_by }] = never;
    const area = `${Number(area_m2).toFixed(3)} m²`;
    // It is the first thing that was not done, and the way from there leads to where it is.
    assert.ok((await textOf(opened, "#glance")).includes(`${area} of the bottom, in 1 piece, lay under blocks in every position`));
    await click(opened, "#glance a", "Exposure of the bottom");
    await inSight(opened, "#exposure h2");
    const [x, y] = [[from_x_m, to_x_m], [from_y_m, to_y_m]].map((ends) => ends.map((one) => Number(one).toFixed(3)).join(" to "));
    const said = await textOf(opened, "#exposure");
    assert.ok(said.includes(x) && said.includes(y) && said.includes(area), said);
    for (const block of hidden_by.split(";")) assert.match(said, new RegExp(`by ${block}\\b`));
    // On the plan it is black and has a letter; pointed at, it says so.
    await click(opened, "nav a", "Look at her");
    const at = await opened.until(() => {
      const black = document.querySelector("#look .look-plan .never");
      const letter = [...document.querySelectorAll("#look .look-plan text.label-never")];
      if (black === null || letter.length !== 1) return false;
      black.scrollIntoView({ block: "center" });
      const box = black.getBoundingClientRect();
      return { x: box.left + box.width / 2, y: box.top + box.height / 2, letter: letter[0].textContent };
    });
    await opened.page.mouse.click(at.x, at.y);
    const card = await placeCard(opened);
    for (const block of hidden_by.split(";")) assert.match(card("Under which block"), new RegExp(`under ${block}\\b`));
    assert.ok(card("Under which block").includes(`Never exposed in this docking: part ${at.letter}, ${area}`));
    assert.match(card("Whether it was ever seen"), /under blocks whenever the dock was dry/);
  }],

  ["what lies under K11 in the second position", async (opened) => {
    const [, second] = rows("tables/positions-positions.csv");
    await type(opened, "ask-thing", "K11");
    await click(opened, "#look button", "Steel there");
    await click(opened, "#look button", `Under K11 in ${second.position}`);
    const card = await placeCard(opened);
    assert.match(card("Under which block"), new RegExp(`${second.position} \\([^)]*\\): under K11\\b`));
    // Where it stood, by its station and where the stern reference point was.
    const block = row("tables/plan-blocks.csv", { block: "K11" });
    const taken = row("tables/recomputed-positions.csv", { position: second.position });
    const along = Number(block.station_m) - Number(taken.taken_srp_station_m);
    const stated = Number(/([\d.]+) m forward of the stern reference point/.exec(card("Where it is"))?.[1]);
    assert.ok(Math.abs(stated - along) < 0.02, `${stated} ${along}`);
    // In that position it hid steel that had its coats before: none of them is of that position.
    const part = row("tables/recomputed-coats.csv", { zone: "KL", hidden_in: second.position, chain: "1;2;3;4" });
    assert.equal(part.missing, "");
    holdsCoats(card("Its coats"), part.chain_lines.split(";"));
    assert.match(card("Its coats"), /Nothing of its scheme is missing/);
    // The same from the block's own card.
    await type(opened, "ask-thing", "K11");
    await click(opened, "#look button", "To its card");
    await inSight(opened, "[id='block.K11']");
    await click(opened, "a", `ask the steel under it in ${second.position}`, "[id='block.K11']");
    assert.match((await placeCard(opened))("Under which block"), new RegExp(`${second.position} \\([^)]*\\): under K11\\b`));
    await inSight(opened, "#look .place");
  }],

  ["which coats are on the steel at x 38.1, y 0.2, and when", async (opened) => {
    // Inside the piece that was never exposed: none.
    const [never] = rows("tables/recomputed-never-exposed.csv");
    assert.ok(Number(never.from_x_m) < 38.1 && 38.1 < Number(never.to_x_m) && Number(never.from_y_m) < 0.2 && 0.2 < Number(never.to_y_m));
    const part = row("tables/recomputed-coats.csv", { zone: "KL", hidden_in: "P1;P2" });
    assert.equal(part.chain, "");
    const bare = (await askAt(opened, "38.1", "0.2"))("Its coats");
    assert.match(bare, /^Its coats\s+No coat of this docking\.\s+Missing of its scheme: coats 1, 2, 3 and 4\./);
    assert.equal(part.missing, "1;2;3;4");
    assert.doesNotMatch(bare, /2031-04/);
    // Beside it, under K23 in P1 alone: all of them, put on in P2.
    const patched = row("tables/recomputed-coats.csv", { zone: "KL", hidden_in: "P1", chain: "1;2;3;4" });
    const coats = (await askAt(opened, "37.8", "0.2"))("Its coats");
    holdsCoats(coats, patched.chain_lines.split(";"));
  }],

  ["which photograph shows the stern", async (opened) => {
    // No caption has the word: that of the draft marks aft, the aftermost that were read, is of her stern.
    const papers = rows("tables/papers-papers.csv");
    assert.ok(papers.every(({ caption }) => !/\bstern\b/i.test(caption)));
    const number = papers.findIndex(({ caption }) => /^After draft marks\b/.test(caption)) + 1;
    const shows = papers[number - 1];
    assert.equal(shows.kind, "photograph");
    const marks = rows("tables/landing-drafts.csv").map(({ mark_x_m, note }) => ({ x: Number(mark_x_m), note }));
    assert.match(marks.reduce((one, other) => (other.x < one.x ? other : one)).note, /^aft /);
    await click(opened, "label", "Find in this page");
    await opened.page.keyboard.type("photograph stern");
    const found = await textOf(opened, "#found");
    assert.match(found, /words that mean nearly the same \(aft, after, abaft\)/);
    assert.ok(found.includes(shows.caption.slice(0, 40)), found);
    await click(opened, "#found a", `${number}. ${shows.caption.slice(0, 30)}`);
    await inSight(opened, "#papers .pictures :target");
    const beside = read(await opened.run(() => /** @type {HTMLElement} */ (document.querySelector("#papers .pictures li:has(:target)")).innerText));
    assert.ok(beside.includes(shows.file) && beside.includes(shows.by), beside);
    // The picture itself comes out of the bundle, and is shown beside its caption.
    await click(opened, "#papers a", "Is the bundle whole?");
    await opened.choose("proof-zip", closed.zip);
    await opened.until(() => document.querySelector("#proof-result h3") !== null);
    await click(opened, "nav a", "Photographs and papers");
    await click(opened, "button", "Show the picture", "#papers .pictures li:has([id^=found-])");
    const [width, alt] = await opened.until(() => {
      const image = document.querySelector("#papers .pictures .in-place img");
      return image instanceof HTMLImageElement && image.complete && image.naturalWidth > 0 && [image.naturalWidth, image.alt];
    });
    // The width of a PNG stands in its header (ISO/IEC 15948, 11.2.2).
    assert.equal(width, readFileSync(join(SAMPLE, "papers", shows.file)).readUInt32BE(16));
    assert.equal(alt, shows.caption);
  }],

  ["where to put her next time", async (opened) => {
    const study = JSON.parse(execFileSync(PROGRAM, ["shifts", SAMPLE, "--json"], { encoding: "utf8" }));
    const printed = execFileSync(PROGRAM, ["shifts", SAMPLE], { encoding: "utf8" }).replace(/\s+/g, " ");
    assert.ok(study !== null);
    await click(opened, "nav a", "For the next team");
    await inSight(opened, "#next-team h2");
    const said = (await textOf(opened, "#next-team")).replace(/\s+/g, " ");
    // Each aim that the command gives, with what it is missed by and what is near; and the caution with it.
    const aims = [...printed.matchAll(/Aim at ([^;]*?), which may be missed by ([\d.]+ m) either way/g)];
    assert.ok(aims.length >= 2, printed);
    for (const [aim] of aims) assert.ok(said.includes(aim), `${aim}: ${said}`);
    assert.match(said, /no approval to dock or to shift/);
    assert.match(said, /to reach what was never exposed/);
    // On the plan the shift is made: every step is a figure of the command's own table.
    await click(opened, "nav a", "Look at her");
    const best = /Aim at ([\d.]+ m (?:aft|forward)) of P1 as she lay/.exec(printed)?.[1] ?? "";
    await click(opened, "#look .look-slide button", best);
    const figures = await textOf(opened, "#look .step-figures");
    assert.match(figures, new RegExp(`The ship shifted\\s+${best}\\s+Hidden in both\\s+0\\.000 m²`));
    const near = [...printed.matchAll(/(?:and|there) (\w+) is [\d.]+ m from \w+ \([\d.]+ m wanted\)/g)].map(([, id]) => id);
    for (const id of new Set(near)) assert.match(figures, new RegExp(`\\b${id}\\b`));
    const table = [...printed.matchAll(/([\d.]+) m (aft|forward) ([\d.]+)(?= )/g)];
    const [, metres, way, hidden] = table.find(([, , , area]) => Number(area) > 10) ?? [];
    const by = Number(metres) * (way === "aft" ? -1 : 1);
    await opened.run(() => /** @type {HTMLElement} */ (document.querySelector("#look .slider input")).focus());
    const now = Number(await opened.run(() => /** @type {HTMLInputElement} */ (document.querySelector("#look .slider input")).value));
    for (let steps = Math.round((by - now) * 100); steps !== 0; steps -= Math.sign(steps)) await opened.page.keyboard.press(steps > 0 ? "ArrowRight" : "ArrowLeft");
    assert.match(await textOf(opened, "#look .step-figures"), new RegExp(`${Number(metres).toFixed(2)} m ${way}\\s+Hidden in both\\s+${hidden.replace(".", "\\.")} m²`));
  }],

  ["what must not be trusted", async (opened) => {
    const differs = rows("findings.csv").filter(({ outcome }) => outcome === "differs");
    assert.ok(differs.length > 3);
    await click(opened, "label", "Find in this page");
    await opened.page.keyboard.type("not to trust");
    await click(opened, "#found a", "What not to trust");
    await opened.until(() => document.querySelector("#next-team h3:target") !== null);
    /** @type {[string, string][]} */
    const lines = (await opened.run(() => {
      const list = document.querySelector("#next-team h3:target")?.nextElementSibling;
      return [...list?.querySelectorAll("li") ?? []].map((one) => [one.textContent, one.querySelector("a:last-of-type")?.getAttribute("href")]);
    })).map((/** @type {[string, string]} */ [text, href]) => [read(text), decodeURIComponent(href)]);
    for (const { finding, sentence } of differs) {
      assert.ok(lines.some(([text, href]) => text.startsWith(read(sentence)) && href.startsWith("#finding.")), `${sentence}: ${JSON.stringify(lines)}`);
      assert.ok(lines.some(([text]) => text.includes(`(${finding})`)), finding);
    }
    assert.equal(lines.filter(([text]) => differs.some(({ sentence }) => text.startsWith(read(sentence)))).length, differs.length);
    // Each leads to what was recorded and what was answered.
    const [{ finding, answer }] = differs;
    await click(opened, "#next-team li a", finding);
    await opened.until((id) => document.querySelector(":target")?.id === `finding.${id}`, finding);
    assert.ok(read(await opened.run(() => document.querySelector(":target")?.textContent)).includes(read(answer)), answer);
  }],
];

/** Whether a card lists coats with what their rows say. @param {string} card @param {string[]} lines of coating/coats.csv */
function holdsCoats(card, lines) {
  assert.equal(lines.length, 4);
  for (const record_line of lines) {
    const { application, product, batch, began } = row("tables/coating-coats.csv", { record_line });
    const at = began.slice(0, 16).replace("T", " ");
    assert.match(card, new RegExp(`${application}\\s+${product}\\s+${batch}\\s+${at} to `), card);
  }
}

for (const [name, start] of /** @type {const} */ ([["Chromium", startChromium], ["Firefox", startFirefox]])) {
  /** @type {Promise<{ open: (address: string) => Promise<Opened>, close: () => Promise<void> }> | undefined} */
  let browser;
  test.after(async () => (await browser)?.close());
  for (const [question, walk] of questions) {
    test(`${name}: ${question}`, { timeout: 120000 }, async () => {
      browser ??= start();
      const opened = await (await browser).open(address);
      await opened.page.waitForSelector("#look .hull-view svg[viewBox]");
      await walk(opened);
      assert.deepEqual(opened.errors, []);
      await opened.page.close();
    });
  }
}
