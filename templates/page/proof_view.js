// The part of the page in which a bundle is chosen, and what was found of it.

import { shown } from "./paths.js";
import { PAGE_FILE } from "./manifests.js";
import { inGroups } from "./seal.js";
import { STATE_WORDS, bytesInWords, verdictOf } from "./verdict.js";
import { button, byId, element, listOf } from "./elements.js";
import { pickedByDrop, pickedByInput } from "./picked.js";
import { forgetPapers, offerInPlace, showPapers } from "./papers_view.js";

/** Files that are listed one by one before a person asks for more. */
const FAULTS_AT_ONCE = 100;

/** Steps of progress that are said aloud. */
const SAID_STEPS = 4;

/**
 * What the page knows of the record that it was written for: the bundle's name and the ship's.
 * @typedef {{ bundle: string | null, ship: string }} WrittenFor
 */

/** A bundle that large is read by two workers. */
const SHARED_BUNDLE_BYTES = 64 * 2 ** 20;

/**
 * Brings the section to life.
 * @param {WrittenFor} record
 * @param {() => Worker} makeWorker
 */
export function startProofView(record, makeWorker) {
  const seal = /** @type {HTMLTextAreaElement} */ (byId("proof-seal"));
  const zipInput = /** @type {HTMLInputElement} */ (byId("proof-zip"));
  const folderInput = /** @type {HTMLInputElement} */ (byId("proof-folder"));
  const drop = byId("proof-drop");
  /** @type {Worker | null} */
  let worker = null;
  /** A second one, for a large bundle where there are processors for it. @type {Worker | null} */
  let second = null;
  /** @type {import("./worker.js").Summary | null} */
  let summary = null;
  /** @type {Map<number, (fetched: import("./worker.js").Fetched) => void>} */
  const awaited = new Map();
  let lastId = 0;

  const forget = () => {
    worker?.terminate();
    second?.terminate();
    worker = second = null;
    summary = null;
    awaited.clear();
    forgetPapers();
    byId("proof-papers-section").hidden = true;
    byId("proof-result").replaceChildren();
    byId("proof-running").hidden = true;
  };

  const say = (/** @type {string} */ words) => {
    byId("proof-status").className = "";
    byId("proof-status").textContent = words;
  };

  const refuse = (/** @type {string} */ called, /** @type {string} */ why) => {
    forget();
    say("It could not be checked.");
    byId("proof-result").append(element("h3", { class: "wrong" }, "Not checked"), element("p", {}, `${shown(called)}: ${why}.`));
  };

  const judge = () => {
    if (summary !== null) showResult(summary, seal.value, record);
  };

  /** @param {string} path @param {boolean} toSave @returns {Promise<import("./worker.js").Fetched>} */
  const fetchFile = (path, toSave) => new Promise((resolve) => {
    lastId += 1;
    awaited.set(lastId, resolve);
    worker?.postMessage({ do: "fetch", id: lastId, path, toSave });
  });

  const prove = (/** @type {import("./picked.js").Picked} */ picked) => {
    forget();
    const called = picked.called;
    let saidStep = 0;
    const began = performance.now();
    say(`Reading ${shown(called)}.`);
    showProgress(0, 0, "", 0);
    byId("proof-running").hidden = false;
    try {
      worker = makeWorker();
    } catch {
      return refuse(called, "this browser does not let the page start a worker: use the commands below");
    }
    worker.addEventListener("error", () => refuse(called, "the browser ended the page's worker, for want of memory perhaps: use the commands below"));
    worker.addEventListener("message", (/** @type {MessageEvent<import("./worker.js").Said>} */ event) => {
      const said = event.data;
      if (said.says === "refused") refuse(called, said.why);
      else if (said.says === "fetched") {
        awaited.get(said.id)?.(said.fetched);
        awaited.delete(said.id);
      } else if (said.says === "progress") {
        showProgress(said.bytes, said.all, said.path, performance.now() - began);
        const step = Math.floor(said.bytes / said.all * SAID_STEPS);
        if (step > saidStep && step < SAID_STEPS) say(`${step * 100 / SAID_STEPS} % read.`);
        saidStep = Math.max(step, saidStep);
      } else {
        second?.terminate();
        second = null;
        byId("proof-running").hidden = true;
        summary = said.summary;
        judge();
        byId("proof-papers-section").hidden = false;
        showPapers(summary.papers, fetchFile);
        if (summary.name === record.bundle) offerInPlace(summary.papers, fetchFile);
      }
    });
    const { zip, folder } = picked;
    const bytes = zip?.size ?? folder.reduce((sum, { file }) => sum + file.size, 0);
    if (bytes < SHARED_BUNDLE_BYTES || navigator.hardwareConcurrency < 2) {
      worker.postMessage({ do: "prove", zip, folder });
      return;
    }
    const { port1, port2 } = new MessageChannel();
    second = makeWorker();
    // What it can't do, the first does; but a file that it was reading when it ended would be waited for.
    second.addEventListener("error", () => refuse(called, "the browser ended a worker of the page, for want of memory perhaps: use the commands below"));
    second.postMessage({ do: "help", zip, folder }, [port1]);
    worker.postMessage({ do: "prove", zip, folder }, [port2]);
  };

  const proveChosen = (/** @type {HTMLInputElement} */ input) => {
    const list = input.files;
    if (list === null || list.length === 0) return;
    try {
      prove(pickedByInput(list));
    } catch (error) {
      refuse("What was chosen", error instanceof Error ? error.message : String(error));
    }
    // So that the same file can be chosen again.
    input.value = "";
  };

  zipInput.addEventListener("change", () => proveChosen(zipInput));
  folderInput.addEventListener("change", () => proveChosen(folderInput));
  byId("proof-stop").addEventListener("click", () => {
    forget();
    say("Stopped. Nothing is known of the bundle, since not all of it was read.");
    zipInput.focus();
  });
  seal.addEventListener("input", judge);
  // Anywhere on the page: a file that misses the place would otherwise take the page away.
  document.addEventListener("dragover", (event) => {
    event.preventDefault();
    drop.classList.add("over");
  });
  document.addEventListener("dragleave", () => drop.classList.remove("over"));
  document.addEventListener("drop", async (event) => {
    event.preventDefault();
    drop.classList.remove("over");
    if (event.dataTransfer === null) return;
    try {
      forget();
      say("Listing what was dropped.");
      prove(await pickedByDrop(event.dataTransfer));
    } catch (error) {
      refuse("What was dropped", error instanceof Error ? error.message : String(error));
    }
  });
  byId("proof-live").hidden = false;
  const pictures = document.querySelector("main .pictures");
  pictures?.before(element("p", { class: "note way" }, "They are shown here as they are in the bundle, once its zip is chosen under ", element("a", { href: "#proof-zip" }, "Is the bundle whole?"), "."));
}

