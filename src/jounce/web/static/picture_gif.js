// Pictures in a row as one that moves and begins anew (GIF 89a): every phone and every page shows it.
// Its 256 colours are those that most of the pixels have; the bytes are those of the CompuServe specification of 1990, its
// LZW included.
const BITS = 8;
const CLEAR = 1 << BITS;
const END = CLEAR + 1;
const MOST_CODES = 4096;

export class MovingPicture {
  // `samples` are some of the pictures, for the colours: red, green, blue, alpha of each pixel.
  constructor(wide, high, samples) {
    [this.wide, this.high] = [wide, high];
    this.colours = commonest(samples);
    this.nearest = new Int16Array(1 << 15).fill(-1);
    this.bytes = [];
    this.text("GIF89a");
    this.words(wide, high);
    this.bytes.push(0xf7, 0, 0); // 256 colours for all of it
    for (let k = 0; k < 256; k++) this.bytes.push(...(this.colours[k] || [0, 0, 0]));
    this.bytes.push(0x21, 0xff, 11);
    this.text("NETSCAPE2.0"); // the block in which all programs look for how often: for ever
    this.bytes.push(3, 1, 0, 0, 0);
  }

  text(text) {
    for (const letter of text) this.bytes.push(letter.charCodeAt(0));
  }

  words(...values) {
    for (const value of values) this.bytes.push(value & 255, value >> 8);
  }

  // One picture more, as red, green, blue, alpha for each pixel, and how long it stays [hundredths of a second].
  add(data, stays) {
    this.bytes.push(0x21, 0xf9, 4, 0);
    this.words(stays);
    this.bytes.push(0, 0, 0x2c);
    this.words(0, 0, this.wide, this.high);
    this.bytes.push(0, BITS);
    const packed = squeezed(this.numbered(data));
    for (let k = 0; k < packed.length; k += 255) {
      const block = packed.slice(k, k + 255);
      this.bytes.push(block.length);
      for (const one of block) this.bytes.push(one);
    }
    this.bytes.push(0);
  }

  // The number of the nearest colour of each pixel.
  numbered(data) {
    const found = new Uint8Array(data.length / 4);
    for (let k = 0, at = 0; k < found.length; k++, at += 4) {
      const bin = alike(data, at);
      if (this.nearest[bin] < 0) {
        const far = ([r, g, b]) => (r - data[at]) ** 2 + (g - data[at + 1]) ** 2 + (b - data[at + 2]) ** 2;
        this.nearest[bin] = this.colours.reduce((best, one, j) => (far(one) < far(this.colours[best]) ? j : best), 0);
      }
      found[k] = this.nearest[bin];
    }
    return found;
  }

  blob() {
    return new Blob([Uint8Array.from(this.bytes), new Uint8Array([0x3b])], { type: "image/gif" });
  }
}

// The colours that most pixels have, each the middle of those that are alike to 5 bits.
function commonest(samples) {
  const [count, sums] = [new Uint32Array(1 << 15), new Float64Array(3 << 15)];
  for (const data of samples)
    for (let at = 0; at < data.length; at += 4) {
      const bin = alike(data, at);
      count[bin] += 1;
      for (let j = 0; j < 3; j++) sums[3 * bin + j] += data[at + j];
    }
  const bins = Array.from(count.keys()).filter((bin) => count[bin]);
  bins.sort((a, b) => count[b] - count[a]);
  return bins.slice(0, 256).map((bin) => [0, 1, 2].map((j) => Math.round(sums[3 * bin + j] / count[bin])));
}

function alike(data, at) {
  return ((data[at] >> 3) << 10) | ((data[at + 1] >> 3) << 5) | (data[at + 2] >> 3);
}

// LZW with codes that grow from 9 to 12 bits, the lowest bit first.
function squeezed(pixels) {
  const out = [];
  let [held, count, size, next] = [0, 0, BITS + 1, END + 1];
  let known = new Map();
  const put = (code) => {
    held |= code << count;
    count += size;
    for (; count >= 8; count -= 8, held >>>= 8) out.push(held & 255);
  };
  put(CLEAR);
  let before = pixels[0];
  for (let k = 1; k < pixels.length; k++) {
    const key = (before << 8) | pixels[k];
    const code = known.get(key);
    if (code !== undefined) {
      before = code;
      continue;
    }
    put(before);
    known.set(key, next);
    if (next === 1 << size && size < 12) size += 1;
    next += 1;
    if (next === MOST_CODES) {
      put(CLEAR);
      [known, size, next] = [new Map(), BITS + 1, END + 1];
    }
    before = pixels[k];
  }
  put(before);
  put(END);
  if (count) out.push(held & 255);
  return out;
}
