// Where the script of the page begins.
//
// The page is one file. The modules are joined into one script in this way: beginning with main.js, before each module
// come the modules that its import lines name, in the order of these lines, each once; of every module the lines that
// begin with "import " are left out, and "export " at the beginning of a line; before all of them stands the line
// "use strict"; with a semicolon. No name is used twice at the outermost level of any two modules.
//
// What the page holds for the proof:
//  - proof.html, with NAME in it replaced by the bundle's name as text of HTML, under a heading of the second level; left
//    out as long as there is no bundle. Where the page itself lies in the bundle, check_page.html comes behind it;
//  - proof.css in the page's one style element;
//  - in a script element of the type application/json with the id "record", every "<" in it written as \u003c, an object
//    with at least these two, the bundle's name (its folder's in the zip) and the ship's:
//
//      {"bundle": "calder-wren-2031", "ship": "Calder Wren"}
//
//  - the script itself, as the last thing in the body. Workers are made of the same text. Neither the end tag of a script
//    nor the beginning of a comment of HTML may stand in it.
//
// The page's policy: default-src 'none'; script-src and style-src the digests of these two elements; img-src data: blob:;
// worker-src blob:; base-uri 'none'; form-action 'none'.

import { startLook } from "./look.js";
import { makeOwnWorker } from "./own_worker.js";
import { startProofView } from "./proof_view.js";
import { readRecord } from "./record.js";
import { startSearch } from "./search.js";
import { startWorker } from "./worker.js";

if (typeof document === "undefined") {
  startWorker();
} else {
  startPage();
}

function startPage() {
  const record = readRecord();
  const { bundle } = record;
  // First, since it must not hang on the others.
  if (bundle !== null) startProofView({ ...record, bundle }, makeOwnWorker);
  startSearch();
  startLook(record);
}