/**
 * @param {number} bytes
 * @param {number} all
 * @param {string} path
 * @param {number} ms
 */
function showProgress(bytes, all, path, ms) {
  const bar = /** @type {HTMLProgressElement} */ (byId("proof-progress"));
  if (all > 0) bar.value = bytes / all;
  else bar.removeAttribute("value");
  const left = bytes > 0 && ms > 3000 ? `, about ${Math.ceil(ms / bytes * (all - bytes) / 1000)} s left` : "";
  byId("proof-count").textContent = all > 0 ? `${bytesInWords(bytes)} of ${bytesInWords(all)} read${left}` : "Reading the list of files";
  byId("proof-reading").textContent = shown(path);
}

/**
 * @param {import("./worker.js").Summary} summary
 * @param {string} typed
 * @param {WrittenFor} record
 */
function showResult(summary, typed, record) {
  const verdict = verdictOf(summary, typed);
  const place = byId("proof-result");
  place.replaceChildren(
    element("h3", { class: verdict.kind }, verdict.heading),
    ...verdict.sentences.map((sentence) => element("p", {}, sentence)),
  );
  if (summary.isSupplement) {
    place.append(element("p", {}, element("strong", {}, "A supplement. "), `What was read is ${shown(summary.name)}. To which record, its data/README.txt says; this page does not hold it against that. The program that wrote it does: lastdock verify, with both.`));
  } else if (record.bundle !== null && summary.name !== record.bundle) {
    place.append(element("p", {}, element("strong", {}, "Another bundle. "), `What was read is ${shown(summary.name)}; this page belongs to ${shown(record.bundle)}, a docking of ${shown(record.ship)}.`));
  }
  if (summary.faults.length > 0) {
    const list = element("ul", { class: "faults" });
    let next = 0;
    const addMore = () => {
      for (const { path, state, why } of summary.faults.slice(next, next + FAULTS_AT_ONCE)) {
        const words = STATE_WORDS[/** @type {keyof typeof STATE_WORDS} */ (state)];
        list.append(element("li", {}, element("code", {}, shown(path)), ` ${words}${why === "" ? "" : ` (${why})`}`));
      }
      next += FAULTS_AT_ONCE;
      more.hidden = next >= summary.faults.length;
      more.textContent = `List more (${summary.faults.length - next} left)`;
    };
    const more = button("", addMore);
    addMore();
    place.append(element("h4", {}, "Files that are not as listed"), list, more);
    if (summary.moreFaults > 0) place.append(element("p", {}, `And ${summary.moreFaults} more files, which are not listed here.`));
  }
  if (summary.wrong.length > 0) {
    place.append(element("h4", {}, "What else is not in order"), listOf(summary.wrong.map((sentence) => `${sentence}.`)));
  }
  place.append(element("h4", {}, "The seal"), element("p", {}, verdict.seal));
  if (summary.seal !== null) {
    place.append(element("p", {}, "The bundle's seal is ", element("code", { class: "seal" }, inGroups(summary.seal)), ". It proves something only where it is held against paper that was kept elsewhere."));
  }
  if (summary.notCompared.length > 0) place.append(element("h4", {}, "Not compared"), listOf(summary.notCompared));
  if (summary.pageDigest !== null) {
    place.append(element("h4", {}, "This page, as the bundle has it"), element("p", {}, `The SHA-256 of ${PAGE_FILE} in the bundle that was read is `, element("code", { class: "seal" }, summary.pageDigest), ". The page that you have open has to give the same, by the command below."));
  }
  const seconds = Math.max(0.1, summary.seconds);
  place.append(element("p", { class: "small" }, `${bytesInWords(summary.bytes)} read in ${seconds.toFixed(1)} s.`));
  // Said aloud only, since it stands in the heading.
  byId("proof-status").className = "heard";
  byId("proof-status").textContent = `${verdict.heading}. ${typed === "" ? "" : verdict.seal}`;
}
