// Photographs and papers out of the proven bundle.

import { shown, shownText } from "./paths.js";
import { PAPERS } from "./papers.js";
import { mayBePicture, mayBeShown } from "./kinds.js";
import { bytesInWords } from "./verdict.js";
import { button, byId, element } from "./elements.js";

/** Papers that are listed, or pictures that are shown, before a person asks for more. */
const PAPERS_AT_ONCE = 50;
const PICTURES_AT_ONCE = 12;

/** The addresses of the blobs that are shown, to be given back. */
/** @type {Set<string>} */
const blobAddresses = new Set();

/**
 * @typedef {(path: string, toSave: boolean) => Promise<import("./worker.js").Fetched>} FetchFile
 */

/** Takes away what was shown of a bundle. */
export function forgetPapers() {
  byId("proof-papers").replaceChildren();
  for (const one of document.querySelectorAll("main .in-place")) one.remove();
  blobAddresses.forEach((address) => URL.revokeObjectURL(address));
  blobAddresses.clear();
}

/**
 * Lists the papers of a bundle, and shows each when asked for.
 * @param {import("./papers.js").Paper[]} papers those whose bytes were proved
 * @param {FetchFile} fetchFile
 */
export function showPapers(papers, fetchFile) {
  forgetPapers();
  const place = byId("proof-papers");
  const photographs = papers.filter(({ kind }) => kind === "photograph");
  const others = papers.filter(({ kind, path }) => kind !== "photograph" && path.startsWith(PAPERS));
  const documents = papers.filter(({ path }) => !path.startsWith(PAPERS));
  if (photographs.length > 0) {
    const figures = element("div", { class: "figures" });
    let next = 0;
    const showMore = () => {
      const some = photographs.slice(next, next + PICTURES_AT_ONCE);
      next += some.length;
      for (const paper of some) {
        const row = paperRow(paper, fetchFile, "figure");
        figures.append(row.place);
        row.show();
      }
      const left = photographs.length - next;
      more.hidden = left === 0;
      more.textContent = left <= PICTURES_AT_ONCE ? `Show the other ${left}` : `Show ${PICTURES_AT_ONCE} more of ${left} photographs`;
    };
    const more = button(`Show photographs (${photographs.length})`, showMore);
    place.append(element("h4", {}, "Photographs"), figures, more);
  }
  for (const [heading, some] of /** @type {const} */ ([["Papers", others], ["Report and texts", documents]])) {
    if (some.length > 0) place.append(element("h4", {}, heading), ...paperList(some, fetchFile));
  }
  if (papers.length === 0) place.append(element("p", {}, "None of them is whole, or there are none."));
}

/**
 * Offers pictures of the bundle also where the page speaks of them: on their cards and under their captions.
 * @param {import("./papers.js").Paper[]} papers those whose bytes were proved
 * @param {FetchFile} fetchFile
 */
export function offerInPlace(papers, fetchFile) {
  for (const paper of papers) {
    if (!paper.path.startsWith(PAPERS) || !mayBePicture(paper.path)) continue;
    const card = document.getElementById(`paper.${paper.path.slice(PAPERS.length)}`);
    if (card === null) continue;
    const captions = [...document.querySelectorAll("main .pictures li a")].filter((link) => link.getAttribute("href") === `#${encodeURIComponent(card.id)}` || link.getAttribute("href") === `#${card.id}`);
    for (const place of [card, ...captions.map((link) => /** @type {Element} */ (link.closest("li")))]) {
      const said = element("span", { role: "status" });
      const holder = element("div", { class: "in-place" });
      const show = button("Show the picture", async () => {
        said.textContent = "being read …";
        const fetched = await fetchFile(paper.path, false);
        if (fetched.blob === null || fetched.shown.as !== "picture") {
          said.textContent = fetched.blob === null ? `Not shown: ${fetched.why}.` : "Not shown, since its content is no picture.";
          return;
        }
        said.textContent = "Out of the bundle that was read, and as its own list has it.";
        holder.replaceChildren(picture(fetched.blob, paper, said), said);
      });
      show.setAttribute("aria-label", `Show the picture ${shown(paper.path)}`);
      holder.append(show, " ", said);
      place.append(holder);
    }
  }
}

