// The page's proof, run in node.

import { bagOfFolder, bagOfZip } from "../../../templates/page/bag.js";
import { helpBy, helperAt } from "../../../templates/page/proof.js";
import { proofSummary } from "../../../templates/page/worker.js";

/**
 * @param {Uint8Array<ArrayBuffer>} bytes
 */
export async function proofOfZip(bytes) {
  return (await proofSummary(await bagOfZip(new Blob([bytes])), () => {})).summary;
}

/**
 * The same with a helper at the other end of a port, which can have another bag.
 * @param {Uint8Array<ArrayBuffer>} bytes
 * @param {Uint8Array<ArrayBuffer>} [others] those of the helper's bag
 * @param {(port: MessagePort, bag: import("../../../templates/page/bag.js").Bag) => void} [help]
 */
export async function proofOfZipShared(bytes, others = bytes, help = (port, bag) => helpBy(bag, port)) {
  const { port1, port2 } = new MessageChannel();
  const ports = [port1, port2].map((port) => /** @type {MessagePort} */ (/** @type {unknown} */ (port)));
  try {
    const helper = helperAt(ports[1]);
    help(ports[0], await bagOfZip(new Blob([others])));
    await new Promise((done) => setTimeout(done, 20));
    return (await proofSummary(await bagOfZip(new Blob([bytes])), () => {}, helper)).summary;
  } finally {
    port1.close();
    port2.close();
  }
}

/**
 * @param {[string, Uint8Array][]} files by path, with the chosen folder's name
 */
export async function proofOfFolder(files) {
  const chosen = files.map(([path, bytes]) => ({ path, file: new File([Uint8Array.from(bytes)], path) }));
  return (await proofSummary(bagOfFolder(chosen), () => {})).summary;
}
