// What a person does with the page, in any browser.

import { test } from "node:test";
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { deflateRawSync } from "node:zlib";
import { GOLDEN, GOLDEN_SEAL, ROOT, bag, entriesOf, sealOf, temporary, zip } from "../common/bundles.js";
import { pageAddress, prove, typeSeal } from "./drivers.js";

const NOTE = "data/papers/note.txt";

/** A bundle with papers that try to be more than texts. */
const TAGS = '<img src=x onerror=alert(1)><script>alert(2)</script>';
const HOSTILE = bag({
  "data/records/docking.toml": "format = 1\n",
  "data/tables/papers-papers.csv": `record_line,file,kind,about,taken_at,by,caption\n2,stern.png,photograph,P1,2031-04-07T10:12:00Z,"Maud ""T"" <b>","${TAGS.replaceAll('"', '""')}"\n3,page.png,photograph,,,,javascript:alert(3)\n`,
  "data/papers/stern.png": readFileSync(`${ROOT}sample-project/papers/afloat.png`),
  "data/papers/page.png": `<!DOCTYPE html>${TAGS}`,
  "data/papers/drawing.svg": `<svg xmlns="http://www.w3.org/2000/svg" onload="alert(4)"><script>alert(5)</script></svg>`,
  "data/papers/letter.html": TAGS,
  "data/papers/letter.txt": `${TAGS}\n\u202ereversed`,
  [`data/papers/${TAGS.replaceAll("/", "")}.txt`]: "a name",
});

/** @param {string} name @param {Buffer} bytes */
function written(name, bytes) {
  const path = join(temporary(), name);
  writeFileSync(path, bytes);
  return path;
}

/**
 * @param {() => Promise<{ open: (address: string) => Promise<import("./drivers.js").Opened>, close: () => Promise<void> }>} start
 */
