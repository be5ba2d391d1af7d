// Finding words in the page: what stands in its paragraphs, rows and captions.

/** @typedef {{ element: Element, under: string, text: string, plain: string }} Passage */

/** Passages that are listed at most. */
const MOST_FOUND = 60;
/** Letters of a passage shown before and after the word. */
const AROUND = 60;

/** Letters without case or accents, each for each where that is possible. @param {string} text */
export function plainly(text) {
  return text.normalize("NFKD").replace(/[\u0300-\u036f]/g, "").toLowerCase();
}

/** All passages of the page, in its order. @param {Document} page @returns {Passage[]} */
function passages(page) {
  /** @type {Passage[]} */
  const found = [];
  let under = "";
  const wanted = "main h2, main h3, main h4, main p, main li, main tr, main figcaption, main dt, main dd, main pre";
  for (const element of page.querySelectorAll(wanted)) {
    // What holds other passages is found by these.
    if (element.querySelector("p, tr, li, figcaption")) continue;
    const text = (element.textContent ?? "").replace(/\s+/g, " ").trim();
    if (/^H[23]$/.test(element.tagName)) under = text;
    if (text !== "") found.push({ element, under, text, plain: plainly(text) });
  }
  return found;
}

/**
 * Those that hold every word, and how many they are.
 * @param {Passage[]} all @param {string} sought @returns {Passage[]}
 */
export function holding(all, sought) {
  const words = plainly(sought).split(/\s+/).filter((word) => word !== "");
  if (words.length === 0) return [];
  return all.filter((passage) => words.every((word) => passage.plain.includes(word)));
}

/** A part of a passage round the first word sought. @param {Passage} passage @param {string} sought */
function excerpt(passage, sought) {
  const word = plainly(sought).split(/\s+/).find((one) => one !== "") ?? "";
  const at = passage.plain.length === passage.text.length ? passage.plain.indexOf(word) : 0;
  const [from, to] = [Math.max(0, at - AROUND), at + word.length + AROUND];
  const cut = passage.text.slice(from, to);
  return (from > 0 ? "… " : "") + cut + (to < passage.text.length ? " …" : "");
}

/** Makes the field find. */
export function startSearch() {
  const field = /** @type {HTMLInputElement | null} */ (document.getElementById("sought"));
  const answer = document.getElementById("found");
  if (field === null || answer === null) return;
  /** @type {Passage[] | undefined} */
  let all;
  field.addEventListener("input", () => {
    all ??= passages(document);
    const found = holding(all, field.value);
    answer.replaceChildren();
    if (field.value.trim() === "") return;
    const said = document.createElement("p");
    said.textContent =
      found.length === 0
        ? "Not found."
        : found.length === 1
          ? "Found in 1 place:"
          : found.length > MOST_FOUND
            ? `Found in ${found.length} places; the first ${MOST_FOUND}:`
            : `Found in ${found.length} places:`;
    const list = document.createElement("ul");
    found.slice(0, MOST_FOUND).forEach((passage, n) => {
      if (passage.element.id === "") passage.element.id = `found-${n}-${all?.indexOf(passage)}`;
      const link = document.createElement("a");
      link.href = `#${encodeURIComponent(passage.element.id)}`;
      link.textContent = excerpt(passage, field.value);
      const line = document.createElement("li");
      line.append(`${passage.under}: `, link);
      list.append(line);
    });
    answer.append(said, list);
  });
  field.closest("search")?.removeAttribute("hidden");
}
