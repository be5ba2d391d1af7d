// SHA-256 (FIPS 180-4) of a stream. The browser's own digest wants all bytes at once, and a bundle may have more of
// them than memory.

/** The first 32 bits of the fractional parts of the cube roots of the first 64 primes (section 4.2.2). */
const ROUND_CONSTANTS = fractions(64, Math.cbrt);

/** The first 32 bits of the fractional parts of the square roots of the first eight primes (section 5.3.3). */
const FIRST_STATE = fractions(8, Math.sqrt);

const BLOCK_BYTES = 64;

/**
 * The first 32 bits of the fractional parts of a root of the first primes. A double has bits enough for them: eight
 * before the point and 32 behind it.
 * @param {number} count
 * @param {(n: number) => number} root
 * @returns {Int32Array}
 */
function fractions(count, root) {
  const found = new Int32Array(count);
  let prime = 1;
  for (let at = 0; at < count; at += 1) {
    do prime += 1; while (!isPrime(prime));
    const value = root(prime);
    found[at] = Math.floor((value - Math.floor(value)) * 2 ** 32);
  }
  return found;
}

/**
 * @param {number} n
 * @returns {boolean}
 */
function isPrime(n) {
  for (let divisor = 2; divisor * divisor <= n; divisor += 1) {
    if (n % divisor === 0) return false;
  }
  return true;
}

/** A digest that is being computed. */
export class Sha256 {
  constructor() {
    this.state = FIRST_STATE.slice();
    /** Bytes that do not fill a block yet. */
    this.rest = new Uint8Array(BLOCK_BYTES);
    this.restBytes = 0;
    /** All bytes so far: exact up to 2^53. */
    this.bytes = 0;
  }

  /**
   * Takes in more bytes.
   * @param {Uint8Array} bytes
   */
  update(bytes) {
    this.bytes += bytes.length;
    let at = 0;
    if (this.restBytes > 0) {
      at = Math.min(BLOCK_BYTES - this.restBytes, bytes.length);
      this.rest.set(bytes.subarray(0, at), this.restBytes);
      this.restBytes += at;
      if (this.restBytes < BLOCK_BYTES) return;
      compressBlocks(this.state, this.rest, 0, BLOCK_BYTES);
      this.restBytes = 0;
    }
    const whole = bytes.length - (bytes.length - at) % BLOCK_BYTES;
    compressBlocks(this.state, bytes, at, whole);
    this.rest.set(bytes.subarray(whole));
    this.restBytes = bytes.length - whole;
  }

  /**
   * The digest as 64 hexadecimal digits. Nothing can be taken in after it.
   * @returns {string}
   */
  hex() {
    // A one bit, zeros, and the number of bits in 64 bits, to the end of a block (section 5.1.1).
    const padded = new Uint8Array(this.restBytes < 56 ? BLOCK_BYTES : 2 * BLOCK_BYTES);
    padded.set(this.rest.subarray(0, this.restBytes));
    padded[this.restBytes] = 0x80;
    const view = new DataView(padded.buffer);
    view.setUint32(padded.length - 8, Math.floor(this.bytes / 2 ** 29));
    view.setUint32(padded.length - 4, (this.bytes % 2 ** 29) * 8);
    compressBlocks(this.state, padded, 0, padded.length);
    return Array.from(this.state, (word) => (word >>> 0).toString(16).padStart(8, "0")).join("");
  }
}

/**
 * The digest of some bytes.
 * @param {Uint8Array} bytes
 * @returns {string}
 */
export function sha256(bytes) {
  const digest = new Sha256();
  digest.update(bytes);
  return digest.hex();
}

/**
 * Section 6.2.2 for every block of `bytes` from `from` up to `to`. Sixteen rounds are written out, with a variable for
 * each word: the eight working variables then change their names instead of their places, and each sum is cut to 32 bits
 * at once, so that the browser computes with whole numbers. As a loop over an array it takes several times as long.
 * @param {Int32Array} state
 * @param {Uint8Array} bytes
 * @param {number} from
 * @param {number} to
 */
