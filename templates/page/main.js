// Where the script of the page begins.
//
// The page is one file. The program joins these modules into one script, in this way: beginning with main.js, before
// each module come the modules that its import lines name, in the order of these lines, each once; of every module the
// lines that begin with "import " are left out, and "export " at the beginning of a line; before all of them stands the
// line "use strict"; with a semicolon. No name is used twice at the outermost level of any two modules.
//
// What the page holds for it:
//  - the section of proof.html, if there is a bundle yet, with NAME in it replaced by the bundle's name as text of HTML;
//  - style.css, whole, in a style element;
//  - this, in a script element of the type application/json with the id "record", every "<" in it written as \u003c:
//
//      {"format": 1, "bundle": "calder-wren-2031", "ship": "Calder Wren", "page": "data/start-here.html"}
//
//    format is the version of the bundle's format, bundle the bundle's name (its folder's in the zip), page where the
//    page lies in the bundle. Other scripts of the page may find more in it;
//  - the script itself, the last thing in the body, in a script element with the id "script". The worker is made of the
//    same text. Neither the end tag of a script nor the beginning of a comment of HTML may stand in it.
//
// The page's policy: default-src 'none'; script-src and style-src the digests of these two elements; img-src data: blob:;
// worker-src blob:; base-uri 'none'; form-action 'none'.

import { startProofView } from "./proof_view.js";
import { startWorker } from "./worker.js";

if (typeof document === "undefined") {
  startWorker();
} else {
  startPage();
}

function startPage() {
  if (document.getElementById("proof") === null) return;
  const record = JSON.parse(document.getElementById("record")?.textContent ?? "");
  const text = document.getElementById("script")?.textContent ?? "";
  startProofView(record, () => {
    const address = URL.createObjectURL(new Blob([text], { type: "text/javascript" }));
    try {
      return new Worker(address);
    } finally {
      // The worker has fetched it by the next task.
      setTimeout(() => URL.revokeObjectURL(address), 60000);
    }
  });
}
