// Places in the car, over the road and on the screen. Lengths come in tenths of a millimetre.

// By the words on their buttons: how far turned, how far tilted, and which axle is looked at from close by.
export const VIEWS = {
  "3-D": [0.75, 0.42],
  side: [0, 0],
  front: [Math.PI / 2, 0],
  rear: [-Math.PI / 2, 0],
  plan: [0, Math.PI / 2],
  "front axle": [0.98, 0.3, 0],
  "rear axle": [-0.98, 0.3, 1],
};

// How a body stands over the road, from heave, pitch (nose down) and roll (right side down): the same order of turns as
// the calculation's.
export function standing(pose) {
  const [heave, pitch, roll] = pose ? [pose[0], pose[1] / 1e6, pose[2] / 1e6] : [0, 0, 0];
  const [cp, sp, cr, sr] = [Math.cos(pitch), Math.sin(pitch), Math.cos(roll), Math.sin(roll)];
  return [cp, sp * sr, sp * cr, 0, 0, cr, -sr, 0, -sp, cp * sr, cp * cr, heave];
}

export function stood(stand, x, y, z) {
  return [
    stand[0] * x + stand[1] * y + stand[2] * z + stand[3],
    stand[4] * x + stand[5] * y + stand[6] * z + stand[7],
    stand[8] * x + stand[9] * y + stand[10] * z + stand[11],
  ];
}

// A view is seen from the left of the car, turned about its upright and tilted; without perspective, so that what is as
// long is drawn as long. Its rows give across, up and towards the eye.
export class View {
  constructor(turn, tilt, size, middle, centre) {
    const [ct, st, ci, si] = [Math.cos(turn), Math.sin(turn), Math.cos(tilt), Math.sin(tilt)];
    this.across = [-ct, st, 0];
    this.up = [-st * si, -ct * si, ci];
    this.near = [st * ci, ct * ci, si];
    this.size = size;
    this.shift = [centre[0] - middle[0] * size, centre[1] + middle[1] * size];
  }

  at(x, y, z) {
    const { across: a, up: u, size, shift } = this;
    return [(a[0] * x + a[1] * y + a[2] * z) * size + shift[0], shift[1] - (u[0] * x + u[1] * y + u[2] * z) * size];
  }

  // Of a body that stands somehow: one matrix from its own axes to across, down and nearness, in pixels.
  of(stand) {
    const matrix = new Float64Array(12);
    [this.across, this.up, this.near].forEach((row, k) => {
      const size = k === 1 ? -this.size : this.size;
      for (let j = 0; j < 4; j++) {
        matrix[4 * k + j] = size * (row[0] * stand[j] + row[1] * stand[4 + j] + row[2] * stand[8 + j]);
      }
      if (k < 2) matrix[4 * k + 3] += this.shift[k];
    });
    return matrix;
  }
}