function compressBlocks(state, bytes, from, to) {
  const k = ROUND_CONSTANTS;
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  let h0 = state[0], h1 = state[1], h2 = state[2], h3 = state[3];
  let h4 = state[4], h5 = state[5], h6 = state[6], h7 = state[7];
  for (let at = from; at < to; at += BLOCK_BYTES) {
    let w0 = view.getInt32(at);
    let w1 = view.getInt32(at + 4);
    let w2 = view.getInt32(at + 8);
    let w3 = view.getInt32(at + 12);
    let w4 = view.getInt32(at + 16);
    let w5 = view.getInt32(at + 20);
    let w6 = view.getInt32(at + 24);
    let w7 = view.getInt32(at + 28);
    let w8 = view.getInt32(at + 32);
    let w9 = view.getInt32(at + 36);
    let w10 = view.getInt32(at + 40);
    let w11 = view.getInt32(at + 44);
    let w12 = view.getInt32(at + 48);
    let w13 = view.getInt32(at + 52);
    let w14 = view.getInt32(at + 56);
    let w15 = view.getInt32(at + 60);
    let a = h0, b = h1, c = h2, d = h3, e = h4, f = h5, g = h6, h = h7;
    for (let t = 0; ; t += 16) {
      h = (h + ((e >>> 6 | e << 26) ^ (e >>> 11 | e << 21) ^ (e >>> 25 | e << 7)) | 0) + ((g ^ e & (f ^ g)) + (k[t] + w0 | 0) | 0) | 0;
      d = d + h | 0;
      h = (h + ((a >>> 2 | a << 30) ^ (a >>> 13 | a << 19) ^ (a >>> 22 | a << 10)) | 0) + (a & b | c & (a | b)) | 0;
      g = (g + ((d >>> 6 | d << 26) ^ (d >>> 11 | d << 21) ^ (d >>> 25 | d << 7)) | 0) + ((f ^ d & (e ^ f)) + (k[t + 1] + w1 | 0) | 0) | 0;
      c = c + g | 0;
      g = (g + ((h >>> 2 | h << 30) ^ (h >>> 13 | h << 19) ^ (h >>> 22 | h << 10)) | 0) + (h & a | b & (h | a)) | 0;
      f = (f + ((c >>> 6 | c << 26) ^ (c >>> 11 | c << 21) ^ (c >>> 25 | c << 7)) | 0) + ((e ^ c & (d ^ e)) + (k[t + 2] + w2 | 0) | 0) | 0;
      b = b + f | 0;
      f = (f + ((g >>> 2 | g << 30) ^ (g >>> 13 | g << 19) ^ (g >>> 22 | g << 10)) | 0) + (g & h | a & (g | h)) | 0;
      e = (e + ((b >>> 6 | b << 26) ^ (b >>> 11 | b << 21) ^ (b >>> 25 | b << 7)) | 0) + ((d ^ b & (c ^ d)) + (k[t + 3] + w3 | 0) | 0) | 0;
      a = a + e | 0;
      e = (e + ((f >>> 2 | f << 30) ^ (f >>> 13 | f << 19) ^ (f >>> 22 | f << 10)) | 0) + (f & g | h & (f | g)) | 0;
      d = (d + ((a >>> 6 | a << 26) ^ (a >>> 11 | a << 21) ^ (a >>> 25 | a << 7)) | 0) + ((c ^ a & (b ^ c)) + (k[t + 4] + w4 | 0) | 0) | 0;
      h = h + d | 0;
      d = (d + ((e >>> 2 | e << 30) ^ (e >>> 13 | e << 19) ^ (e >>> 22 | e << 10)) | 0) + (e & f | g & (e | f)) | 0;
      c = (c + ((h >>> 6 | h << 26) ^ (h >>> 11 | h << 21) ^ (h >>> 25 | h << 7)) | 0) + ((b ^ h & (a ^ b)) + (k[t + 5] + w5 | 0) | 0) | 0;
      g = g + c | 0;
      c = (c + ((d >>> 2 | d << 30) ^ (d >>> 13 | d << 19) ^ (d >>> 22 | d << 10)) | 0) + (d & e | f & (d | e)) | 0;
      b = (b + ((g >>> 6 | g << 26) ^ (g >>> 11 | g << 21) ^ (g >>> 25 | g << 7)) | 0) + ((a ^ g & (h ^ a)) + (k[t + 6] + w6 | 0) | 0) | 0;
      f = f + b | 0;
      b = (b + ((c >>> 2 | c << 30) ^ (c >>> 13 | c << 19) ^ (c >>> 22 | c << 10)) | 0) + (c & d | e & (c | d)) | 0;
      a = (a + ((f >>> 6 | f << 26) ^ (f >>> 11 | f << 21) ^ (f >>> 25 | f << 7)) | 0) + ((h ^ f & (g ^ h)) + (k[t + 7] + w7 | 0) | 0) | 0;
      e = e + a | 0;
      a = (a + ((b >>> 2 | b << 30) ^ (b >>> 13 | b << 19) ^ (b >>> 22 | b << 10)) | 0) + (b & c | d & (b | c)) | 0;
      h = (h + ((e >>> 6 | e << 26) ^ (e >>> 11 | e << 21) ^ (e >>> 25 | e << 7)) | 0) + ((g ^ e & (f ^ g)) + (k[t + 8] + w8 | 0) | 0) | 0;
      d = d + h | 0;
      h = (h + ((a >>> 2 | a << 30) ^ (a >>> 13 | a << 19) ^ (a >>> 22 | a << 10)) | 0) + (a & b | c & (a | b)) | 0;
      g = (g + ((d >>> 6 | d << 26) ^ (d >>> 11 | d << 21) ^ (d >>> 25 | d << 7)) | 0) + ((f ^ d & (e ^ f)) + (k[t + 9] + w9 | 0) | 0) | 0;
      c = c + g | 0;
      g = (g + ((h >>> 2 | h << 30) ^ (h >>> 13 | h << 19) ^ (h >>> 22 | h << 10)) | 0) + (h & a | b & (h | a)) | 0;
      f = (f + ((c >>> 6 | c << 26) ^ (c >>> 11 | c << 21) ^ (c >>> 25 | c << 7)) | 0) + ((e ^ c & (d ^ e)) + (k[t + 10] + w10 | 0) | 0) | 0;
      b = b + f | 0;
      f = (f + ((g >>> 2 | g << 30) ^ (g >>> 13 | g << 19) ^ (g >>> 22 | g << 10)) | 0) + (g & h | a & (g | h)) | 0;
      e = (e + ((b >>> 6 | b << 26) ^ (b >>> 11 | b << 21) ^ (b >>> 25 | b << 7)) | 0) + ((d ^ b & (c ^ d)) + (k[t + 11] + w11 | 0) | 0) | 0;
      a = a + e | 0;
      e = (e + ((f >>> 2 | f << 30) ^ (f >>> 13 | f << 19) ^ (f >>> 22 | f << 10)) | 0) + (f & g | h & (f | g)) | 0;
      d = (d + ((a >>> 6 | a << 26) ^ (a >>> 11 | a << 21) ^ (a >>> 25 | a << 7)) | 0) + ((c ^ a & (b ^ c)) + (k[t + 12] + w12 | 0) | 0) | 0;
      h = h + d | 0;
      d = (d + ((e >>> 2 | e << 30) ^ (e >>> 13 | e << 19) ^ (e >>> 22 | e << 10)) | 0) + (e & f | g & (e | f)) | 0;
      c = (c + ((h >>> 6 | h << 26) ^ (h >>> 11 | h << 21) ^ (h >>> 25 | h << 7)) | 0) + ((b ^ h & (a ^ b)) + (k[t + 13] + w13 | 0) | 0) | 0;
      g = g + c | 0;
      c = (c + ((d >>> 2 | d << 30) ^ (d >>> 13 | d << 19) ^ (d >>> 22 | d << 10)) | 0) + (d & e | f & (d | e)) | 0;
      b = (b + ((g >>> 6 | g << 26) ^ (g >>> 11 | g << 21) ^ (g >>> 25 | g << 7)) | 0) + ((a ^ g & (h ^ a)) + (k[t + 14] + w14 | 0) | 0) | 0;
      f = f + b | 0;
      b = (b + ((c >>> 2 | c << 30) ^ (c >>> 13 | c << 19) ^ (c >>> 22 | c << 10)) | 0) + (c & d | e & (c | d)) | 0;
      a = (a + ((f >>> 6 | f << 26) ^ (f >>> 11 | f << 21) ^ (f >>> 25 | f << 7)) | 0) + ((h ^ f & (g ^ h)) + (k[t + 15] + w15 | 0) | 0) | 0;
      e = e + a | 0;
      a = (a + ((b >>> 2 | b << 30) ^ (b >>> 13 | b << 19) ^ (b >>> 22 | b << 10)) | 0) + (b & c | d & (b | c)) | 0;
      if (t === 48) break;
      // The next sixteen words of the message schedule.
      w0 = (w0 + ((w1 >>> 7 | w1 << 25) ^ (w1 >>> 18 | w1 << 14) ^ w1 >>> 3) | 0) + (w9 + ((w14 >>> 17 | w14 << 15) ^ (w14 >>> 19 | w14 << 13) ^ w14 >>> 10) | 0) | 0;
      w1 = (w1 + ((w2 >>> 7 | w2 << 25) ^ (w2 >>> 18 | w2 << 14) ^ w2 >>> 3) | 0) + (w10 + ((w15 >>> 17 | w15 << 15) ^ (w15 >>> 19 | w15 << 13) ^ w15 >>> 10) | 0) | 0;
      w2 = (w2 + ((w3 >>> 7 | w3 << 25) ^ (w3 >>> 18 | w3 << 14) ^ w3 >>> 3) | 0) + (w11 + ((w0 >>> 17 | w0 << 15) ^ (w0 >>> 19 | w0 << 13) ^ w0 >>> 10) | 0) | 0;
      w3 = (w3 + ((w4 >>> 7 | w4 << 25) ^ (w4 >>> 18 | w4 << 14) ^ w4 >>> 3) | 0) + (w12 + ((w1 >>> 17 | w1 << 15) ^ (w1 >>> 19 | w1 << 13) ^ w1 >>> 10) | 0) | 0;
      w4 = (w4 + ((w5 >>> 7 | w5 << 25) ^ (w5 >>> 18 | w5 << 14) ^ w5 >>> 3) | 0) + (w13 + ((w2 >>> 17 | w2 << 15) ^ (w2 >>> 19 | w2 << 13) ^ w2 >>> 10) | 0) | 0;
      w5 = (w5 + ((w6 >>> 7 | w6 << 25) ^ (w6 >>> 18 | w6 << 14) ^ w6 >>> 3) | 0) + (w14 + ((w3 >>> 17 | w3 << 15) ^ (w3 >>> 19 | w3 << 13) ^ w3 >>> 10) | 0) | 0;
      w6 = (w6 + ((w7 >>> 7 | w7 << 25) ^ (w7 >>> 18 | w7 << 14) ^ w7 >>> 3) | 0) + (w15 + ((w4 >>> 17 | w4 << 15) ^ (w4 >>> 19 | w4 << 13) ^ w4 >>> 10) | 0) | 0;
      w7 = (w7 + ((w8 >>> 7 | w8 << 25) ^ (w8 >>> 18 | w8 << 14) ^ w8 >>> 3) | 0) + (w0 + ((w5 >>> 17 | w5 << 15) ^ (w5 >>> 19 | w5 << 13) ^ w5 >>> 10) | 0) | 0;
      w8 = (w8 + ((w9 >>> 7 | w9 << 25) ^ (w9 >>> 18 | w9 << 14) ^ w9 >>> 3) | 0) + (w1 + ((w6 >>> 17 | w6 << 15) ^ (w6 >>> 19 | w6 << 13) ^ w6 >>> 10) | 0) | 0;
      w9 = (w9 + ((w10 >>> 7 | w10 << 25) ^ (w10 >>> 18 | w10 << 14) ^ w10 >>> 3) | 0) + (w2 + ((w7 >>> 17 | w7 << 15) ^ (w7 >>> 19 | w7 << 13) ^ w7 >>> 10) | 0) | 0;
      w10 = (w10 + ((w11 >>> 7 | w11 << 25) ^ (w11 >>> 18 | w11 << 14) ^ w11 >>> 3) | 0) + (w3 + ((w8 >>> 17 | w8 << 15) ^ (w8 >>> 19 | w8 << 13) ^ w8 >>> 10) | 0) | 0;
      w11 = (w11 + ((w12 >>> 7 | w12 << 25) ^ (w12 >>> 18 | w12 << 14) ^ w12 >>> 3) | 0) + (w4 + ((w9 >>> 17 | w9 << 15) ^ (w9 >>> 19 | w9 << 13) ^ w9 >>> 10) | 0) | 0;
      w12 = (w12 + ((w13 >>> 7 | w13 << 25) ^ (w13 >>> 18 | w13 << 14) ^ w13 >>> 3) | 0) + (w5 + ((w10 >>> 17 | w10 << 15) ^ (w10 >>> 19 | w10 << 13) ^ w10 >>> 10) | 0) | 0;
      w13 = (w13 + ((w14 >>> 7 | w14 << 25) ^ (w14 >>> 18 | w14 << 14) ^ w14 >>> 3) | 0) + (w6 + ((w11 >>> 17 | w11 << 15) ^ (w11 >>> 19 | w11 << 13) ^ w11 >>> 10) | 0) | 0;
      w14 = (w14 + ((w15 >>> 7 | w15 << 25) ^ (w15 >>> 18 | w15 << 14) ^ w15 >>> 3) | 0) + (w7 + ((w12 >>> 17 | w12 << 15) ^ (w12 >>> 19 | w12 << 13) ^ w12 >>> 10) | 0) | 0;
      w15 = (w15 + ((w0 >>> 7 | w0 << 25) ^ (w0 >>> 18 | w0 << 14) ^ w0 >>> 3) | 0) + (w8 + ((w13 >>> 17 | w13 << 15) ^ (w13 >>> 19 | w13 << 13) ^ w13 >>> 10) | 0) | 0;
    }
    h0 = h0 + a | 0;
    h1 = h1 + b | 0;
    h2 = h2 + c | 0;
    h3 = h3 + d | 0;
    h4 = h4 + e | 0;
    h5 = h5 + f | 0;
    h6 = h6 + g | 0;
    h7 = h7 + h | 0;
  }
  state.set([h0, h1, h2, h3, h4, h5, h6, h7]);
}
