import { test } from "node:test";
import assert from "node:assert/strict";
import { decodedPath, infoValue, isDeclaration, readManifest } from "../../../templates/page/manifests.js";
import { asRecorded, csvRows } from "../../../templates/page/papers.js";

const ZEROS = "0".repeat(64);

test("lines end in LF, CR or both; escapes are undone once (RFC 8493, section 2.1.3)", () => {
  const text = `${ZEROS}  data/a%0Ab\r\n${ZEROS}\tdata/100%25 %250A\r${ZEROS} *data/50%\n\n`;
  const { digests, wrong } = readManifest("manifest-sha256.txt", text);
  assert.deepEqual([...digests.keys()], ["data/a\nb", "data/100% %0A", "data/50%"]);
  assert.deepEqual(wrong, []);
  assert.equal(decodedPath("%0d%0D%25%41"), "\r\r%%41");
});

test("lines that can't be used are named", () => {
  const text = `${ZEROS}  data/a\n${ZEROS}  data/a\nabc  data/b\n${ZEROS}  ../c\n${ZEROS} *data/d\nx\n${ZEROS}  /etc/e\n${ZEROS}  bagit.txt\n`;
  const { digests, wrong } = readManifest("manifest-sha256.txt", text);
  assert.deepEqual([...digests.keys()], ["data/a", "data/d", "bagit.txt"]);
  assert.deepEqual(wrong.map((sentence) => /line (\d)/.exec(sentence)?.[1]), ["2", "3", "4", "6", "7", undefined]);
  assert.match(wrong[5], /lists bagit.txt, which is no file of the payload/);
});

test("the declaration is two lines in one order", () => {
  const lines = ["BagIt-Version: 1.0", "Tag-File-Character-Encoding: UTF-8"];
  assert.ok(isDeclaration(`${lines.join("\n")}\n`));
  assert.ok(isDeclaration(lines.join("\r\n")));
  assert.ok(!isDeclaration(lines.toReversed().join("\n")));
  assert.ok(!isDeclaration(`${lines[0]}\n`));
});

test("texts of nothing but ends of lines, cells or quotation marks take no long time", () => {
  const began = performance.now();
  for (const text of ["\n", "\r", ",\n", " \n", "%\n"]) {
    const { digests, wrong } = readManifest("manifest-sha256.txt", text.repeat(2 ** 22));
    assert.equal(digests.size, 0);
    assert.match(wrong.join("\n"), /more than 200000 lines/);
  }
  assert.equal(csvRows("\n".repeat(2 ** 22)).length, 200001);
  assert.equal(infoValue("\n".repeat(2 ** 22), "A"), null);
  readManifest("manifest-sha256.txt", " ".repeat(2 ** 22));
  readManifest("manifest-sha256.txt", `${ZEROS} ${" ".repeat(2 ** 22)}`);
  assert.ok(performance.now() - began < 10000);
});

test("a label's value", () => {
  assert.equal(infoValue("A: 1\npayload-oxum : 3.2\nPayload-Oxum: 4.5\n", "Payload-Oxum"), "3.2");
  assert.equal(infoValue("A: 1\n", "B"), null);
});

test("cells of a table (RFC 4180, section 2), and texts as they were recorded", () => {
  assert.deepEqual(csvRows('a,b\r\n"x, ""y""\nz",\n1,"2"\n'), [["a", "b"], ['x, "y"\nz', ""], ["1", "2"]]);
  assert.deepEqual(csvRows("a,b\n1,"), [["a", "b"], ["1", ""]]);
  assert.deepEqual(csvRows(""), []);
  assert.equal(csvRows('"'.repeat(100001)).length, 1);
  for (const [cell, text] of [["'=1+1", "=1+1"], ["''tis so", "'tis so"], ["a;'\t'@x", "a;\t@x"], ["two\n'- lines", "two\n- lines"], ["don't; it's", "don't; it's"]]) {
    assert.equal(asRecorded(cell), text);
  }
});
