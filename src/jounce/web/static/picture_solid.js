// Shapes become faces: tubes, coils, rubbers, wheels between the points they are bound to. No layout is known here.
import { lightOf } from "./picture_paint.js";

const LONGEST = 1800; // longer pieces are cut for the sorting [tenths of a millimetre]
const INSIDE = 600; // a tube counts as so much nearer to the eye than what lies in it [tenths of a millimetre]
const THIN = 2.2; // a thinner bar has no room for a line on it [px]
const LINES = 4; // painted along a bar, all round, so that one is seen from wherever it is looked at
const quad = new Float64Array(8);
const ring = new Float64Array(48);

export class Solids {
  constructor(faces, view) {
    this.faces = faces;
    this.view = view;
    this.light = lightOf(view);
  }

  // One axle's shapes of a state; `row` holds its points, `matrix` takes them to the screen.
  axle(axle, row, matrix, only) {
    const near = this.view.near;
    const at = (index) => {
      if (index >= 0) return [row[3 * index], row[3 * index + 1], row[3 * index + 2]];
      return axle.still[-1 - index];
    };
    this.matrix = matrix;
    this.near = near;
    for (const shape of axle.shapes) {
      if (only && shape.name !== only) continue;
      this.owner = shape;
      this.look = shape.changed ? "changed" : shape.look;
      this[shape.kind](shape, shape.points.map(at));
    }
  }

  screen(p) {
    const m = this.matrix;
    return [
      m[0] * p[0] + m[1] * p[1] + m[2] * p[2] + m[3],
      m[4] * p[0] + m[5] * p[1] + m[6] * p[2] + m[7],
      m[8] * p[0] + m[9] * p[1] + m[10] * p[2] + m[11],
    ];
  }

  // A round piece from a to b, both on the screen: strips that face the eye, lit as a round surface is.
  piece(a, b, ra, rb, look, lift = 0, inside = false) {
    const [dx, dy, dz] = [b[0] - a[0], b[1] - a[1], b[2] - a[2]];
    const flat = Math.hypot(dx, dy);
    if (flat < 0.05) return;
    const whole = Math.hypot(flat, dz);
    const [px, py] = [-dy / flat, dx / flat];
    const [qx, qy, qz] = [(-dx * dz) / (flat * whole), (-dy * dz) / (flat * whole), flat / whole];
    const widest = Math.max(ra, rb);
    const strips = widest < 1.6 ? 1 : widest < 3 ? 2 : widest < 7 ? 3 : widest < 14 ? 5 : 7;
    const depth = (a[2] + b[2]) / 2 + (inside ? -widest : widest) + lift;
    let [before, away] = [-1, -Math.PI / 2];
    for (let k = 0; k < strips; k++) {
      const next = -Math.PI / 2 + ((k + 1) * Math.PI) / strips;
      const after = k + 1 === strips ? 1 : Math.sin(next);
      const half = (away + next) / 2;
      const [s, c] = [Math.sin(half), inside ? -Math.cos(half) : Math.cos(half)];
      quad[0] = a[0] + px * ra * before;
      quad[1] = a[1] + py * ra * before;
      quad[2] = b[0] + px * rb * before;
      quad[3] = b[1] + py * rb * before;
      quad[4] = b[0] + px * rb * after;
      quad[5] = b[1] + py * rb * after;
      quad[6] = a[0] + px * ra * after;
      quad[7] = a[1] + py * ra * after;
      const light = this.light(px * s + qx * c, py * s + qy * c, Math.abs(qz * c));
      this.faces.add(quad, 8, depth, look, inside ? 0.35 * light : light, this.owner);
      before = after;
      away = next;
    }
  }

  // The round end of a piece, where it is turned to the eye.
  cap(at, from, radius, look) {
    const [dx, dy, dz] = [at[0] - from[0], at[1] - from[1], at[2] - from[2]];
    const whole = Math.hypot(dx, dy, dz) || 1;
    if (dz / whole < 0.08 || radius < 1) return;
    const flat = Math.hypot(dx, dy) || 1;
    const [ux, uy] = flat > 1e-6 ? [dx / flat, dy / flat] : [1, 0];
    for (let k = 0; k < 14; k++) {
      const [c, s] = [Math.cos((k * Math.PI) / 7) * radius * (dz / whole), Math.sin((k * Math.PI) / 7) * radius];
      ring[2 * k] = at[0] + ux * c - uy * s;
      ring[2 * k + 1] = at[1] + uy * c + ux * s;
    }
    this.faces.add(ring, 28, at[2] + radius + 0.01, look, this.light(dx / whole, dy / whole, dz / whole), this.owner);
  }

