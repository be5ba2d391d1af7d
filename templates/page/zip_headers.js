// The headers of a zip, read from bytes that nobody vouches for (PKWARE, .ZIP File Format Specification 6.3.10,
// sections 4.3 and 4.5).

export const LOCAL_BYTES = 30;
export const CENTRAL_BYTES = 46;
export const END_BYTES = 22;
export const LOCATOR_BYTES = 20;
export const LARGE_END_BYTES = 56;

/** The longest name that is read: far longer than any of a bundle's. */
const LONGEST_NAME = 1024;

/** The newest version of the format that an entry may need, times ten (section 4.4.3). */
const NEWEST_NEEDED = 63;

const ALL_16 = 0xffff;
const ALL_32 = 0xffffffff;

// General purpose bits (section 4.4.4).
const ENCRYPTED = 1;
const SIZES_BEHIND = 1 << 3;
const PATCHED = 1 << 5;
const STRONGLY_ENCRYPTED = 1 << 6;
const NAME_IS_UTF_8 = 1 << 11;
const MASKED = 1 << 13;

/**
 * What both headers of an entry say of it.
 * @typedef {object} Fields
 * @property {Uint8Array} name
 * @property {number} needed version of the format that is needed to read it, times ten
 * @property {number} flags
 * @property {number} method
 * @property {number} crc
 * @property {number} packed bytes that stand in the zip for it
 * @property {number} size
 * @property {boolean} hasSecondName
 * @property {boolean} hasAes
 */

/**
 * An entry of the directory.
 * @typedef {object} Central
 * @property {Fields} fields
 * @property {number} header where its own header begins
 * @property {number} disk
 * @property {number} attributes
 */

/**
 * Where the directory of a zip is.
 * @typedef {object} End
 * @property {number} entries
 * @property {number} directory where it begins
 * @property {number} bytes
 * @property {number} comment bytes of the comment
 * @property {boolean} onDisks whether anything places the zip on several disks
 */

/**
 * @param {Uint8Array} bytes
 * @returns {DataView}
 */
function viewOf(bytes) {
  return new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
}

/**
 * A number of 64 bits. Above 2^53 it is not exact, but no file is as long, and none of these is taken for an offset in one.
 * @param {DataView} view
 * @param {number} at
 * @returns {number}
 */
function long(view, at) {
  return Number(view.getBigUint64(at, true));
}

/**
 * @param {Uint8Array} bytes
 * @param {number} third
 * @param {number} fourth
 * @returns {boolean}
 */
function isSigned(bytes, third, fourth) {
  return bytes[0] === 0x50 && bytes[1] === 0x4b && bytes[2] === third && bytes[3] === fourth;
}

/**
 * Whether bytes begin as a zip of entries does.
 * @param {Uint8Array} bytes
 * @returns {boolean}
 */
export function isLocalHeader(bytes) {
  return isSigned(bytes, 3, 4);
}

/**
 * An entry's own header, and where its bytes begin; null if there is none.
 * @param {import("./slices.js").SmallReads} file
 * @param {number} at
 * @returns {Promise<{ fields: Fields, data: number } | null>}
 */
export async function readLocal(file, at) {
  const fixed = await file.read(at, LOCAL_BYTES);
  if (fixed === null || !isLocalHeader(fixed)) return null;
  const nameBytes = viewOf(fixed).getUint16(26, true);
  const extraBytes = viewOf(fixed).getUint16(28, true);
  const rest = await file.read(at + LOCAL_BYTES, nameBytes + extraBytes);
  if (rest === null || nameBytes > LONGEST_NAME) return null;
  const fields = readFields(fixed, 6, rest.slice(0, nameBytes), rest.subarray(nameBytes), null);
  return fields && { fields, data: at + LOCAL_BYTES + nameBytes + extraBytes };
}

/**
 * The entry of a directory at an offset, and where the next one begins; or, as a text, why it can't be read.
 * @param {import("./slices.js").SmallReads} file
 * @param {number} at
 * @param {number} end of the directory
 * @returns {Promise<{ central: Central, behind: number } | string>}
 */
