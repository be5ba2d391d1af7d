// The page's proof, run in node.

import { bagOfFolder, bagOfZip } from "../../../templates/page/bag.js";
import { proofSummary } from "../../../templates/page/worker.js";

/**
 * @param {Uint8Array<ArrayBuffer>} bytes
 */
export async function proofOfZip(bytes) {
  return (await proofSummary(await bagOfZip(new Blob([bytes])), () => {})).summary;
}

/**
 * @param {[string, Uint8Array][]} files by path, with the chosen folder's name
 */
export async function proofOfFolder(files) {
  const chosen = files.map(([path, bytes]) => ({ path, file: new File([Uint8Array.from(bytes)], path) }));
  return (await proofSummary(bagOfFolder(chosen), () => {})).summary;
}