  // A tube through points of a body, cut into pieces for the sorting.
  run(points, radius, look, cut = [], over = 0) {
    const r = radius * this.view.size;
    const seen = points.map((p) => this.screen(p));
    for (let k = 0; k + 1 < points.length; k++) {
      const [a, b] = [seen[k], seen[k + 1]];
      const long = Math.hypot(...points[k].map((one, j) => points[k + 1][j] - one));
      const count = Math.max(1, Math.ceil(long / LONGEST), cut.length ? 24 : 1);
      let from = a;
      for (let j = 1; j <= count; j++) {
        const share = j / count;
        const to = [0, 1, 2].map((i) => a[i] + (b[i] - a[i]) * share);
        const middle = (j - 0.5) / count;
        if (cut.length && middle > cut[0] && middle < cut[1]) this.piece(from, to, r, r, "inside", 0, true);
        else this.piece(from, to, r, r, look, (cut.length ? INSIDE : over) * this.view.size);
        from = to;
      }
    }
    const last = seen.length - 1;
    this.cap(seen[0], seen[1], r, look);
    this.cap(seen[last], seen[last - 1], r, look);
  }

  tube(shape, points) {
    if (shape.reach) {
      const [a, b] = points;
      const share = shape.reach / (Math.hypot(b[0] - a[0], b[1] - a[1], b[2] - a[2]) || 1);
      points = [a, a.map((one, k) => one + share * (b[k] - one))];
    }
    if (shape.bow_of_one && points.length === 3) points = bowed(points);
    this.run(points, shape.radius, this.look, shape.cut_of_one || [], shape.over || 0);
  }

  ball(shape, [p]) {
    const at = this.screen(p);
    const r = shape.radius * this.view.size;
    const sides = r < 4 ? 8 : 14;
    for (const [share, shift, light] of [[1, 0, 0.34], [0.78, 0.16, 0.58], [0.42, 0.34, 0.86]]) {
      for (let k = 0; k < sides; k++) {
        ring[2 * k] = at[0] + r * (share * Math.cos((2 * k * Math.PI) / sides) - 0.4 * shift);
        ring[2 * k + 1] = at[1] + r * (share * Math.sin((2 * k * Math.PI) / sides) - shift);
      }
      this.faces.add(ring, 2 * sides, at[2] + 1.2 * r + 0.01 * share, this.look, light, shape);
      if (r < 2) break;
    }
  }

  // A bar with lines painted along it all round, which are straight while the bar is as it was found.
  twist(shape, [a, b, markA, markB]) {
    const axis = unit(less(b, a));
    const [u, far] = [square(less(markA, a), axis), square(less(markB, b), axis)];
    const side = cross(axis, u);
    const turn = Math.atan2(dot(side, far), dot(u, far));
    const pieces = Math.max(10, Math.min(48, Math.round(Math.hypot(...less(b, a)) * this.view.size * 0.12)));
    const r = shape.radius * this.view.size;
    const wide = Math.max(0.6, 0.2 * r);
    const [first, last] = [this.screen(a), this.screen(b)];
    const m = this.matrix;
    const before = [];
    const facing = (out) => m[8] * out[0] + m[9] * out[1] + m[10] * out[2];
    const most = Math.hypot(facing(u), facing(side));
    let from = first;
    for (let k = 0; k <= pieces; k++) {
      const share = k / pieces;
      const to = first.map((one, j) => one + share * (last[j] - one));
      if (k) this.piece(from, to, r, r, this.look);
      for (let line = 0; line < LINES && r > THIN; line++) {
        const angle = share * turn + (line * 2 * Math.PI) / LINES;
        const [c, s] = [Math.cos(angle), Math.sin(angle)];
        const out = u.map((one, j) => one * c + side[j] * s);
        const at = facing(out) > 0.4 * most ? this.screen(a.map((one, j) => one + share * (b[j] - one) + shape.radius * out[j])) : null;
        // the paint belongs on its own piece of the bar, whichever way that runs
        if (at && before[line]) this.piece([...before[line].slice(0, 2), from[2]], [...at.slice(0, 2), to[2]], wide, wide, "paint", r);
        before[line] = at;
      }
      from = to;
    }
    this.cap(first, last, r, this.look);
    this.cap(last, first, r, this.look);
  }

