// The page that the program writes, with the scripts and the style as they stand in templates/page/, so that a change of
// them is tested without building the program anew.

import { execFileSync } from "node:child_process";
import { createHash } from "node:crypto";
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";

const ROOT = fileURLToPath(new URL("../../../", import.meta.url));
const TEMPLATES = join(ROOT, "templates/page/");

/** The program; `LASTDOCK` names another than the one that was built. */
const PROGRAM = process.env.LASTDOCK ?? join(ROOT, "target/release/lastdock");

/** The sample project. */
export const SAMPLE = join(ROOT, "sample-project");

/** A folder of its own for a test file, taken away at the end. */
const folder = mkdtempSync(join(tmpdir(), "page-"));
process.on("exit", () => rmSync(folder, { recursive: true, force: true }));
let written = 0;

/** The modules joined as the program joins them, each after those that it imports. */
function joinedScript() {
  /** @type {Map<string, string>} */
  const done = new Map();
  const add = (/** @type {string} */ name) => {
    if (done.has(name)) return;
    const text = readFileSync(TEMPLATES + name, "utf8");
    for (const [, imported] of text.matchAll(/^import .* from "\.\/(.*)";$/gm)) add(imported);
    done.set(name, text);
  };
  add("main.js");
  const texts = [...done.values()];
  return `"use strict";\n${texts.map((text) => text.replace(/^import .*\n/gm, "").replace(/^export /gm, "")).join("")}`;
}

const digestOf = (/** @type {string} */ text) => `'sha256-${createHash("sha256").update(text).digest("base64")}'`;

/** The HTML of a project's page. @param {string} project */
export function programPage(project) {
  if (!existsSync(PROGRAM)) throw new Error(`${PROGRAM} is not there: build it, or name it in LASTDOCK`);
  const file = join(folder, `program-${(written += 1)}.html`);
  execFileSync(PROGRAM, ["page", project, "--out", file, "--replace"], { stdio: "pipe" });
  const [script, style] = [joinedScript(), readFileSync(`${TEMPLATES}page.css`, "utf8")];
  let html = readFileSync(file, "utf8");
  const put = (/** @type {RegExp} */ what, /** @type {(whole: string, before: string, after: string) => string} */ by) => {
    if (!what.test(html)) throw new Error(`the page has no ${what}`);
    html = html.replace(what, by);
  };
  put(/(<style>)[^]*?(<\/style>)/, (_, before, after) => before + style + after);
  put(/(<script(?: id="script")?>)[^]*?(<\/script>)/, (_, before, after) => before + script + after);
  put(/(script-src )'[^']*'/, (_, before) => before + digestOf(script));
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
