// The pictures of the page in README.md, taken of the sample's page in Chromium:
//
//     node common/pictures.js [FOLDER]
//
// FOLDER is templates/pictures/page/ if none is given.

import { join } from "node:path";
import { fileURLToPath } from "node:url";

import { startChromium } from "../browsers/drivers.js";
import { SAMPLE, addressOfPage, programPage } from "./program_page.js";

const FOLDER = process.argv[2] ?? fileURLToPath(new URL("../../../templates/pictures/page/", import.meta.url));

const browser = await startChromium();
try {
  const { page } = await browser.open(`${addressOfPage(programPage(SAMPLE))}#at=38.1,0.2`, { viewport: { width: 860, height: 900 } });
  await page.waitForSelector("#look .place");
  await page.evaluate(() => /** @type {HTMLElement} */ (document.activeElement).blur());
  await page.getByRole("button", { name: "Whole hull" }).first().click();
  await page.mouse.move(0, 0);
  // Until labels have found their places.
  await page.waitForTimeout(500);
  await page.evaluate(() => /** @type {HTMLElement} */ (document.activeElement).blur());
  // The plan with the choice of blocks above it and the buttons below; of the card its first parts.
  for (const [name, from, to] of [["plan", ".look-plan .positions", ".look-plan .under-plan"], ["asked", ".place > h3", ".place section:nth-of-type(3)"]]) {
    const clip = await page.evaluate((/** @type {string[]} */ ends) => {
      const [above, below] = ends.map((one) => /** @type {Element} */ (document.querySelector(`#look ${one}`)).getBoundingClientRect());
      return { x: 8, y: above.top + scrollY - 12, width: innerWidth - 16, height: below.bottom - above.top + 20 };
    }, [from, to]);
    await page.screenshot({ path: join(FOLDER, `${name}.png`), clip, fullPage: true });
  }
} finally {
  await browser.close();
}