export async function readCentral(file, at, end) {
  const fixed = at + CENTRAL_BYTES <= end ? await file.read(at, CENTRAL_BYTES) : null;
  if (fixed === null || !isSigned(fixed, 1, 2)) return "is no header";
  const view = viewOf(fixed);
  const [nameBytes, extraBytes, commentBytes] = [28, 30, 32].map((place) => view.getUint16(place, true));
  if (nameBytes > LONGEST_NAME) return `has a name of ${nameBytes} bytes`;
  const behind = at + CENTRAL_BYTES + nameBytes + extraBytes + commentBytes;
  const rest = behind <= end ? await file.read(at + CENTRAL_BYTES, nameBytes + extraBytes) : null;
  if (rest === null) return "is no header";
  const placed = { header: view.getUint32(42, true), disk: view.getUint16(34, true) };
  const fields = readFields(fixed, 8, rest.slice(0, nameBytes), rest.subarray(nameBytes), placed);
  if (fields === null) return "is no header";
  return { central: { fields, ...placed, attributes: view.getUint32(38, true) }, behind };
}

/**
 * The fields that both headers have, from `at` on in the fixed part. Of these and of the header's offset and disk, which
 * the directory alone has, those that are too large for their places stand in the extra field 1, in this order.
 * @param {Uint8Array} fixed
 * @param {number} at
 * @param {Uint8Array} name
 * @param {Uint8Array} extra
 * @param {{ header: number, disk: number } | null} placed
 * @returns {Fields | null}
 */
function readFields(fixed, at, name, extra, placed) {
  const view = viewOf(fixed);
  const fields = {
    name,
    needed: fixed[at - 2],
    flags: view.getUint16(at, true),
    method: view.getUint16(at + 2, true),
    crc: view.getUint32(at + 8, true),
    packed: view.getUint32(at + 12, true),
    size: view.getUint32(at + 16, true),
    hasSecondName: false,
    hasAes: false,
  };
  /** @type {Uint8Array | null} */
  let large = null;
  for (let place = 0; place + 4 <= extra.length;) {
    const sort = viewOf(extra).getUint16(place, true);
    const body = place + 4;
    place = body + viewOf(extra).getUint16(place + 2, true);
    if (place > extra.length) break;
    if (sort === 0x0001 && large === null) large = extra.subarray(body, place);
    if (sort === 0x7075) fields.hasSecondName ||= !sameBytes(extra.subarray(body + 5, place), name);
    if (sort === 0x9901) fields.hasAes = true;
  }
  let used = 0;
  const takeLong = () => {
    if (large === null || used + 8 > large.length) return null;
    used += 8;
    return long(viewOf(large), used - 8);
  };
  for (const key of /** @type {const} */ (["size", "packed"])) {
    if (fields[key] !== ALL_32) continue;
    const value = takeLong();
    if (value === null) return null;
    fields[key] = value;
  }
  if (placed !== null && placed.header === ALL_32) {
    const value = takeLong();
    if (value === null) return null;
    placed.header = value;
  }
  if (placed !== null && placed.disk === ALL_16) {
    if (large === null || used + 4 > large.length) return null;
    placed.disk = viewOf(large).getUint32(used, true);
  }
  return fields;
}

/**
 * @param {Uint8Array} a
 * @param {Uint8Array} b
 * @returns {boolean}
 */
export function sameBytes(a, b) {
  return a.length === b.length && a.every((byte, at) => byte === b[at]);
}

/**
 * Whether both headers say the same of an entry's bytes.
 * @param {Fields} a
 * @param {Fields} b
 * @returns {boolean}
 */
export function fieldsAgree(a, b) {
  return a.method === b.method && a.crc === b.crc && a.packed === b.packed && a.size === b.size
    && (a.flags & NAME_IS_UTF_8) === (b.flags & NAME_IS_UTF_8);
}

/**
 * Why an entry can't be read, or null.
 * @param {Fields} fields
 * @returns {string | null}
 */
export function unreadableEntry(fields) {
  if (fields.flags & ENCRYPTED) return "is encrypted";
  if (fields.flags & SIZES_BEHIND) return "does not say its size before its bytes";
  if (fields.method !== 0 && fields.method !== 8) {
    return `is compressed by method ${fields.method}, which this page does not know`;
  }
  if (fields.method === 0 && fields.packed !== fields.size) return "is stored and has two sizes";
  if (fields.hasSecondName) return "has a second name, which some zip tools go by";
  return null;
}

/**
 * Why other tools refuse an entry, or read something other than its bytes, or null.
 * @param {Fields} fields
 * @returns {string | null}
 */
