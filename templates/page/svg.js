// Elements of drawings.

/** @typedef {import("./record.js").Shape} Shape */

/** A new element of SVG with attributes and what stands in it. @param {string} name @param {Record<string, string | number>} attributes @param {(Node | string)[]} inside @returns {SVGElement} */
export function svgElement(name, attributes, ...inside) {
  const made = document.createElementNS("http://www.w3.org/2000/svg", name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, String(value));
  made.append(...inside);
  return made;
}

/** Shapes as the data of one path, in their own coordinates. @param {Shape[]} shapes */
export function pathOf(shapes) {
  let data = "";
  for (const shape of shapes) {
    for (const ring of shape) {
      ring.forEach(([x, y], n) => {
        data += `${n === 0 ? "M" : "L"}${x} ${y}`;
      });
      if (ring.length > 0) data += "Z";
    }
  }
  return data;
}

/** A ring of many corners in place of a circle. @param {[number, number]} centre @param {number} radius @returns {import("./record.js").Ring} */
export function ringRound(centre, radius) {
  const CORNERS = 32;
  return Array.from({ length: CORNERS }, (_, n) => {
    const turn = (n / CORNERS) * 2 * Math.PI;
    return [centre[0] + radius * Math.cos(turn), centre[1] + radius * Math.sin(turn)];
  });
}
