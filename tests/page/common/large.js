// A large project: the sample with many more blocks and film readings. The same bytes every time.

import { cpSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";

import { ROOT, temporary } from "./bundles.js";

/** @param {{ blocks: number, readings: number }} size @returns {string} its folder */
export function largeProject({ blocks, readings }) {
  const folder = temporary();
  cpSync(join(ROOT, "sample-project"), folder, { recursive: true });
  const change = (/** @type {string} */ file, /** @type {(lines: string[]) => string[]} */ by) => {
    const lines = readFileSync(join(folder, file), "utf8").trimEnd().split("\n");
    writeFileSync(join(folder, file), `${by(lines).join("\n")}\n`);
  };
  // Small caps in two rows beside the keel blocks.
  change("plan/blocks.csv", (lines) => {
    const more = blocks - (lines.length - 1);
    const side = (/** @type {number} */ n) => (n % 2 === 0 ? ["port", "W", 1] : ["starboard", "V", -1]);
    return [...lines, ...Array.from({ length: more }, (_, n) => {
      const [name, letter, sign] = side(n);
      const station = 28 + Math.floor(n / 2) * 0.46;
      return `${letter}${n},bilge-${name},${station.toFixed(2)},${(Number(sign) * 0.92).toFixed(2)},300,350,1360,,5,0,fir,0.3,2100,,,,`;
    })];
  });
  // The readings again and again, each time with spots of their own; without the one whose place is mistyped, since the
  // answer to it is for one reading and not for fifty.
  change("coating/film.csv", ([header, ...rows]) => {
    const right = rows.filter((row) => !row.includes(",21.36,-0.14,")).map((row) => row.split(","));
    return [header, ...Array.from({ length: readings }, (_, n) => {
      const cells = [...right[n % right.length]];
      cells[3] += `-${Math.floor(n / right.length)}`;
      return cells.join(",");
    })];
  });
  return folder;
}