/**
 * @param {import("./papers.js").Paper[]} papers
 * @param {FetchFile} fetchFile
 * @returns {HTMLElement[]}
 */
function paperList(papers, fetchFile) {
  const list = element("ul", { class: "papers" });
  let next = 0;
  const addMore = () => {
    for (const paper of papers.slice(next, next + PAPERS_AT_ONCE)) list.append(paperRow(paper, fetchFile, "li").place);
    next += PAPERS_AT_ONCE;
    more.hidden = next >= papers.length;
    more.textContent = `List more (${papers.length - next} left)`;
  };
  const more = button("", addMore);
  addMore();
  return [list, more];
}

/**
 * A paper with its name, what is recorded of it, and buttons to show and to save it.
 * @param {import("./papers.js").Paper} paper
 * @param {FetchFile} fetchFile
 * @param {"li" | "figure"} name
 * @returns {{ place: HTMLElement, show: () => Promise<void> }}
 */
function paperRow(paper, fetchFile, name) {
  const path = shown(paper.path);
  const recorded = [paper.kind, paper.about, paper.takenAt, paper.by].filter((text) => text !== "").map(shownText).join(", ");
  const view = element("div", { class: "view" });
  const said = element("span", { role: "status" });
  const show = async () => {
    said.textContent = "being read …";
    const fetched = await fetchFile(paper.path, false);
    said.textContent = "";
    if (fetched.blob === null) said.textContent = `Not shown: ${fetched.why}.`;
    else if (fetched.shown.as === "picture") view.replaceChildren(picture(fetched.blob, paper, said));
    else if (fetched.shown.as === "text") view.replaceChildren(element("pre", { tabindex: "0", role: "region", dir: "auto", "aria-label": path }, shownText(await fetched.blob.text())));
    else said.textContent = `Not shown, since it is ${fetched.shown.why}. It can be saved.`;
  };
  const save = async () => {
    said.textContent = "being read …";
    const fetched = await fetchFile(paper.path, true);
    said.textContent = fetched.blob === null ? `Not saved: ${fetched.why}.` : "";
    if (fetched.blob === null) return;
    const link = element("a", { href: addressOf(fetched.blob), download: path.slice(path.lastIndexOf("/") + 1) });
    document.body.append(link);
    link.click();
    link.remove();
  };
  const [showing, saving] = [button("Show", show), button("Save", save)];
  showing.setAttribute("aria-label", `Show ${path}`);
  saving.setAttribute("aria-label", `Save ${path}`);
  const words = [
    ...(paper.caption === "" ? [] : [element("strong", { dir: "auto", ...(paper.language === "" ? {} : { lang: paper.language }) }, shownText(paper.caption)), " "]),
    ...(recorded === "" ? [] : [`${recorded}. `]),
    element("code", {}, path),
    ` ${bytesInWords(paper.size)}`,
    element("span", { class: "actions" }, ...(name === "figure" || !mayBeShown(paper.path) ? [] : [showing, " "]), saving, " ", said),
  ];
  const place = name === "figure"
    ? element("figure", {}, view, element("figcaption", {}, ...words))
    : element("li", {}, ...words, view);
  return { place, show };
}

/**
 * @param {Blob} blob
 * @param {import("./papers.js").Paper} paper
 * @param {HTMLElement} said
 * @returns {HTMLElement}
 */
function picture(blob, paper, said) {
  const caption = paper.caption === "" ? "no caption recorded" : shownText(paper.caption);
  const image = element("img", { alt: caption, src: addressOf(blob) });
  image.addEventListener("error", () => {
    said.textContent = "Its bytes are whole, but this browser can't show it.";
    image.remove();
  });
  return image;
}

/**
 * @param {Blob} blob
 * @returns {string}
 */
function addressOf(blob) {
  const address = URL.createObjectURL(blob);
  blobAddresses.add(address);
  return address;
}
