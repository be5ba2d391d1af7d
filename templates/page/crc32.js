// CRC-32 as zip files use it (PKWARE, .ZIP File Format Specification, section 4.4.7; the polynomial of ISO/IEC 13239).

/** Tables for eight bytes at a time: table n says what a byte does that n more bytes follow. */
const CRC_TABLES = crcTables();

/** @returns {Int32Array[]} */
function crcTables() {
  const tables = Array.from({ length: 8 }, () => new Int32Array(256));
  for (let byte = 0; byte < 256; byte += 1) {
    let value = byte;
    for (let bit = 0; bit < 8; bit += 1) value = value & 1 ? value >>> 1 ^ 0xedb88320 : value >>> 1;
    tables[0][byte] = value;
  }
  for (let n = 1; n < 8; n += 1) {
    for (let byte = 0; byte < 256; byte += 1) {
      const before = tables[n - 1][byte];
      tables[n][byte] = before >>> 8 ^ tables[0][before & 255];
    }
  }
  return tables;
}

/**
 * The CRC-32 of bytes that follow others.
 * @param {number} before that of the others; 0 if there are none
 * @param {Uint8Array} bytes
 * @returns {number}
 */
export function crc32(before, bytes) {
  const [t0, t1, t2, t3, t4, t5, t6, t7] = CRC_TABLES;
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  let crc = ~before;
  let at = 0;
  for (const last = bytes.length - 8; at <= last; at += 8) {
    const low = crc ^ view.getInt32(at, true);
    const high = view.getInt32(at + 4, true);
    crc = t7[low & 255] ^ t6[low >>> 8 & 255] ^ t5[low >>> 16 & 255] ^ t4[low >>> 24]
      ^ t3[high & 255] ^ t2[high >>> 8 & 255] ^ t1[high >>> 16 & 255] ^ t0[high >>> 24];
  }
  for (; at < bytes.length; at += 1) crc = crc >>> 8 ^ t0[(crc ^ bytes[at]) & 255];
  return ~crc >>> 0;
}
