// Where every part is along a motion: at a frame, between two, or where the linkage ends.
import { standing } from "./picture_space.js";
import { Told } from "./picture_words.js";

// Between two rows of numbers.
function between(one, other, share) {
  if (!share || !other) return one;
  return one.map((value, k) => value + share * (other[k] - value));
}

export class Along extends Told {
  // An axle where the range stands, or where its linkage ends before that; between two frames in between.
  frame(axle) {
    const { frames, read } = axle.motions[this.motion] || { frames: [], read: [] };
    const [index, share] = this.reached(frames);
    if (index < 0) return [null, null, index];
    return [between(frames[index], frames[index + 1], share), read[index + Math.round(share)] || read[index], index];
  }

  reached(rows, at = this.at) {
    if (!rows.length) return [-1, 0];
    let index = Math.min(Math.floor(at), rows.length - 1);
    const start = Math.min(this.data.motions[this.motion].start, rows.length - 1);
    const whole = rows[index] !== null;
    while (rows[index] === null && index !== start) index += index < start ? 1 : -1;
    return rows[index] === null ? [-1, 0] : [index, whole && rows[index + 1] ? at - Math.floor(at) : 0];
  }

  pose(state, at = this.at) {
    const poses = state.poses[this.motion] || [];
    const [index, share] = this.reached(poses, at);
    return index < 0 ? null : between(poses[index], poses[index + 1], share);
  }

  // Both axles of a state and how its body stands, at the frame that all of it reaches.
  standing(state) {
    const stays = this.playing && this.playing.ghostStays && state !== this.solid;
    const at = stays ? this.data.motions[this.motion].start : this.at;
    const poses = state.poses[this.motion] || [];
    const [index, share] = this.reached(poses, at);
    if (index < 0) return null;
    const axles = state.axles.map((axle) => {
      const { frames, centres } = axle.motions[this.motion];
      const one = Math.min(index, frames.length - 1);
      return { axle, row: between(frames[one], frames[one + 1], share), told: centres && centres[one] };
    });
    return { state, axles, stand: standing(between(poses[index], poses[index + 1], share)) };
  }
}
