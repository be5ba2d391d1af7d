// The two browsers, as they are installed: nothing is downloaded. Chromium is driven by Playwright over its own protocol;
// Firefox, which Playwright drives only in a build of its own, by Puppeteer over WebDriver BiDi.

import { chromium } from "playwright-core";
import puppeteer from "puppeteer-core";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { page as pageText } from "../common/join.js";
import { temporary } from "../common/bundles.js";

const CHROMIUM = process.env.CHROMIUM ?? "/usr/bin/chromium";
const FIREFOX = process.env.FIREFOX ?? "/usr/bin/firefox-esr";

/**
 * A page that is open.
 * @typedef {object} Opened
 * @property {any} page the driver's own
 * @property {(id: string, path: string) => Promise<void>} choose a file, or in Chromium a folder, by an input
 * @property {(script: (argument: any) => any, argument?: any) => Promise<any>} run a function in the page
 * @property {(script: (argument: any) => any, argument?: any) => Promise<any>} until it returns something
 * @property {string[]} errors that the page reported
 */

/** Writes the page; returns its address. */
export function pageAddress(record = { bundle: "thistle-quill-2029", ship: "Thistle Quill" }) {
  const file = join(temporary(), "start-here.html");
  writeFileSync(file, pageText(record));
  return pathToFileURL(file).href;
}

/**
 * Chromium; `open` gives a new page.
 * @param {string[]} [more] of its options
 */
export async function startChromium(more = []) {
  const browser = await chromium.launch({ executablePath: CHROMIUM, args: ["--no-sandbox", ...more] });
  /**
   * @param {string} address
   * @param {import("playwright-core").BrowserContextOptions} [options]
   * @returns {Promise<Opened>}
   */
  const open = async (address, options = {}) => {
    const page = await (await browser.newContext(options)).newPage();
    const errors = listened(page);
    await page.goto(address);
    return {
      page,
      errors,
      choose: (id, path) => page.setInputFiles(`#${id}`, path),
      run: (script, argument) => page.evaluate(script, argument),
      until: async (script, argument) => (await page.waitForFunction(script, argument, { timeout: 60000 })).jsonValue(),
    };
  };
  return { browser, open, close: () => browser.close() };
}

/** Firefox, likewise. */
export async function startFirefox() {
  const browser = await puppeteer.launch({ browser: "firefox", executablePath: FIREFOX, headless: true });
  /** @param {string} address @returns {Promise<Opened>} */
  const open = async (address) => {
    const page = await browser.newPage();
    const errors = listened(page);
    await page.goto(address);
    return {
      page,
      errors,
      choose: async (id, path) => {
        const input = /** @type {import("puppeteer-core").ElementHandle<HTMLInputElement>} */ (await page.$(`#${id}`));
        await input.uploadFile(path);
      },
      run: (script, argument) => page.evaluate(script, argument),
      until: async (script, argument) => (await page.waitForFunction(script, { timeout: 60000 }, argument)).jsonValue(),
    };
  };
  return { browser, open, close: () => browser.close() };
}

/**
 * What a page reports as wrong, from now on.
 * @param {any} page
 * @returns {string[]}
 */
function listened(page) {
  /** @type {string[]} */
  const errors = [];
  page.on("pageerror", (/** @type {Error} */ error) => errors.push(error.message));
  page.on("console", (/** @type {any} */ message) => {
    if (message.type() === "error") errors.push(message.text());
  });
  page.on("dialog", (/** @type {any} */ dialog) => {
    errors.push(`a dialog: ${dialog.message()}`);
    dialog.dismiss();
  });
  return errors;
}

/**
 * Chooses a bundle and waits for what is found.
 * @param {Opened} opened
 * @param {string} path
 * @param {string} [id]
 * @returns {Promise<string>}
 */
export async function prove(opened, path, id = "proof-zip") {
  await opened.run(() => document.querySelector("#proof-result")?.replaceChildren());
  await opened.choose(id, path);
  return opened.until(() => document.querySelector("#proof-result h3") && /** @type {HTMLElement} */ (document.querySelector("#proof-result")).innerText);
}

/**
 * Types a seal; returns what is found now.
 * @param {Opened} opened
 * @param {string} seal
 * @returns {Promise<string>}
 */
export function typeSeal(opened, seal) {
  return opened.run((text) => {
    const field = /** @type {HTMLTextAreaElement} */ (document.querySelector("#proof-seal"));
    field.value = text;
    field.dispatchEvent(new Event("input"));
    return /** @type {HTMLElement} */ (document.querySelector("#proof-result")).innerText;
  }, seal);
}