export function walks(start) {
  /** @type {Awaited<ReturnType<typeof start>>} */
  let browser;
  /**
   * @param {string} what
   * @param {(opened: import("./drivers.js").Opened) => Promise<void>} steps
   * @param {Parameters<typeof pageAddress>[0]} [record]
   */
  const walk = (what, steps, record) => {
    test(what, { timeout: 120000 }, async () => {
      browser ??= await start();
      const opened = await browser.open(pageAddress(record));
      await steps(opened);
      assert.deepEqual(opened.errors, []);
      await opened.page.close();
    });
  };
  test.after(() => browser?.close());

  walk("a whole bundle is proved; the seal is right, wrong, in part", async (opened) => {
    const found = await prove(opened, GOLDEN);
    assert.match(found, /^As its own lists say; the seal is not compared yet\n+77 files were held against/);
    const groups = GOLDEN_SEAL.toUpperCase().match(/.{4}/g)?.join(" ") ?? "";
    assert.match(await typeSeal(opened, groups), /^Whole, and it is the bundle that the seal was made for/);
    const wrong = await typeSeal(opened, `${groups.slice(0, 40)}${groups[40] === "0" ? "1" : "0"}${groups.slice(41)}`);
    assert.match(wrong, /^Not the bundle that this seal was made for/);
    assert.match(wrong, /first in group 9 of 16/);
    assert.match(await typeSeal(opened, groups.slice(0, 70)), /^As its own lists say[^]*Only 56 of 64 digits were typed/);
    assert.match(await typeSeal(opened, "seal"), /^As its own lists say[^]*“s” in group 1 is in no seal/);
  });

  walk("one byte changed is named, also where the right seal is typed before", async (opened) => {
    const bytes = readFileSync(GOLDEN);
    bytes[bytes.indexOf("K3,keel,12.00")] ^= 1;
    await typeSeal(opened, GOLDEN_SEAL);
    const found = await prove(opened, written("changed.zip", bytes));
    assert.match(found, /^Not whole\n+76 files of the bundle are as listed, by SHA-256; 1 changed\./);
    assert.match(found, /data\/records\/plan\/blocks.csv changed: it is not what is listed/);
    assert.match(found, /It is the seal of this bundle/);
  });

  walk("a file taken out and one added are named", async (opened) => {
    const files = bag({ "data/records/docking.toml": "format = 1\n", [NOTE]: "note\n" });
    const out = new Map(files);
    out.delete(NOTE);
    assert.match(await prove(opened, written("out.zip", zip(entriesOf(out)))), /^Not whole[^]*data\/papers\/note.txt missing: listed, but not there/);
    files.set("data/papers/more.txt", Buffer.from("more"));
    const found = await prove(opened, written("more.zip", zip(entriesOf(files))));
    assert.match(found, /^Not whole[^]*data\/papers\/more.txt not listed: there, but in no list/);
    assert.match(found, /Another bundle. What was read is bundle; this page belongs to thistle-quill-2029/);
  });

  walk("photographs and texts are shown as such, and whatever tries to be markup as letters", async (opened) => {
    const found = await prove(opened, written("hostile.zip", zip(entriesOf(HOSTILE))));
    assert.match(found, /has a character in its name that some systems don't accept/);
    await typeSeal(opened, sealOf(HOSTILE));
    await opened.run(() => /** @type {HTMLElement} */ (document.querySelector("#proof-papers > button")).click());
    const picture = await opened.until(() => {
      const image = document.querySelector("#proof-papers img");
      return image instanceof HTMLImageElement && image.complete && image.naturalWidth > 0 && { src: image.src, alt: image.alt };
    });
    assert.match(picture.src, /^blob:/);
    assert.equal(picture.alt, TAGS);
    const shownText = (/** @type {string} */ words) => opened.until((said) => {
      const papers = /** @type {HTMLElement} */ (document.querySelector("#proof-papers"));
      return papers.innerText.includes(said) && papers.innerText;
    }, words);
    assert.match(await shownText("javascript:alert(3)"), /Not shown, since it is not a kind of file that this page shows/);
    await opened.run(() => /** @type {HTMLElement} */ (document.querySelector('#proof-papers [aria-label="Show data/papers/letter.txt"]')).click());
    const buttons = await opened.run(() => [...document.querySelectorAll("#proof-papers button")].map((one) => one.getAttribute("aria-label")));
    for (const path of ["data/papers/drawing.svg", "data/papers/letter.html"]) {
      assert.ok(buttons.includes(`Save ${path}`) && !buttons.includes(`Show ${path}`), path);
    }
    const text = await shownText("[U+202E]reversed");
    assert.ok(text.includes(`${TAGS}\n[U+202E]reversed`));
    assert.equal(await opened.run(() => document.querySelectorAll("#proof img:not([src^='blob:']), #proof script, #proof svg, #proof iframe, #proof object, #proof embed, #proof b").length), 0);
  }, { bundle: `</script>${TAGS}&amp;`, ship: `"><svg onload=alert(6)>` });

  walk("a compressed bundle is read; bytes behind a compressed file are damage", async (opened) => {
    const files = bag({ "data/records/docking.toml": "format = 1\n", [NOTE]: "note\n".repeat(100000) });
    const entries = entriesOf(files).map((entry) => ({ ...entry, deflate: true }));
    assert.match(await prove(opened, written("deflated.zip", zip(entries))), /^The files are as listed, but something else is not in order[^]*8 of its files are compressed/);
    const packed = Buffer.concat([deflateRawSync(/** @type {Buffer} */ (files.get(NOTE))), Buffer.from("more")]);
    const odd = entries.map((entry) => (entry.name === `bundle/${NOTE}` ? { ...entry, packed } : entry));
    assert.match(await prove(opened, written("odd.zip", zip(odd))), /data\/papers\/note.txt unreadable: damaged or cut off \(its compressed bytes are damaged\)/);
  });

  walk("a bundle that two workers read is proved, and what is changed in it named", async (opened) => {
    const files = bag(Object.fromEntries(Array.from({ length: 10 }, (_, n) => [`data/papers/${n}.bin`, Buffer.alloc(8 * 2 ** 20, n + 1)])));
    const bytes = zip(entriesOf(files));
    const workers = await opened.run(() => {
      const count = { made: 0 };
      const Made = Worker;
      globalThis.Worker = class extends Made {
        /** @param {string | URL} address */
        constructor(address) {
          super(address);
          count.made += 1;
        }
      };
      Object.assign(globalThis, { count });
      return navigator.hardwareConcurrency;
    });
    assert.match(await prove(opened, written("large.zip", bytes)), /^As its own lists say[^]*10 of them are below data/);
    assert.equal(await opened.run(() => /** @type {any} */ (globalThis).count.made), workers < 2 ? 1 : 2);
    for (const n of [0, 1, 8]) bytes[bytes.indexOf(Buffer.alloc(100, n + 1)) + 4 * 2 ** 20] ^= 1;
    const found = await prove(opened, written("changed.zip", bytes));
    assert.match(found, /^Not whole[^]*0\.bin changed[^]*1\.bin changed[^]*8\.bin changed/);
    assert.equal(found.match(/\.bin/g)?.length, 3);
  });

  walk("what is no bundle gives a sentence", async (opened) => {
    assert.match(await prove(opened, `${ROOT}README.md`), /^Not checked\n+README.md: it is not a zip: it neither begins nor ends as one\./);
    const half = written("half.zip", readFileSync(GOLDEN).subarray(0, 800000));
    assert.match(await prove(opened, half), /^Not checked\n+half.zip: it begins as a zip, .*: it is cut off or damaged\./);
  });

  walk("the page itself is checked by the system's command, which it shows, against the bundle's line", async (opened) => {
    const name = "thistle-quill-2029-start-here.html";
    const folder = temporary();
    writeFileSync(join(folder, name), readFileSync(fileURLToPath(opened.page.url())));
    const files = bag({ "data/records/docking.toml": "format = 1\n", "data/start-here.html": readFileSync(join(folder, name)) });
    const found = await prove(opened, written("with-page.zip", zip(entriesOf(files))));
    const commands = await opened.run(() => [...document.querySelectorAll("#check-page dd code")].map((one) => one.textContent ?? ""));
    assert.equal(commands.length, 4);
    const digest = /The SHA-256 of data\/start-here.html in the bundle that was read is ([0-9a-f]{64})\./.exec(found)?.[1] ?? "";
    assert.match(String(files.get("manifest-sha256.txt")), new RegExp(`^${digest} .*data/start-here.html$`, "m"));
    for (const command of commands.filter((/** @type {string} */ one) => one.startsWith("sha"))) {
      assert.ok(execFileSync("sh", ["-c", command], { cwd: folder, encoding: "utf8" }).startsWith(digest), command);
    }
  });

  walk("a file that is dropped is proved, and does not take the page away", async (opened) => {
    const drop = (/** @type {string | null} */ bytes) => opened.run((bytes) => {
      const dropped = new DataTransfer();
      if (bytes !== null) dropped.items.add(new File([Uint8Array.from(atob(bytes), (sign) => sign.charCodeAt(0))], "dropped.zip"));
      document.body.dispatchEvent(new DragEvent("drop", { dataTransfer: dropped, bubbles: true, cancelable: true }));
    }, bytes);
    await drop(zip(entriesOf(HOSTILE)).toString("base64"));
    await opened.until(() => document.querySelector("#proof-result h3.wrong, #proof-result h3.open"));
    await drop(null);
    const found = await opened.until(() => (document.querySelector("#proof-result h3")?.textContent === "Not checked") && document.querySelector("#proof-result")?.textContent);
    assert.match(found, /What was dropped: nothing was chosen/);
  });
}