  // A coil between its seats: the closed ends keep their pitch, the rest shares what length is left.
  coil(shape, [a, b]) {
    const axis = unit(less(b, a));
    const long = Math.hypot(...less(b, a));
    const u = unit(cross(axis, Math.abs(axis[0]) < 0.8 ? [1, 0, 0] : [0, 1, 0]));
    const side = cross(axis, u);
    const around = Math.max(8, Math.min(20, Math.round(4 + 0.7 * this.view.size * shape.radius)));
    const turns = Math.max(3, shape.turns_count);
    const dead = 0.75;
    const closed = dead * shape.wire;
    const count = Math.round(turns * around);
    const r = (shape.wire / 2) * this.view.size;
    let before = null;
    for (let k = 0; k <= count; k++) {
      const turn = (k / count) * turns;
      let along = (turn * closed) / dead;
      if (turn > turns - dead) along = long - ((turns - turn) * closed) / dead;
      else if (turn > dead) along = closed + ((turn - dead) / (turns - 2 * dead)) * (long - 2 * closed);
      const [c, s] = [Math.cos(2 * Math.PI * turn) * shape.radius, Math.sin(2 * Math.PI * turn) * shape.radius];
      const at = this.screen(a.map((one, j) => one + along * axis[j] + c * u[j] + s * side[j]));
      if (before) this.piece(before, at, r, r, this.look);
      before = at;
    }
  }

  // A rubber on a rod: as soon as its foot is met it is shorter, and thicker by as much.
  rubber(shape, [upper, lower]) {
    const way = less(lower, upper);
    const long = Math.hypot(...way);
    const left = Math.max(0.3 * shape.height, Math.min(shape.height, shape.height - (shape.touch - long)));
    const radius = shape.radius * Math.sqrt(shape.height / left) * this.view.size;
    const places = [0, 0.16, 0.34, 0.5, 0.66, 0.84, 1];
    const widths = [0.92, 1, 0.78, 0.96, 0.76, 0.9, 0.6];
    const seen = places.map((share) => this.screen(upper.map((one, k) => one + (way[k] / long) * left * share)));
    for (let k = 0; k + 1 < seen.length; k++) this.piece(seen[k], seen[k + 1], radius * widths[k], radius * widths[k + 1], this.look);
    this.cap(seen[6], seen[5], radius * widths[6], this.look);
    this.cap(seen[0], seen[1], radius * widths[0], this.look);
  }

  wheel(shape, [centre, beside]) {
    const w = unit(less(beside, centre));
    const u = unit(cross([0, 0, 1], w));
    const v = cross(w, u);
    const m = this.matrix;
    const size = this.view.size;
    const turned = [w, u, v].map((one) => [0, 4, 8].map((j) => (m[j] * one[0] + m[j + 1] * one[1] + m[j + 2] * one[2]) / size));
    const [sw, su, sv] = turned;
    const at = this.screen(centre);
    const glass = sw[2] > 0.25; // its outer face is towards the eye: what is behind it is looked at
    const [half, big] = [shape.width / 2, shape.radius];
    const rim = shape.rim || 0.64 * big;
    const wall = big - rim;
    const around = Math.max(18, Math.min(44, 2 * Math.round(6 + big * size * 0.12)));
    const band = (profile, look, inward = false) => {
      for (let i = 0; i + 1 < profile.length; i++) {
        const [[a, ra], [b, rb]] = [profile[i], profile[i + 1]];
        const long = Math.hypot(b - a, rb - ra) || 1;
        const sense = inward ? -1 : 1;
        const [out, along] = [(sense * (b - a)) / long, (-sense * (rb - ra)) / long];
        for (let k = 0; k < around; k++) {
          const angle = (2 * Math.PI * (k + 0.5)) / around;
          const [c, s] = [out * Math.cos(angle), out * Math.sin(angle)];
          const near = along * sw[2] + c * su[2] + s * sv[2];
          if (near <= 0) continue;
          const light = this.light(along * sw[0] + c * su[0] + s * sv[0], along * sw[1] + c * su[1] + s * sv[1], near);
          let depth = 0;
          for (let j = 0; j < 4; j++) {
            const there = j === 1 || j === 2;
            const turn = (2 * Math.PI * (j > 1 ? k + 1 : k)) / around;
            const r = there ? rb : ra;
            const [cc, ss, al] = [r * Math.cos(turn), r * Math.sin(turn), there ? b : a];
            quad[2 * j] = at[0] + size * (al * sw[0] + cc * su[0] + ss * sv[0]);
            quad[2 * j + 1] = at[1] + size * (al * sw[1] + cc * su[1] + ss * sv[1]);
            depth += (at[2] + size * (al * sw[2] + cc * su[2] + ss * sv[2])) / 4;
          }
          this.faces.add(quad, 8, depth, look, light, this.owner, glass);
        }
      }
    };
    const tyre = [[-0.8, rim], [-1, rim + 0.5 * wall], [-0.72, big], [0.72, big], [1, rim + 0.5 * wall], [0.8, rim]];
    band(tyre.map(([along, r]) => [along * half, r]), this.look === "changed" ? "changed" : "tyre");
    const dish = half * 0.3;
    band([[0.8 * half, rim], [dish, 0.86 * rim]], "rim", true);
    band([[-0.8 * half, rim], [dish - 60, 0.84 * rim]], "inside", true);
    band([[dish, 0.86 * rim], [dish + 40, 0.3 * rim], [dish + 90, 0.1]], "rim");
    for (let k = 0; k < 8; k++) this.slot(at, turned, dish + 45, 0.6 * rim, (k * Math.PI) / 4, 0.13 * rim, glass);
  }

