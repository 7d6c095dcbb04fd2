// Flat convex faces become pixels here: for a thousand small ones that is several times quicker than asking the canvas for
// each of them. Every row of pixels is met at four heights; where an edge cuts a pixel, so much of it is covered.
const CUTS = 4;
const BEYOND = 1e9;

export class Raster {
  constructor() {
    this.canvas = document.createElement("canvas");
    this.pen = this.canvas.getContext("2d");
    this.left = new Float64Array(0);
    this.right = new Float64Array(0);
    this.xs = new Float64Array(64);
    this.ys = new Float64Array(64);
  }

  // An empty sheet of so many pixels.
  begin(wide, high) {
    if (this.canvas.width !== wide || this.canvas.height !== high || !this.image) {
      [this.canvas.width, this.canvas.height] = [wide, high];
      this.image = this.pen.createImageData(Math.max(1, wide), Math.max(1, high));
      this.pixels = new Uint32Array(this.image.data.buffer);
    } else this.pixels.fill(0);
    [this.wide, this.high] = [wide, high];
    if (this.left.length < CUTS * (high + 1)) [this.left, this.right] = [0, 0].map(() => new Float64Array(CUTS * (high + 1)));
  }

  // A convex face whose corners are in `xs` and `ys`, in pixels; its colour as alpha, blue, green, red.
  fill(sides, colour) {
    const { xs, ys, left, right, pixels, wide, high } = this;
    let low = ys[0];
    let up = ys[0];
    for (let k = 1; k < sides; k++) {
      if (ys[k] < low) low = ys[k];
      if (ys[k] > up) up = ys[k];
    }
    const first = low > 0 ? Math.floor(low) : 0;
    const last = up < high - 1 ? Math.floor(up) : high - 1;
    if (last < first) return;
    const cuts = CUTS * (last - first + 1);
    for (let cut = 0; cut < cuts; cut++) {
      left[cut] = BEYOND;
      right[cut] = -BEYOND;
    }
    let j = sides - 1;
    for (let k = 0; k < sides; j = k++) {
      const turned = ys[j] > ys[k];
      const y0 = turned ? ys[k] : ys[j];
      const y1 = turned ? ys[j] : ys[k];
      let cut = Math.ceil((y0 - first) * CUTS - 0.5);
      if (cut < 0) cut = 0;
      let end = Math.ceil((y1 - first) * CUTS - 0.5);
      if (end > cuts) end = cuts;
      if (cut >= end) continue;
      const slope = (xs[k] - xs[j]) / (ys[k] - ys[j]) / CUTS;
      let x = xs[j] + ((first - ys[j]) * CUTS + cut + 0.5) * slope;
      for (; cut < end; cut++) {
        if (x < left[cut]) left[cut] = x;
        if (x > right[cut]) right[cut] = x;
        x += slope;
      }
    }
    const solid = colour >>> 24 === 255;
    for (let row = first, cut = 0; row <= last; row++, cut += CUTS) {
      let in0 = -BEYOND;
      let in1 = BEYOND;
      let out0 = BEYOND;
      let out1 = -BEYOND;
      for (let c = cut; c < cut + CUTS; c++) {
        const a = left[c];
        const b = right[c];
        if (a > in0) in0 = a;
        if (b < in1) in1 = b;
        if (a < out0) out0 = a;
        if (b > out1) out1 = b;
      }
      if (out1 <= out0) continue;
      const begin = out0 > 0 ? Math.floor(out0) : 0;
      const end = out1 < wide ? Math.ceil(out1) : wide;
      const whole0 = in0 > begin ? Math.ceil(in0) : begin;
      const whole1 = in1 < end ? Math.floor(in1) : end;
      const at = row * wide;
      if (whole1 <= whole0) {
        this.edge(at, begin, end, cut, colour);
        continue;
      }
      this.edge(at, begin, whole0, cut, colour);
      if (solid) for (let x = at + whole0; x < at + whole1; x++) pixels[x] = colour;
      else for (let x = at + whole0; x < at + whole1; x++) pixels[x] = over(colour, pixels[x], (colour >>> 24) / 255);
      this.edge(at, whole1, end, cut, colour);
    }
  }

  // Pixels that an edge cuts, from one up to before another.
  edge(at, from, to, first, colour) {
    const { left, right, pixels } = this;
    const most = (colour >>> 24) / (255 * CUTS);
    for (let x = from; x < to; x++) {
      let share = 0;
      for (let cut = first; cut < first + CUTS; cut++) {
        const a = left[cut] > x ? left[cut] : x;
        const b = right[cut] < x + 1 ? right[cut] : x + 1;
        if (b > a) share += b - a;
      }
      if (share > 0.02) pixels[at + x] = over(colour, pixels[at + x], share * most);
    }
  }

  // All of it onto another canvas.
  put(pen, wide, high) {
    this.pen.putImageData(this.image, 0, 0);
    pen.drawImage(this.canvas, 0, 0, wide, high);
  }
}

// A colour laid over another, as much of it as its share says.
function over(colour, below, share) {
  const under = below >>> 24;
  if (under === 255) {
    const rest = 1 - share;
    return (
      (0xff000000 |
        (((colour >>> 16) & 255) * share + ((below >>> 16) & 255) * rest + 0.5) << 16 |
        (((colour >>> 8) & 255) * share + ((below >>> 8) & 255) * rest + 0.5) << 8 |
        ((colour & 255) * share + (below & 255) * rest + 0.5)) >>>
      0
    );
  }
  const rest = (under / 255) * (1 - share);
  const all = share + rest;
  const mixed = (shift) => Math.min(255, (((colour >>> shift) & 255) * share + ((below >>> shift) & 255) * rest) / all + 0.5) & 255;
  return ((Math.min(255, all * 255 + 0.5) << 24) | (mixed(16) << 16) | (mixed(8) << 8) | mixed(0)) >>> 0;
}