export function refusedByOthers(fields) {
  if (fields.flags & PATCHED) return "is marked as patched data, which other tools refuse";
  if (fields.flags & STRONGLY_ENCRYPTED) return "is marked as strongly encrypted";
  if (fields.flags & MASKED) return "is marked as one whose header is masked";
  if (fields.hasAes) return "has the extra field of what is encrypted with AES";
  if (fields.needed > NEWEST_NEEDED) {
    return `needs version ${fields.needed / 10} of the zip format, but tools need to know no more than ${NEWEST_NEEDED / 10}`;
  }
  if (fields.name.some((byte) => byte > 127) && !(fields.flags & NAME_IS_UTF_8)) {
    return "has a name that is not marked as UTF-8, so other tools read another name";
  }
  return null;
}

/**
 * Whether an entry is one for a folder, by its name, as most tools see it.
 * @param {Central} central
 * @returns {boolean}
 */
export function isFolderEntry(central) {
  return central.fields.name.at(-1) === 0x2f && central.fields.size === 0;
}

/**
 * What an entry's attributes make it, where that is no plain file or contradicts its name, or null. Attributes of all
 * systems count, whichever system wrote it: not every tool looks.
 * @param {Central} central
 * @returns {string | null}
 */
export function oddlyAttributed(central) {
  // Of Unix, in the upper half; of MS-DOS and its descendants, in the lower.
  const sort = central.attributes >>> 16 & 0o170000;
  const [folder, plain] = [0o040000, 0o100000];
  const [label, directory, device, link] = [0x08, 0x10, 0x40, 0x400];
  if (![0, folder, plain].includes(sort) || central.attributes & (label | device | link)) {
    return "is a link or not a regular file";
  }
  const isFolder = isFolderEntry(central);
  if (!isFolder && (sort === folder || central.attributes & directory)) {
    return "is marked as a folder, and has the name or the size of a file";
  }
  if (isFolder && sort === plain) return "is marked as a file, and has the name of a folder";
  return null;
}

/**
 * The end record in the file's tail at `at`, if it is one whose directory ends where the end records begin; null else.
 * @param {import("./slices.js").SmallReads} file
 * @param {Uint8Array} tail
 * @param {number} at
 * @param {number} offset of the record in the file
 * @returns {Promise<End | null>}
 */
export async function readEnd(file, tail, at, offset) {
  const record = tail.subarray(at, at + END_BYTES);
  if (record.length < END_BYTES || !isSigned(record, 5, 6)) return null;
  const view = viewOf(record);
  const [disk, firstDisk, here, entries] = [4, 6, 8, 10].map((place) => view.getUint16(place, true));
  const end = {
    entries,
    bytes: view.getUint32(12, true),
    directory: view.getUint32(16, true),
    comment: view.getUint16(20, true),
    // All ones where the record for large zips says it.
    onDisks: [disk, firstDisk].some((one) => one !== 0 && one !== ALL_16),
  };
  let endsAt = offset;
  const locatorAt = offset - LOCATOR_BYTES;
  const locator = await file.read(locatorAt, LOCATOR_BYTES);
  if (locator !== null && isSigned(locator, 6, 7)) {
    endsAt = long(viewOf(locator), 8);
    end.onDisks ||= viewOf(locator).getUint32(4, true) !== 0 || viewOf(locator).getUint32(16, true) > 1;
    if (!await takeLargeEnd(file, end, endsAt, locatorAt)) return null;
  } else {
    end.onDisks ||= disk > 0 || firstDisk > 0 || here !== entries;
  }
  return end.directory + end.bytes === endsAt ? end : null;
}

/**
 * Takes over what the end record for large zips says, between two offsets. The small one either says the same or leaves
 * it to this one. Returns whether that is so.
 * @param {import("./slices.js").SmallReads} file
 * @param {End} end
 * @param {number} at
 * @param {number} to
 * @returns {Promise<boolean>}
 */
async function takeLargeEnd(file, end, at, to) {
  const record = await file.read(at, LARGE_END_BYTES);
  if (record === null || !isSigned(record, 6, 6)) return false;
  const view = viewOf(record);
  const length = long(view, 4);
  if (length < LARGE_END_BYTES - 12 || at + 12 + length !== to) return false;
  end.onDisks ||= view.getUint32(16, true) !== 0 || view.getUint32(20, true) !== 0
    || view.getBigUint64(24, true) !== view.getBigUint64(32, true);
  const [entries, bytes, directory] = [32, 40, 48].map((place) => long(view, place));
  /** @type {(small: number, most: number, large: number) => boolean} */
  const same = (small, most, large) => small === most || small === large;
  if (!same(end.entries, ALL_16, entries) || !same(end.bytes, ALL_32, bytes) || !same(end.directory, ALL_32, directory)) {
    return false;
  }
  Object.assign(end, { entries, bytes, directory });
  return true;
}
