// What is drawn as lines: the road, the body's outline, the ghost of the car as found, roll centres.
import { stood } from "./picture_space.js";

const GHOST = "#0072B2";
const BODY = "#4a5a68";

export class Marks {
  constructor(pen, view) {
    this.pen = pen;
    this.view = view;
  }

  line(points, close = false) {
    const { pen, view } = this;
    pen.beginPath();
    points.forEach((p, k) => (k ? pen.lineTo(...view.at(...p)) : pen.moveTo(...view.at(...p))));
    if (close) pen.closePath();
  }

  // The road is what stays: squares of half a metre, or the profile of what is driven over.
  road(reach, profile) {
    const { pen, view } = this;
    const [front, rear, wide] = reach;
    pen.setLineDash([]);
    pen.lineWidth = 1;
    if (Math.abs(view.near[2]) > 0.06 && !profile) {
      this.line([[front, -wide, 0], [front, wide, 0], [rear, wide, 0], [rear, -wide, 0]], true);
      pen.fillStyle = "#eef1f2";
      pen.fill();
      pen.strokeStyle = "#d5dbde";
      for (let x = Math.ceil(rear / 5000) * 5000; x <= front; x += 5000) this.stroke([[x, -wide, 0], [x, wide, 0]]);
      for (let y = -wide; y <= wide; y += wide / 4) this.stroke([[front, y, 0], [rear, y, 0]]);
      return;
    }
    pen.strokeStyle = "#8c979e";
    pen.lineWidth = 1.6;
    const along = profile || [[front, 0], [rear, 0]];
    for (const y of [-wide, 0, wide]) this.stroke(along.map(([x, z]) => [x, y, z]));
    if (!profile) this.stroke([[0, -wide, 0], [0, wide, 0]]);
  }

  stroke(points) {
    this.line(points);
    this.pen.stroke();
  }

  shade(x, y, long, wide) {
    const ring = Array.from({ length: 20 }, (_, k) => [x + long * Math.cos((k * Math.PI) / 10), y + wide * Math.sin((k * Math.PI) / 10), 0]);
    this.line(ring, true);
    this.pen.fillStyle = "rgba(40,48,54,.16)";
    this.pen.fill();
  }

  // The body in two halves: what lies behind the parts before them, what lies in front of them after them.
  body(body, stand, before, ghost = false) {
    const { pen, view } = this;
    const points = (flat) => {
      const found = [];
      for (let k = 0; k < flat.length; k += 3) found.push(stood(stand, flat[k], flat[k + 1], flat[k + 2]));
      return found;
    };
    pen.setLineDash(ghost ? [7, 5] : []);
    pen.strokeStyle = ghost ? GHOST : BODY;
    pen.globalAlpha = ghost ? 0.75 : before ? 0.5 : 0.9;
    pen.lineWidth = ghost ? 1.3 : 1.7;
    body.sides.forEach((flat, side) => {
      const behind = (side ? -1 : 1) * view.near[1] < -0.02;
      if (behind !== before) return;
      this.line(points(flat), true);
      if (!ghost) {
        pen.fillStyle = before ? "rgba(118,140,158,.10)" : "rgba(118,140,158,.06)";
        pen.fill();
      }
      pen.stroke();
      if (ghost) return;
      pen.lineWidth = 1;
      this.line(points(body.glass[side]), true);
      pen.fillStyle = "rgba(110,150,180,.13)";
      pen.fill();
      pen.stroke();
      pen.lineWidth = 1.7;
    });
    if (before && !ghost) this.skin(body.across.map(points));
    pen.globalAlpha = 1;
  }

  // From bonnet to tail, as far as light goes through it.
  skin(across) {
    const { pen } = this;
    pen.lineWidth = 1;
    across.forEach(([left, right], k) => {
      this.stroke([left, right]);
      if (!k) return;
      this.line([...across[k - 1], right, left], true);
      pen.fillStyle = "rgba(118,140,158,.13)";
      pen.fill();
    });
  }

  // A car as it was: its wheels and its parts as thin dashed lines.
  ghost(axle, row, stand) {
    const { pen } = this;
    const at = (k) => stood(stand, row[3 * k], row[3 * k + 1], row[3 * k + 2]);
    pen.setLineDash([5, 4]);
    pen.strokeStyle = GHOST;
    pen.lineWidth = 1.2;
    pen.globalAlpha = 0.75;
    const count = axle.names.length;
    axle.radius.forEach((radius, side) => this.circle(row.slice(3 * (count + 2 * side)), radius, stand));
    pen.globalAlpha = 0.3;
    for (const line of axle.lines) this.stroke(line.map(at));
    pen.globalAlpha = 1;
    pen.setLineDash([]);
  }

  circle([x, y, z, ...axis], radius, stand) {
    const [a, b, c] = axis.map((one) => one / 10000);
    const flat = Math.hypot(a, b) || 1;
    const first = [b / flat, -a / flat, 0];
    const second = [b * first[2] - c * first[1], c * first[0] - a * first[2], a * first[1] - b * first[0]];
    this.stroke(
      Array.from({ length: 41 }, (_, k) => {
        const [u, v] = [radius * Math.cos((k * Math.PI) / 20), radius * Math.sin((k * Math.PI) / 20)];
        return stood(stand, x + u * first[0] + v * second[0], y + u * first[1] + v * second[1], z + u * first[2] + v * second[2]);
      }),
    );
  }

  // Roll centre of each axle, the roll axis through both, instant centres with the lines to the tyres' feet.
  centres(axles, stand, solid) {
    const { pen, view } = this;
    const colour = solid ? "#7a1fa2" : GHOST;
    pen.setLineDash(solid ? [] : [5, 4]);
    pen.strokeStyle = colour;
    pen.fillStyle = colour;
    const places = axles.map(({ axle, row, told }) => {
      if (!told) return null;
      const first = 3 * axle.names.length;
      const x = (row[first] + row[first + 6]) / 2;
      [0, 1].forEach((side) => {
        const [y, z] = told.slice(1 + 2 * side, 3 + 2 * side);
        if (y === null || z === null) return;
        const centre = stood(stand, row[first + 6 * side], y, z);
        const foot = stood(stand, ...row.slice(first + 6 * side, first + 6 * side + 3));
        pen.lineWidth = 1;
        this.stroke([[foot[0], foot[1], 0], centre]);
        const at = view.at(...centre);
        pen.strokeRect(at[0] - 4, at[1] - 4, 8, 8);
      });
      if (told[0] === null) return null;
      // on the body's centre plane, so high over the road as it is told
      const up = (told[0] - stand[11] - stand[8] * x) / stand[10];
      return stood(stand, x, 0, up);
    });
    pen.lineWidth = 2;
    if (places.every((place) => place)) this.stroke(places);
    for (const place of places) {
      if (!place) continue;
      const at = view.at(...place);
      pen.setLineDash([]);
      pen.beginPath();
      pen.arc(...at, 7, 0, 2 * Math.PI);
      pen.stroke();
      pen.beginPath();
      pen.arc(...at, 2.5, 0, 2 * Math.PI);
      pen.fill();
    }
    pen.setLineDash([]);
  }
}
