// Joins the modules of the page's script, and makes a page of them with an example record, by the rule that stands at the
// head of templates/page/main.js.

import { createHash } from "node:crypto";
import { readFileSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";

const TEMPLATES = fileURLToPath(new URL("../../../templates/page/", import.meta.url));

/** @param {string} name */
export function template(name) {
  return readFileSync(TEMPLATES + name, "utf8");
}

/**
 * The modules in the order of the script, by name.
 * @returns {Map<string, string>}
 */
export function modules() {
  const done = new Map();
  const add = (/** @type {string} */ name) => {
    if (done.has(name)) return;
    const text = template(name);
    for (const [, imported] of text.matchAll(/^import .* from "\.\/(.*)";$/gm)) add(imported);
    done.set(name, text);
  };
  add("main.js");
  return done;
}

/** The script, of all modules. */
export function script() {
  const texts = [...modules().values()];
  return `"use strict";\n${texts.map((text) => text.replace(/^import .*\n/gm, "").replace(/^export /gm, "")).join("")}`;
}

/** @param {string} text */
function escaped(text) {
  return text.replaceAll("&", "&amp;").replaceAll("<", "&lt;").replaceAll('"', "&quot;");
}

/** @param {string} text */
function digest(text) {
  return `'sha256-${createHash("sha256").update(text).digest("base64")}'`;
}

/**
 * The page.
 * @param {{ bundle: string, ship: string }} record
 */
export function page(record) {
  const [code, style] = [script(), template("page.css") + template("proof.css")];
  const policy = `default-src 'none'; script-src ${digest(code)}; style-src ${digest(style)}; img-src data: blob:; worker-src blob:; base-uri 'none'; form-action 'none'`;
  return `<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${escaped(record.ship)}: start here</title>
<style>${style}</style>
</head>
<body>
<main>
<h1>${escaped(record.ship)}</h1>
<h2>Is the bundle whole?</h2>
${(template("proof.html") + template("check_page.html")).replaceAll("NAME", escaped(record.bundle))}</main>
<script type="application/json" id="record">${JSON.stringify(record).replaceAll("<", "\\u003c")}</script>
<script>${code}</script>
</body>
</html>
`;
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const [file, bundle, ship] = process.argv.slice(2);
  writeFileSync(file, page({ bundle, ship }));
}
