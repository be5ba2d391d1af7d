// Plane geometry of what lies on the hull. Lengths are metres.

/** @typedef {import("./record.js").Ring} Ring */
/** @typedef {import("./record.js").Shape} Shape */
/** From aft to forward and from starboard to port. @typedef {{ aft: number, forward: number, starboard: number, port: number }} Extent */

/** A point so near to an edge lies on it: far less than anything is measured on a hull, more than arithmetic loses. */
export const ON_EDGE_M = 1e-9;

/** From a point to a line between two others. @param {number} x @param {number} y @param {[number, number]} from @param {[number, number]} to */
function distanceToLine(x, y, from, to) {
  const [along, across] = [to[0] - from[0], to[1] - from[1]];
  const square = along * along + across * across;
  const part = square === 0 ? 0 : ((x - from[0]) * along + (y - from[1]) * across) / square;
  const t = Math.min(1, Math.max(0, part));
  return Math.hypot(x - from[0] - t * along, y - from[1] - t * across);
}

/** Calls a function with both ends of every line of a ring. @param {Ring} ring @param {(from: [number, number], to: [number, number]) => void} each */
export function eachLine(ring, each) {
  for (let n = 0; n < ring.length; n += 1) each(ring[n], ring[(n + 1) % ring.length]);
}

/** From a point to the nearest edge of a shape, whether it lies in it or not. @param {Shape} shape @param {number} x @param {number} y */
export function distanceToEdge(shape, x, y) {
  let least = Infinity;
  for (const ring of shape) {
    eachLine(ring, (from, to) => {
      least = Math.min(least, distanceToLine(x, y, from, to));
    });
  }
  return least;
}

/**
 * Whether a shape holds a point: inside its outer ring and in none of its holes. A point on an edge, also on that of a
 * hole, counts as inside.
 * @param {Shape} shape @param {number} x @param {number} y
 */
export function holdsPoint(shape, x, y) {
  let inside = false;
  for (const ring of shape) {
    eachLine(ring, (from, to) => {
      if (from[1] > y === to[1] > y) return;
      if (x < from[0] + ((y - from[1]) / (to[1] - from[1])) * (to[0] - from[0])) inside = !inside;
    });
  }
  return inside || distanceToEdge(shape, x, y) <= ON_EDGE_M;
}

/** Whether one of some shapes holds a point. @param {Shape[]} shapes @param {number} x @param {number} y */
export function anyHoldsPoint(shapes, x, y) {
  return shapes.some((shape) => holdsPoint(shape, x, y));
}

/**
 * From a point to the edge of an opening; 0 inside. One without a size is its centre.
 * @param {import("./record.js").Opening} opening @param {number} x @param {number} y
 */
export function distanceToOpening(opening, x, y) {
  if (opening.shape !== null) return holdsPoint(opening.shape, x, y) ? 0 : distanceToEdge(opening.shape, x, y);
  const toCentre = Math.hypot(x - opening.centre[0], y - opening.centre[1]);
  return Math.max(0, toCentre - (opening.diameter ?? 0) / 2);
}

/** The smallest upright rectangle that holds all points; null for none. @param {Iterable<[number, number]>} points @returns {Extent | null} */
export function extentOfPoints(points) {
  const found = { aft: Infinity, forward: -Infinity, starboard: Infinity, port: -Infinity };
  for (const [x, y] of points) {
    found.aft = Math.min(found.aft, x);
    found.forward = Math.max(found.forward, x);
    found.starboard = Math.min(found.starboard, y);
    found.port = Math.max(found.port, y);
  }
  return found.aft <= found.forward ? found : null;
}

/** That of a shape. @param {Shape} shape */
export function extentOfShape(shape) {
  return extentOfPoints(shape.flat());
}

/** An opening's. @param {import("./record.js").Opening} opening @returns {Extent} */
export function extentOfOpening(opening) {
  const of = opening.shape === null ? null : extentOfShape(opening.shape);
  const [half, [x, y]] = [(opening.diameter ?? 0) / 2, opening.centre];
  return of ?? { aft: x - half, forward: x + half, starboard: y - half, port: y + half };
}

/** The middle of an extent. @param {Extent} extent @returns {[number, number]} */
export function middleOf(extent) {
  return [(extent.aft + extent.forward) / 2, (extent.starboard + extent.port) / 2];
}
