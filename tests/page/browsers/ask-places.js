// Asks a page about places: node ask-places.js PAGE PLACES, where PLACES is a JSON list of pairs x, y in metres; prints
// the list of what the page's own function answers in a browser.
import { readFileSync } from "node:fs";
import { pathToFileURL } from "node:url";
import { chromium } from "playwright-core";

const [page, places] = process.argv.slice(2);
const browser = await chromium.launch({ executablePath: "/usr/bin/chromium", args: ["--no-sandbox"] });
try {
  const tab = await browser.newPage();
  await tab.goto(pathToFileURL(page).href);
  const answers = await tab.evaluate((all) => {
    // @ts-ignore: names of the page's script
    const { hull } = readRecord();
    // @ts-ignore
    return all.map(([x, y]) => askSteel(hull, x, y));
  }, JSON.parse(readFileSync(places, "utf8")));
  process.stdout.write(JSON.stringify(answers));
} finally {
  await browser.close();
}
