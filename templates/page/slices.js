// Files read in slices, so that none is ever in memory as a whole.

/** Bytes that are read at once. */
const SLICE_BYTES = 2 * 2 ** 20;

/** Bytes kept at hand where many small stretches are read that lie close to each other. */
const WINDOW_BYTES = 2 ** 18;

/** The browser could not read a file: that says nothing of what is in it. */
export class ReadFailure extends Error {}

/**
 * @param {Blob} blob
 * @param {number} from
 * @param {number} to
 * @returns {Promise<Uint8Array<ArrayBuffer>>}
 */
async function readStretch(blob, from, to) {
  let bytes;
  try {
    bytes = new Uint8Array(await blob.slice(from, to).arrayBuffer());
  } catch {
    throw new ReadFailure("the browser could not read it: it was changed or taken away meanwhile, or the medium failed");
  }
  if (bytes.length !== to - from) throw new ReadFailure("it became shorter while it was read");
  return bytes;
}

/**
 * A stretch of a file, slice by slice; the next is fetched while the last is worked on.
 * @param {Blob} blob
 * @param {number} from
 * @param {number} to
 * @param {number} [most] bytes of a slice
 * @returns {AsyncGenerator<Uint8Array<ArrayBuffer>, void, void>}
 */
export async function* slicesOf(blob, from, to, most = SLICE_BYTES) {
  /** @param {number} at */
  const fetchFrom = (at) => {
    const slice = readStretch(blob, at, Math.min(at + most, to));
    // A failure counts when its slice is asked for.
    slice.catch(() => {});
    return slice;
  };
  let next = from < to ? fetchFrom(from) : undefined;
  for (let at = from; next !== undefined; at += most) {
    const bytes = await next;
    next = at + most < to ? fetchFrom(at + most) : undefined;
    yield bytes;
  }
}

/** Small stretches of one file. */
export class SmallReads {
  /** @param {Blob} blob */
  constructor(blob) {
    this.blob = blob;
    this.from = 0;
    this.window = new Uint8Array(0);
  }

  /**
   * Some bytes at an offset, or null if they are not all there.
   * @param {number} at
   * @param {number} count
   * @returns {Promise<Uint8Array | null>}
   */
  async read(at, count) {
    if (!(at >= 0 && at + count <= this.blob.size)) return null;
    if (at < this.from || at + count > this.from + this.window.length) {
      const to = Math.min(at + Math.max(count, WINDOW_BYTES), this.blob.size);
      this.window = await readStretch(this.blob, at, to);
      this.from = at;
    }
    return this.window.subarray(at - this.from, at - this.from + count);
  }
}
