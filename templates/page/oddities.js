// What is odd about a zip or a list, in sentences, as many as somebody would read.

const MOST_SENTENCES = 100;

export class Oddities {
  constructor() {
    /** @type {string[]} */
    this.listed = [];
    this.more = 0;
  }

  /** @param {string} sentence */
  add(sentence) {
    if (this.listed.length < MOST_SENTENCES) this.listed.push(sentence);
    else this.more += 1;
  }

  /** @returns {string[]} */
  sentences() {
    return this.more === 0 ? this.listed : [...this.listed, `and ${this.more} more of this kind`];
  }
}
