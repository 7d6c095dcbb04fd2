// "Show me": short plays of what is asked most. Each picks a motion and a view, and says while it runs what is seen.

import { in_words } from "./words.js";

const ROUND = (share) => 0.5 - 0.5 * Math.cos(2 * Math.PI * share); // there and back
const THERE = (share) => 0.5 - 0.5 * Math.cos(Math.PI * Math.min(1, share * 1.35)); // there, and a while to look

// Every play: where its motion goes from and to (in the motion's own unit; null for as far as the car goes), and its words.
const PLAYS = [
  {
    name: "Lowering",
    asks: () => in_words("Show me: lowering"),
    motion: "travel",
    view: "3-D",
    fits: (picture) => picture.planned && picture.planned.sunk > 20,
    from: (picture) => -picture.length(picture.planned.sunk),
    to: () => 0,
    ghostStays: true,
    says: (picture) => in_words("The wheels stay on the road and the body comes down {0}. Dashed: as found.", picture.told(picture.planned.sunk)),
  },
  {
    name: "A bump under one wheel",
    asks: () => in_words("Show me: a bump under one wheel"),
    motion: "front bump",
    view: "3-D",
    from: () => 0,
    to: () => null,
    way: ROUND,
    says: () => in_words("One wheel runs over a bump: spring and damper shorten, the anti-roll bar twists, the others stay."),
  },
  {
    name: "A corner",
    asks: () => in_words("Show me: a corner"),
    motion: "corner",
    view: "rear",
    from: () => 0,
    to: () => null,
    says: (picture) => in_words("A left turn: the body leans to the right. {0}", picture.inside()),
  },
  {
    name: "What stiffer does",
    asks: () => in_words("Show me: what stiffer does"),
    motion: "corner",
    view: "rear",
    fits: (picture) => picture.planned,
    from: () => 0,
    to: () => 0.6,
    says: (picture) => in_words("The same corner: {0}", picture.leans()),
  },
  {
    name: "Why the axle moves sideways",
    asks: () => in_words("Show me: why the axle moves sideways"),
    motion: "travel",
    view: "rear",
    fits: (picture) => picture.shifts(),
    from: () => null,
    to: () => null,
    way: (share) => 0.5 + 0.5 * Math.sin(2 * Math.PI * share),
    says: (picture) => in_words("The rod swings about its end on the body, in an arc: it takes the axle with it. {0}", picture.shifted()),
  },
];

const LASTS = 4500; // of a play [ms]

export function plays(picture) {
  return PLAYS.filter((play) => picture.data.motions[play.motion] && (!play.fits || play.fits(picture)));
}

// Runs a play until it is over or something else is asked for.
export function run(picture, play) {
  const { values } = picture.data.motions[play.motion];
  const [from, to] = [play.from(picture), play.to(picture)].map((value, k) => (value === null ? picture.end(play.motion, k) : value));
  const way = play.way || THERE;
  const still = window.matchMedia("(prefers-reduced-motion: reduce)").matches;
  const this_run = { ghostStays: Boolean(play.ghostStays) };
  picture.playing = this_run;
  const begun = performance.now();
  const step = () => {
    if (picture.playing !== this_run) return;
    const share = still ? 1 : Math.min(1, (performance.now() - begun) / LASTS);
    const value = from + (to - from) * way(still ? 0.999 : share);
    picture.place_at(placed(values, value));
    picture.note.textContent = play.says(picture);
    if (share < 1) requestAnimationFrame(step);
    else picture.ended(this_run);
  };
  step();
}

// Where a value lies between the frames, as a number that need not be whole.
function placed(values, value) {
  const last = values.length - 1;
  if (value <= values[0]) return 0;
  if (value >= values[last]) return last;
  const next = values.findIndex((one) => one > value);
  return next - 1 + (value - values[next - 1]) / (values[next] - values[next - 1]);
}
