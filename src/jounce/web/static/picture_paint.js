// Flat faces, lit, sorted from far to near and filled. Every face knows whose it is, so that a finger can find it.
import { Raster } from "./picture_raster.js";

// What a job exchanges is the one strong colour; printed in grey it is darker than every other metal.
const LOOKS = {
  arm: [160, 171, 180],
  cast: [174, 182, 188],
  rod: [182, 190, 196],
  chrome: [214, 219, 223],
  damper: [150, 163, 175],
  spring: [138, 158, 184],
  soft: [226, 202, 120],
  rubber: [58, 62, 66],
  tyre: [48, 51, 54],
  rim: [186, 193, 199],
  slot: [82, 88, 94],
  inside: [70, 78, 86],
  paint: [255, 255, 255],
  road: [186, 190, 192],
  changed: [214, 78, 0],
};
const SHADES = 20;
const SLOTS = 1 << 12;
const COLUMNS = { first: Uint32Array, sides: Uint8Array, depth: Float32Array, colour: Uint32Array, glass: Uint8Array, row: Uint32Array };
const HAIR = 0.6; // a face is drawn so much larger all round that no hair shows between neighbours [px]
const SOLID = Object.fromEntries(Object.entries(LOOKS).map(([look, colour]) => [look, shades(colour, 1)]));
const GLASS = Object.fromEntries(
  ["tyre", "rim", "slot", "inside", "changed"].map((look) => [look, shades(LOOKS[look], look === "tyre" ? 0.36 : 0.22)]),
);
const LIGHT = [0.3, 0.42, 0.86]; // from above, the front and the left, as the car stands

// A colour in every light, packed as pixels are: alpha, blue, green, red.
function shades(colour, solid) {
  return Array.from({ length: SHADES + 1 }, (_, k) => {
    const light = k / SHADES;
    const strength = 0.42 + 0.72 * light;
    const [r, g, b] = colour.map((one) => Math.min(255, Math.round(one * strength + 26 * light * light)));
    return ((Math.round(255 * solid) << 24) | (b << 16) | (g << 8) | r) >>> 0;
  });
}

export class Faces {
  constructor() {
    this.corners = new Float32Array(1 << 16);
    this.raster = new Raster();
    this.begins = new Uint32Array(SLOTS + 1);
    for (const [name, kind] of Object.entries(COLUMNS)) this[name] = new kind(1 << 13);
    this.owner = [];
    this.clear();
  }

  clear() {
    this.used = 0;
    this.count = 0;
  }

  // A face by its corners across and down; `depth` grows towards the eye, `light` is 0 to 1.
  add(corners, length, depth, look, light, owner, glass = false) {
    if (this.used + length > this.corners.length) {
      const more = new Float32Array(2 * this.corners.length);
      more.set(this.corners);
      this.corners = more;
    }
    if (this.count >= this.depth.length) {
      for (const [name, kind] of Object.entries(COLUMNS)) {
        const more = new kind(2 * this[name].length);
        more.set(this[name]);
        this[name] = more;
      }
    }
    for (let k = 0; k < length; k++) this.corners[this.used + k] = corners[k];
    this.first[this.count] = this.used;
    this.sides[this.count] = length / 2;
    this.depth[this.count] = depth;
    const shade = Math.max(0, Math.min(SHADES, Math.round(light * SHADES)));
    this.colour[this.count] = (glass && GLASS[look] ? GLASS : SOLID)[look][shade];
    this.owner[this.count] = owner;
    this.glass[this.count] = glass ? 1 : 0;
    this.used += length;
    this.count += 1;
  }

  // From far to near: counted into slots of like depth, which is quicker than comparing.
  sorted() {
    let [low, high] = [Infinity, -Infinity];
    for (let k = 0; k < this.count; k++) {
      if (this.depth[k] < low) low = this.depth[k];
      if (this.depth[k] > high) high = this.depth[k];
    }
    const { begins, depth, count } = this;
    const per = (SLOTS - 1) / (high - low || 1);
    begins.fill(0);
    for (let k = 0; k < count; k++) begins[Math.floor((depth[k] - low) * per) + 1] += 1;
    for (let k = 0; k < SLOTS; k++) begins[k + 1] += begins[k];
    for (let k = 0; k < count; k++) this.row[begins[Math.floor((depth[k] - low) * per)]++] = k;
    return this.row.subarray(0, count);
  }

  // All of them onto a canvas of so many pixels of its own for each of the page's.
  paint(pen, fine) {
    const { raster, colour } = this;
    const [wide, high] = [pen.canvas.width, pen.canvas.height];
    this.order = this.sorted();
    if (pen.face) {
      for (const face of this.order) pen.face(raster.xs, raster.ys, this.grown(face, 1), colour[face]);
      return;
    }
    raster.begin(wide, high);
    for (const face of this.order) raster.fill(this.grown(face, fine), colour[face]);
    raster.put(pen, wide / fine, high / fine);
  }

  // The corners of a face a hair further out, where the raster takes them; how many there are.
  grown(face, fine) {
    const { corners, raster } = this;
    const [first, sides] = [this.first[face], this.sides[face]];
    let [mx, my] = [0, 0];
    for (let k = 0; k < sides; k++) {
      mx += corners[first + 2 * k];
      my += corners[first + 2 * k + 1];
    }
    mx /= sides;
    my /= sides;
    const more = this.glass[face] ? 0 : HAIR;
    for (let k = 0; k < sides; k++) {
      const dx = corners[first + 2 * k] - mx;
      const dy = corners[first + 2 * k + 1] - my;
      const by = 1 + more / (Math.abs(dx) + Math.abs(dy) + 0.1);
      raster.xs[k] = (mx + dx * by) * fine;
      raster.ys[k] = (my + dy * by) * fine;
    }
    return sides;
  }

  // Whose face is uppermost at a place; null for nobody's. What is drawn as glass is looked through.
  under(x, y) {
    let glass = null;
    for (let k = this.count - 1; k >= 0; k--) {
      const face = this.order[k];
      if (!this.owner[face] || !this.holds(face, x, y)) continue;
      if (!this.glass[face]) return this.owner[face];
      glass = glass || this.owner[face];
    }
    return glass;
  }

  holds(face, x, y) {
    let inside = false;
    const [first, sides] = [this.first[face], this.sides[face]];
    for (let k = 0, j = sides - 1; k < sides; j = k++) {
      const [ax, ay] = [this.corners[first + 2 * k], this.corners[first + 2 * k + 1]];
      const [bx, by] = [this.corners[first + 2 * j], this.corners[first + 2 * j + 1]];
      if (ay > y !== by > y && x < ((bx - ax) * (y - ay)) / (by - ay) + ax) inside = !inside;
    }
    return inside;
  }
}

// How much light falls on a surface whose normal is given on the screen (across, down, near).
export function lightOf(view) {
  const { across: a, up: u, near: n } = view;
  const size = Math.hypot(...LIGHT);
  const on = [a, u, n].map((row) => (row[0] * LIGHT[0] + row[1] * LIGHT[1] + row[2] * LIGHT[2]) / size);
  return (x, y, z) => Math.max(0, 0.55 * (x * on[0] - y * on[1] + z * on[2]) + 0.45 * z);
}
