// What must hold of the script's text as a whole.

import { test } from "node:test";
import assert from "node:assert/strict";
import { readdirSync } from "node:fs";
import { modules, script, template } from "../common/join.js";
import { ROOT } from "../common/bundles.js";

const names = readdirSync(`${ROOT}templates/page`).filter((name) => name.endsWith(".js"));

test("every module is in the script, once", () => {
  assert.deepEqual([...modules().keys()].sort(), names.sort());
});

test("imports and exports have the one form that the joining rule knows", () => {
  for (const [name, text] of modules()) {
    for (const line of text.split("\n")) {
      if (/^\s*import\b/.test(line)) assert.match(line, /^import \{ \w+(, \w+)* \} from "\.\/\w+\.js";$/, name);
      if (/^\s*export\b/.test(line)) assert.match(line, /^export (async )?(function\*?|const|class) \w+/, name);
    }
    assert.ok(text.endsWith("\n") && !text.endsWith("\n\n"), name);
  }
});

test("no module imports, by way of others, one that stands behind it", () => {
  const order = [...modules().keys()];
  for (const [name, text] of modules()) {
    for (const [, imported] of text.matchAll(/^import .* from "\.\/(.*)";$/gm)) {
      assert.ok(order.indexOf(imported) < order.indexOf(name), `${name} imports ${imported}`);
    }
  }
});

test("no name is used at the outermost level of two modules", () => {
  /** @type {Map<string, string>} */
  const used = new Map();
  for (const [module, text] of modules()) {
    for (const [, name] of text.matchAll(/^(?:export )?(?:async )?(?:function\*?|const|let|class) (\w+)/gm)) {
      assert.equal(used.get(name), undefined, `${name} in ${module}`);
      used.set(name, module);
    }
    assert.doesNotMatch(text, /^(?:export )?(?:const|let|var) [[{]/m, module);
    assert.doesNotMatch(text, /^(?:export )?(?:const|let) [^=;]*,/m, module);
  }
  assert.ok(used.size > 50);
});

test("people's texts have no way to become markup or script, and nothing leaves the page", () => {
  // The fragment of the address leads nowhere else.
  const code = script().replaceAll("location.hash", "");
  for (const word of ["innerHTML", "outerHTML", "insertAdjacentHTML", "document.write", "DOMParser", "createContextualFragment", "setHTML", "srcdoc", "eval(", "new Function", "fetch(", "XMLHttpRequest", "WebSocket", "EventSource", "sendBeacon", "importScripts", "localStorage", "sessionStorage", "indexedDB", "document.cookie", "window.open", "location"]) {
    assert.ok(!code.includes(word), word);
  }
  for (const [, address] of (template("proof.html") + template("check_page.html")).matchAll(/\b(?:href|src|action)=("[^"]*")/g)) assert.fail(address);
});

test("it can stand in an element of HTML", () => {
  assert.doesNotMatch(script(), /<\/script|<!--|\r/i);
  assert.doesNotMatch(template("proof.css"), /<\/style|<!--|url\(|@import/i);
});

test("the section has every element that the script asks for, and each id once", () => {
  const ids = [...template("proof.html").matchAll(/ id="([^"]*)"/g)].map(([, id]) => id);
  assert.equal(new Set(ids).size, ids.length);
  const asked = [...script().matchAll(/byId\("([^"]*)"\)/g)].map(([, id]) => id);
  assert.ok(asked.length > 10);
  for (const id of asked) assert.ok(ids.includes(id), id);
});
