// Elements of the page. People's texts come in as text only, never as markup.

/**
 * The element of an id that the page is made with.
 * @param {string} id
 * @returns {HTMLElement}
 */
export function byId(id) {
  const element = document.getElementById(id);
  if (element === null) throw new Error(`the page has no element ${id}`);
  return element;
}

/**
 * A new element with attributes and what stands in it.
 * @param {string} name
 * @param {Record<string, string>} attributes
 * @param {(Node | string)[]} inside
 * @returns {HTMLElement}
 */
export function element(name, attributes, ...inside) {
  const made = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  made.append(...inside);
  return made;
}

/**
 * A list of sentences.
 * @param {(Node | string)[]} items
 * @returns {HTMLElement}
 */
export function listOf(items) {
  return element("ul", {}, ...items.map((item) => element("li", {}, item)));
}

/**
 * A button with what it does.
 * @param {string} label
 * @param {() => void} action
 * @returns {HTMLElement}
 */
export function button(label, action) {
  const made = element("button", { type: "button" }, label);
  made.addEventListener("click", action);
  return made;
}