  slot(at, [sw, su, sv], along, r, angle, wide, glass) {
    if (sw[2] <= 0) return;
    for (let k = 0; k < 10; k++) {
      const turn = (k * Math.PI) / 5;
      const [radial, across] = [r + 1.5 * wide * Math.cos(turn), wide * Math.sin(turn)];
      const [c, s] = [radial * Math.cos(angle) - across * Math.sin(angle), radial * Math.sin(angle) + across * Math.cos(angle)];
      for (const j of [0, 1]) ring[2 * k + j] = at[j] + this.view.size * (along * sw[j] + c * su[j] + s * sv[j]);
    }
    this.faces.add(ring, 20, at[2] + this.view.size * (along * sw[2] + 40), "slot", 0.4, this.owner, glass);
  }

  // What a lifted wheel has run onto: a mound on the road below it.
  mound(x, y, height, half) {
    const [long, steps] = [2600, 12];
    const top = (k) => 0.5 * height * (1 + Math.cos(Math.PI * (k / steps) * 2 - Math.PI));
    this.owner = null;
    const at = (k, side) => [x - long / 2 + (long * k) / steps, y + side * half, top(k)];
    const m = this.view.of([1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0]);
    this.matrix = m;
    for (let k = 0; k < steps; k++) {
      const corners = [at(k, -1), at(k + 1, -1), at(k + 1, 1), at(k, 1)].map((p) => this.screen(p));
      corners.forEach((p, j) => ([quad[2 * j], quad[2 * j + 1]] = p));
      this.faces.add(quad, 8, Math.min(...corners.map((p) => p[2])) - 100, "road", 0.4 + 0.3 * (k / steps), null);
      for (const side of [-1, 1]) {
        if (side * this.near[1] <= 0) continue;
        const wall = [at(k, side), at(k + 1, side), [...at(k + 1, side).slice(0, 2), 0], [...at(k, side).slice(0, 2), 0]].map((p) => this.screen(p));
        wall.forEach((p, j) => ([quad[2 * j], quad[2 * j + 1]] = p));
        this.faces.add(quad, 8, Math.min(...wall.map((p) => p[2])), "road", 0.15, null);
      }
    }
  }
}

function less(a, b) {
  return [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
}

function dot(a, b) {
  return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

function cross(a, b) {
  return [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
}

function unit(a) {
  const long = Math.hypot(...a) || 1;
  return a.map((one) => one / long);
}

function square(a, axis) {
  const along = dot(a, axis);
  return unit(a.map((one, k) => one - along * axis[k]));
}

// A leaf from eye to eye through its seat.
function bowed([a, b, c]) {
  const top = b.map((one, k) => 2 * one - (a[k] + c[k]) / 2);
  return Array.from({ length: 9 }, (_, k) => {
    const t = k / 8;
    return a.map((one, j) => (1 - t) * (1 - t) * one + 2 * t * (1 - t) * top[j] + t * t * c[j]);
  });
}
