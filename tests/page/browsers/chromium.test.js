import { test } from "node:test";
import assert from "node:assert/strict";
import { execFileSync, spawnSync } from "node:child_process";
import { createRequire } from "node:module";
import { appendFileSync, mkdirSync, readFileSync, rmSync, truncateSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { HtmlValidate } from "html-validate";
import { GOLDEN, GOLDEN_SEAL, bag, chance, closeOutSample, entriesOf, mutated, temporary, unpack, zip } from "../common/bundles.js";
import { page as pageText } from "../common/join.js";
import { supplementToGolden } from "../common/program_page.js";
import { pageAddress, prove, startChromium, typeSeal } from "./drivers.js";
import { walks } from "./walks.js";

const AXE = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const MUTATIONS = 200;

/** Where pictures of the page are put, to be looked at. */
const PICTURES = process.env.PAGE_PICTURES;

walks(startChromium);

/** @type {Awaited<ReturnType<typeof startChromium>>} */
let browser;
const started = async () => (browser ??= await startChromium());
test.after(() => browser?.close());

/** @type {ReturnType<typeof closeOutSample>} */
let sample;
const SAMPLE_RECORD = { bundle: "calder-wren-2031", ship: "Calder Wren" };

test("a folder is chosen, whole and with one file changed, one taken out and one added", async () => {
  const opened = await (await started()).open(pageAddress());
  const folder = join(unpack(GOLDEN), "thistle-quill-2029");
  assert.match(await prove(opened, folder, "proof-folder"), /^As its own lists say[^]*77 files were held/);
  assert.match(await typeSeal(opened, GOLDEN_SEAL), /^Whole, and it is the bundle/);
  appendFileSync(join(folder, "data/findings.csv"), "x");
  rmSync(join(folder, "data/papers/note.txt"));
  writeFileSync(join(folder, "data/papers/.hidden"), "more");
  const found = await prove(opened, folder, "proof-folder");
  assert.match(found, /^Not whole/);
  assert.match(found, /data\/findings.csv changed/);
  assert.match(found, /data\/papers\/note.txt missing/);
  assert.match(found, /data\/papers\/.hidden not listed/);
  assert.match(found, /It is the seal of this bundle/);
  assert.deepEqual(opened.errors, []);
});

test("a zip is dropped, a folder is dropped, two things are dropped", async () => {
  const opened = await (await started()).open(pageAddress());
  const protocol = await opened.page.context().newCDPSession(opened.page);
  const folder = join(unpack(GOLDEN), "thistle-quill-2029");
  const drop = async (/** @type {string[]} */ files) => {
    await opened.run(() => document.querySelector("#proof-result")?.replaceChildren());
    const data = { items: [], files, dragOperationsMask: 1 };
    for (const type of ["dragEnter", "dragOver", "drop"]) await protocol.send("Input.dispatchDragEvent", { type, x: 300, y: 250, data });
    return opened.until(() => document.querySelector("#proof-result h3") && /** @type {HTMLElement} */ (document.querySelector("#proof-result")).innerText);
  };
  assert.match(await drop([GOLDEN]), /^As its own lists say[^]*77 files were held/);
  assert.match(await drop([folder]), /^As its own lists say[^]*77 files were held/);
  assert.match(await drop([GOLDEN, GOLDEN]), /^Not checked\n+What was dropped: 2 files were chosen: choose one zip/);
});

test(`${MUTATIONS} damaged zips each give a sentence within 10 s`, { timeout: 300000 }, async () => {
  const opened = await (await started()).open(pageAddress());
  const whole = zip(entriesOf(bag({ "data/records/docking.toml": "format = 1\n", "data/papers/a.txt": "a", "data/papers/b.txt": "b".repeat(5000) })));
  const random = chance(19340401);
  const path = join(temporary(), "damaged.zip");
  let slowest = 0;
  const headings = new Map();
  for (let run = 0; run < MUTATIONS; run += 1) {
    writeFileSync(path, mutated(whole, random));
    const began = performance.now();
    const found = await prove(opened, path);
    slowest = Math.max(slowest, performance.now() - began);
    const heading = found.split("\n")[0];
    headings.set(heading, (headings.get(heading) ?? 0) + 1);
    assert.doesNotMatch(found, /itself failed|undefined|NaN|\[object/, `run ${run}`);
  }
  assert.ok(slowest < 10000, `${slowest} ms`);
  assert.ok((headings.get("Not checked") ?? 0) > 20 && (headings.get("Not whole") ?? 0) > 20, JSON.stringify([...headings]));
  assert.deepEqual(opened.errors, []);
});

test("it can be stopped, and then says that nothing is known", async () => {
  const opened = await (await started()).open(pageAddress());
  const path = join(temporary(), "large.zip");
  writeFileSync(path, zip(entriesOf(bag({ "data/a": Buffer.alloc(300 * 2 ** 20) }))));
  await opened.choose("proof-zip", path);
  await opened.until(() => /** @type {HTMLProgressElement} */ (document.querySelector("#proof-progress")).value > 0);
  await opened.page.click("#proof-stop");
  const seen = await opened.run(() => [document.querySelector("#proof-status")?.textContent, document.querySelector("#proof-result")?.textContent, document.activeElement?.id]);
  assert.deepEqual(seen, ["Stopped. Nothing is known of the bundle, since not all of it was read.", "", "proof-zip"]);
});

test("a file that changes while it is read is not called damaged, nor whole", async () => {
  const opened = await (await started()).open(pageAddress());
  const folder = join(temporary(), "bundle");
  for (const [path, bytes] of bag({ "data/a": Buffer.alloc(300 * 2 ** 20), "data/b": "b" })) {
    mkdirSync(join(folder, "data"), { recursive: true });
    writeFileSync(join(folder, path), bytes);
  }
  await opened.choose("proof-folder", folder);
  await opened.until(() => /** @type {HTMLProgressElement} */ (document.querySelector("#proof-progress")).value > 0);
  truncateSync(join(folder, "data/a"), 1000);
  const found = await opened.until(() => document.querySelector("#proof-result h3") && /** @type {HTMLElement} */ (document.querySelector("#proof-result")).innerText);
  assert.match(found, /^Not all of it could be checked[^]*data\/a could not be checked \(the browser could not read it/);
});

test("by keyboard alone: zip, seal, photographs, a text", async () => {
  sample ??= closeOutSample();
  const opened = await (await started()).open(pageAddress(SAMPLE_RECORD));
  const { page } = opened;
  const focused = () => opened.run(() => document.activeElement?.id || document.activeElement?.textContent);
  await page.keyboard.press("Tab");
  assert.equal(await focused(), "proof-zip");
  const chosen = page.waitForEvent("filechooser");
  // By now the browser has been told not to open a window of its own.
  await focused();
  await page.keyboard.press("Enter");
  await (await chosen).setFiles(sample.zip);
  await page.waitForSelector("#proof-result h3");
  await page.keyboard.press("Tab");
  assert.equal(await focused(), "proof-folder");
  await page.keyboard.press("Tab");
  assert.equal(await focused(), "proof-seal");
  await page.keyboard.type(sample.seal);
  assert.match(await page.innerText("#proof-result"), /^Whole, and it is the bundle that the seal was made for/);
  assert.match(await page.innerText("#proof-status"), /^Whole, and it is the bundle/);
  await page.keyboard.press("Tab");
  assert.match(await focused(), /^Show photographs \(1\d\)$/);
  await page.keyboard.press("Enter");
  await opened.until(() => document.querySelectorAll("#proof-papers img").length === 12);
  await page.waitForFunction(() => [...document.querySelectorAll("#proof-papers img")].every((image) => image instanceof HTMLImageElement && image.complete && image.naturalWidth > 0));
  const captions = await opened.run(() => [...document.querySelectorAll("figcaption strong")].map((one) => one.textContent));
  assert.ok(captions.includes("Caisson seated and its tanks flooded; pumping of the dock began eight minutes later."));
  await page.focus('[aria-label="Show data/papers/letter-k23.txt"]');
  await page.keyboard.press("Space");
  await page.waitForSelector("#proof-papers pre");
  assert.deepEqual(opened.errors, []);
});

test("a paper that is saved has the bytes of the bundle", async () => {
  sample ??= closeOutSample();
  const opened = await (await started()).open(pageAddress(SAMPLE_RECORD));
  await prove(opened, sample.zip);
  const [download] = await Promise.all([
    opened.page.waitForEvent("download"),
    opened.page.click('[aria-label="Save data/closeout-report.pdf"]'),
  ]);
  assert.equal(download.suggestedFilename(), "closeout-report.pdf");
  const saved = readFileSync(await download.path());
  assert.ok(saved.equals(readFileSync(join(unpack(sample.zip), "calder-wren-2031/data/closeout-report.pdf"))));
});

test("axe finds nothing, light, dark, high contrast and narrow; nothing is cut off at 320 px and at 200 %", { timeout: 180000 }, async () => {
  sample ??= closeOutSample();
  const damaged = readFileSync(GOLDEN);
  damaged[200] ^= 1;
  const path = join(temporary(), "damaged.zip");
  writeFileSync(path, damaged);
  /** @type {[string, import("playwright-core").BrowserContextOptions][]} */
  const looks = [
    ["wide", { viewport: { width: 1280, height: 900 } }],
    ["dark", { viewport: { width: 1280, height: 900 }, colorScheme: "dark" }],
    ["contrast", { viewport: { width: 1280, height: 900 }, forcedColors: "active" }],
    ["narrow", { viewport: { width: 320, height: 640 } }],
    // 200 % of a window of 1280 px is as wide as 640 px.
    ["enlarged", { viewport: { width: 640, height: 450 }, deviceScaleFactor: 2 }],
  ];
  for (const [look, options] of looks) {
    for (const [what, bundle] of [["whole", sample.zip], ["damaged", path]]) {
      if (what === "damaged" && !["wide", "contrast"].includes(look)) continue;
      const opened = await (await started()).open(pageAddress(SAMPLE_RECORD), { ...options, bypassCSP: true });
      await prove(opened, bundle);
      if (what === "whole") {
        await typeSeal(opened, sample.seal);
        await opened.page.click("#proof-papers > button");
        await opened.until(() => document.querySelectorAll("#proof-papers img").length === 12);
        await opened.page.click('[aria-label="Show data/papers/letter-k23.txt"]');
        await opened.page.waitForSelector("#proof-papers pre");
      }
      if (PICTURES !== undefined) await opened.page.screenshot({ path: join(PICTURES, `${look}-${what}.png`), fullPage: true });
      const width = await opened.run(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
      assert.ok(width <= 0, `${look}: ${width} px too wide`);
      await opened.page.addScriptTag({ content: AXE });
      const { violations } = await opened.run(() => /** @type {any} */ (globalThis).axe.run());
      assert.deepEqual(violations.map((/** @type {any} */ one) => `${look}: ${one.id}: ${one.nodes[0].html}`), []);
      await opened.page.context().close();
    }
  }
});

test("nothing is asked of any other place, and nothing is kept", async () => {
  const opened = await (await started()).open(pageAddress());
  /** @type {string[]} */
  const asked = [];
  opened.page.on("request", (/** @type {any} */ request) => asked.push(request.url()));
  await prove(opened, GOLDEN);
  assert.ok(asked.every((address) => address.startsWith("blob:")), asked.join());
  const refused = await opened.run(async () => {
    const tries = [() => fetch("https://example.org/"), () => fetch("data:,x"), () => new WebSocket("wss://example.org/")];
    return Promise.all(tries.map(async (one) => one()).map((done) => done.then((done) => (done instanceof WebSocket && done.readyState !== WebSocket.OPEN ? "refused" : "done"), () => "refused")));
  });
  assert.deepEqual(refused, Array(3).fill("refused"));
  assert.deepEqual(await opened.run(() => { try { return [localStorage.length, document.cookie]; } catch { return [0, ""]; } }), [0, ""]);
});

test("with scripts off the page says what it can't do, and the commands are there", async () => {
  const opened = await (await started()).open(pageAddress(), { javaScriptEnabled: false });
  const text = await opened.page.innerText("body");
  assert.match(text, /Scripts are switched off/);
  assert.match(text, /certutil -hashfile "thistle-quill-2029-start-here.html" SHA256/);
  assert.equal(await opened.page.isVisible("#proof-live"), false);
});

test("a supplement is called one, and nothing is said to be wrong with it", async () => {
  const opened = await (await started()).open(pageAddress());
  const found = await prove(opened, supplementToGolden());
  assert.match(found, /none that is listed is missing[^]*A supplement. What was read is thistle-quill-2029-s1. To which record, its data\/README.txt says/);
  assert.doesNotMatch(found, /Another bundle|not in order/);
});

test("the page is valid HTML", async () => {
  const validator = new HtmlValidate({ extends: ["html-validate:standard"], rules: { "long-title": "off" } });
  const report = await validator.validateString(pageText(SAMPLE_RECORD));
  assert.deepEqual(report.results.flatMap(({ messages }) => messages.map(({ line, ruleId, message }) => `${line}: ${ruleId}: ${message}`)), []);
});

test("a bundle of some GiB is proved in bounded memory", { timeout: 3600000, skip: process.env.PAGE_GIB === undefined && "PAGE_GIB is not set" }, async () => {
  const gib = Number(process.env.PAGE_GIB);
  const folder = temporary();
  const path = join(folder, "large.zip");
  execFileSync("python3", ["-c", LARGE_BUNDLE, path, String(gib)], { stdio: "inherit" });
  // Elapsed seconds, and those of the processor: where other work goes on beside, only the latter can be compared.
  const timed = spawnSync("bash", ["-c", 'TIMEFORMAT="%R s, %U s of the processor"; time sha256sum "$1"', "bash", path], { encoding: "utf8" });
  const own = await startChromium();
  try {
    const opened = await own.open(pageAddress());
    await opened.choose("proof-zip", path);
    let most = 0;
    let processor = 0;
    let found = "";
    while (found === "") {
      await new Promise((resolve) => setTimeout(resolve, 250));
      const { mib, seconds } = await largestRenderer(own);
      most = Math.max(most, mib);
      processor = Math.max(processor, seconds);
      found = await opened.run(() => (document.querySelector("#proof-result h3") ? document.querySelector("#proof-result")?.textContent : ""));
    }
    const seconds = Number(/read in ([\d.]+) s/.exec(found)?.[1]);
    process.stderr.write(`${gib} GiB: the page ${seconds} s (${(gib * 1073.74 / seconds).toFixed(0)} MB/s), ${processor} s of the processor; sha256sum ${timed.stderr.trim()}; the page's process at most ${most} MiB\n`);
    assert.match(found, /^As its own lists say/);
    assert.ok(most < 600, `${most} MiB`);
  } finally {
    await own.close();
  }
});

/**
 * The resident memory of the largest process of a browser that shows a page, and the time that one took of the processor.
 * @param {Awaited<ReturnType<typeof startChromium>>} own
 */
async function largestRenderer(own) {
  const protocol = await own.browser.newBrowserCDPSession();
  const { processInfo } = await protocol.send("SystemInfo.getProcessInfo");
  await protocol.detach();
  const ids = processInfo.filter(({ type }) => type === "renderer").map(({ id }) => String(id));
  const lines = execFileSync("ps", ["-o", "rss=,cputimes=", "-p", ids.join()], { encoding: "utf8" }).trim().split("\n");
  const [[kib, seconds]] = lines.map((line) => line.trim().split(/ +/).map(Number)).sort((a, b) => b[0] - a[0]);
  return { mib: Math.round(kib / 1024), seconds };
}

/** Writes a bundle of some GiB, stored, in files of 256 MiB; its bytes by chance, since zeros could be read faster. */
const LARGE_BUNDLE = `
import hashlib, os, sys, zipfile
path, gib = sys.argv[1], float(sys.argv[2])
block = os.urandom(1 << 20)
files = {}
with zipfile.ZipFile(path, "w", zipfile.ZIP_STORED, allowZip64=True) as out:
    def add(name, blocks):
        digests = hashlib.sha256(), hashlib.sha512()
        size = sum(len(one) for one in blocks())
        entry = zipfile.ZipInfo("large/" + name, (2031, 5, 16, 0, 0, 0))
        entry.file_size = size
        entry.external_attr = 0o100644 << 16
        with out.open(entry, "w") as file:
            for one in blocks():
                for digest in digests: digest.update(one)
                file.write(one)
        files[name] = [digest.hexdigest() for digest in digests], size
    for number in range(int(gib * 4)):
        add("data/papers/%d.bin" % number, lambda: (number.to_bytes(8, "big") + block[8:] for _ in range(256)))
    payload = dict(files)
    text = lambda name, said: add(name, lambda: [said.encode()])
    def manifest(name, which, of): text(name, "".join("%s  %s\\n" % (digests[which], path) for path, (digests, _) in of.items()))
    manifest("manifest-sha256.txt", 0, payload)
    manifest("manifest-sha512.txt", 1, payload)
    text("bagit.txt", "BagIt-Version: 1.0\\nTag-File-Character-Encoding: UTF-8\\n")
    text("bag-info.txt", "Payload-Oxum: %d.%d\\nDocking-Record-Format: 1\\n" % (sum(size for _, size in payload.values()), len(payload)))
    tags = {name: found for name, found in files.items() if name not in payload}
    manifest("tagmanifest-sha256.txt", 0, tags)
    manifest("tagmanifest-sha512.txt", 1, tags)
`;
