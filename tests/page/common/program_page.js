// The page that the program writes, with the scripts and the style as they stand in templates/page/, so that a change of
// them is tested without building the program anew.

import { execFileSync } from "node:child_process";
import { createHash } from "node:crypto";
import { existsSync, readFileSync, readdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";

import { GOLDEN, PROGRAM, ROOT, temporary } from "./bundles.js";
import { script, template } from "./join.js";

/** The sample project. */
export const SAMPLE = join(ROOT, "sample-project");

const folder = temporary();
let written = 0;

const digestOf = (/** @type {string} */ text) => `'sha256-${createHash("sha256").update(text).digest("base64")}'`;

/** The HTML of a project's page. @param {string} project */
export function programPage(project) {
  if (!existsSync(PROGRAM)) throw new Error(`${PROGRAM} is not there: build it, or name it in LASTDOCK`);
  const file = join(folder, `program-${(written += 1)}.html`);
  execFileSync(PROGRAM, ["page", project, "--out", file, "--replace"], { stdio: "pipe" });
  return withScripts(readFileSync(file, "utf8"));
}

/** A supplement to the golden bundle, which corrects a level and adds an anode. */
export function supplementToGolden() {
  const at = join(temporary(), "s1");
  const seal = () => execFileSync(PROGRAM, ["supplement", GOLDEN, at], { stdio: "pipe" });
  const change = (/** @type {string} */ path, /** @type {(text: string) => string} */ by) =>
    writeFileSync(join(at, path), by(readFileSync(join(at, path), "utf8")));
  seal();
  change("supplement.toml", (text) => text.replace('made_by = ""', 'made_by = "N. Harrowgate"').replace("# made_on", "made_on").replace('about = ""', 'about = "a level read wrongly"'));
  change("errata.csv", (text) => `${text}E1,,plan/blocks.csv,K2,,top_level_m,-1.801,-1.810,N. Harrowgate,2034-06-12,the level book has it\n`);
  change("hull/anodes.csv", (text) => `${text}A1,3.00,0.50,10,4,yes,2034-06-10T09:00:00+01:00,N. Harrowgate\n`);
  seal();
  return join(`${at}-sealed`, readdirSync(`${at}-sealed`).find((file) => file.endsWith(".zip")) ?? "");
}

/** The HTML of the golden bundle's page with what that supplement says. */
export function pageWithSupplement() {
  const out = join(folder, "with-supplement.html");
  execFileSync(PROGRAM, ["page", GOLDEN, "--supplement", supplementToGolden(), "--out", out], { stdio: "pipe" });
  return withScripts(readFileSync(out, "utf8"));
}

/** A page of the program with the scripts and the style as they stand. @param {string} html */
export function withScripts(html) {
  const [code, style] = [script(), template("page.css") + template("proof.css")];
  const put = (/** @type {RegExp} */ what, /** @type {(whole: string, before: string, after: string) => string} */ by) => {
    if (!what.test(html)) throw new Error(`the page has no ${what}`);
    html = html.replace(what, by);
  };
  put(/(<style>)[^]*?(<\/style>)/, (_, before, after) => before + style + after);
  put(/(<script(?: id="script")?>)[^]*?(<\/script>)/, (_, before, after) => before + code + after);
  put(/(script-src )'[^']*'/, (_, before) => before + digestOf(code));
  put(/(style-src )'[^']*'/, (_, before) => before + digestOf(style));
  return html;
}

/** The record that a page carries. @param {string} html @returns {import("../../../templates/page/record.js").PageRecord} */
export function recordIn(html) {
  return JSON.parse(/<script[^>]*id="record"[^>]*>([^]*?)<\/script>/.exec(html)?.[1] ?? "null");
}

/** A page with another record. @param {string} html @param {import("../../../templates/page/record.js").PageRecord} record */
export function withRecord(html, record) {
  const json = JSON.stringify(record).replaceAll("<", "\\u003c");
  return html.replace(/(<script[^>]*id="record"[^>]*>)[^]*?(<\/script>)/, (_, before, after) => before + json + after);
}

/** Writes a page; returns its address. @param {string} html */
export function addressOfPage(html) {
  const file = join(folder, `page-${(written += 1)}.html`);
  writeFileSync(file, html);
  return pathToFileURL(file).href;
}
