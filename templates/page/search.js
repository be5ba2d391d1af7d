// Finding words in the page: what stands in its paragraphs, rows and captions.

/**
 * A stretch of the page. `under` are the headings that it stands under, the section's first. `plain` is its text without
 * case or accents, and `around` that of its headings.
 * @typedef {{ element: Element, under: string[], text: string, plain: string, around: string }} Passage
 */

/** Passages of one section that are listed at once at most, so that one section doesn't hide the others. */
const MOST_OF_SECTION = 8;
/** Letters of a passage shown before and after the word. */
const AROUND = 60;

/** Words of the trade that mean nearly the same: whoever asks for one may not know the other. */
const ALIKE = [
  ["stern", "aft", "after", "abaft"],
  ["bow", "forward", "fore", "forefoot"],
  ["paint", "coat", "coats", "coating"],
  ["thickness", "gauging", "gaugings"],
];

/** Letters without case or accents, each for each where that is possible. @param {string} text */
export function plainly(text) {
  return text.normalize("NFKD").replace(/[\u0300-\u036f]/g, "").toLowerCase();
}

/** @param {Element} element */
function textOf(element) {
  const text = element.tagName === "TR" ? [...element.children].map(({ textContent }) => textContent ?? "").filter((cell) => cell.trim() !== "").join("; ") : (element.textContent ?? "");
  return text.replace(/\s+/g, " ").trim();
}

/** All passages of the page, in its order. @param {Document} page @returns {Passage[]} */
function passages(page) {
  /** @type {Passage[]} */
  const found = [];
  /** @type {string[]} */
  let under = [];
  const wanted = "main h2, main h3, main h4, main p, main li, main tr, main figcaption, main .facts div, main dt, main dd, main pre";
  for (const element of page.querySelectorAll(wanted)) {
    // What holds other passages is found by these; what is asked of the steel comes and goes.
    if (element.querySelector("p, tr, li, figcaption") || element.closest(".place, .facts div > *")) continue;
    const text = element.matches(".facts div") ? [...element.children].map(textOf).join(": ") : textOf(element);
    if (element.tagName === "H2") under = [text];
    if (element.tagName === "H3") under = [...under.slice(0, 1), text];
    if (text !== "") found.push({ element, under, text, plain: plainly(text), around: plainly(under.join(" ")) });
  }
  return found;
}

/** The words that somebody seeks. @param {string} sought */
function wordsOf(sought) {
  return plainly(sought).split(/\s+/).filter((word) => word !== "");
}

/** Words that mean nearly the same as another. @param {string} word */
export function wordsLike(word) {
  return ALIKE.filter((group) => group.includes(word)).flatMap((group) => group.filter((one) => one !== word));
}

/** Where a whole word begins in a text; -1 if it isn't there. @param {string} plain @param {string} word */
function wholeWordAt(plain, word) {
  return plain.search(new RegExp(`(?<![\\p{L}\\p{N}])${word}(?![\\p{L}\\p{N}])`, "u"));
}

/**
 * The passages that hold every word, themselves or in their headings, and one of them themselves; then those that do so
 * only with words that mean nearly the same.
 * @param {Passage[]} all @param {string} sought @returns {{ same: Passage[], like: Passage[] }}
 */
export function holding(all, sought) {
  const words = wordsOf(sought).map((word) => ({ word, like: wordsLike(word) }));
  /** @type {[Passage[], Passage[]]} */
  const [same, like] = [[], []];
  if (words.length === 0) return { same, like };
  for (const passage of all) {
    if (words.every(({ word }) => passage.plain.includes(word) || passage.around.includes(word))) {
      if (words.some(({ word }) => passage.plain.includes(word))) same.push(passage);
      continue;
    }
    const holds = (/** @type {{ word: string, like: string[] }} */ { word, like }) => passage.plain.includes(word) || like.some((one) => wholeWordAt(passage.plain, one) >= 0);
    if (words.some(holds) && words.every((one) => holds(one) || passage.around.includes(one.word))) like.push(passage);
  }
  return { same, like };
}

/** A part of a passage round the first word sought that it holds. @param {Passage} passage @param {string} sought */
function excerpt(passage, sought) {
  const words = wordsOf(sought);
  const places = [...words.map((word) => passage.plain.indexOf(word)), ...words.flatMap(wordsLike).map((word) => wholeWordAt(passage.plain, word))];
  const first = places.find((at) => at >= 0) ?? 0;
  const at = passage.plain.length === passage.text.length ? first : 0;
  const [from, to] = [Math.max(0, at - AROUND), at + (words[0]?.length ?? 0) + AROUND];
  const cut = passage.text.slice(from, to);
  return (from > 0 ? "… " : "") + cut + (to < passage.text.length ? " …" : "");
}

/** @param {number} count */
function placesInWords(count) {
  return count === 1 ? "1 place" : `${count} places`;
}

/** Makes the field find. */
export function startSearch() {
  const field = /** @type {HTMLInputElement | null} */ (document.getElementById("sought"));
  const answer = document.getElementById("found");
  if (field === null || answer === null) return;
  // How many are found is told to those who listen; they go through the list themselves.
  const told = document.createElement("p");
  told.className = "unseen";
  told.setAttribute("role", "status");
  answer.before(told);
  /** @type {Passage[] | undefined} */
  let all;
  /** @param {Passage} passage */
  const linkTo = (passage) => {
    if (passage.element.id === "") passage.element.id = `found-${all?.indexOf(passage)}`;
    const link = document.createElement("a");
    link.href = `#${encodeURIComponent(passage.element.id)}`;
    link.textContent = excerpt(passage, field.value);
    const line = document.createElement("li");
    line.append(...(passage.under.length > 1 && passage.under[1] !== passage.text ? [`${passage.under[1]}: `] : []), link);
    return line;
  };
  /** Lists passages under their sections. @param {string} said @param {Passage[]} some */
  const list = (said, some) => {
    const head = document.createElement("p");
    head.textContent = said;
    told.textContent += `${said} `;
    answer.append(head);
    /** @type {Map<string, Passage[]>} */
    const sections = new Map();
    for (const passage of some) {
      const [section] = passage.under;
      const inIt = sections.get(section);
      if (inIt === undefined) sections.set(section, [passage]);
      else inIt.push(passage);
    }
    for (const [section, inIt] of sections) {
      const title = document.createElement("p");
      title.className = "section";
      title.textContent = `${section}, ${placesInWords(inIt.length)}`;
      const lines = document.createElement("ul");
      lines.append(...inIt.slice(0, MOST_OF_SECTION).map(linkTo));
      answer.append(title, lines);
      const more = inIt.slice(MOST_OF_SECTION);
      if (more.length === 0) continue;
      const button = document.createElement("button");
      button.type = "button";
      button.textContent = `${more.length} more of ${section}`;
      button.addEventListener("click", () => {
        const made = more.map(linkTo);
        lines.append(...made);
        button.remove();
        made[0].querySelector("a")?.focus();
      });
      answer.append(button);
    }
  };
  field.addEventListener("input", () => {
    all ??= passages(document);
    const { same, like } = holding(all, field.value);
    answer.replaceChildren();
    told.textContent = "";
    if (field.value.trim() === "") return;
    if (same.length === 0 && like.length === 0) list("Not found.", []);
    if (same.length > 0) list(`Found in ${placesInWords(same.length)}:`, same);
    if (like.length > 0) {
      const also = [...new Set(wordsOf(field.value).flatMap(wordsLike))].join(", ");
      list(`${same.length > 0 ? "And in" : "Not found itself, but in"} ${placesInWords(like.length)} with words that mean nearly the same (${also}):`, like);
    }
  });
  field.closest("search")?.removeAttribute("hidden");
}
