// The moving picture: frames come once from the server; a range picks one, and only then is anything drawn.
import { Marks } from "./picture_marks.js";
import { Faces } from "./picture_paint.js";
import { plays, run } from "./picture_show.js";
import { savings } from "./picture_save.js";
import { Solids } from "./picture_solid.js";
import { VIEWS, View, standing, stood } from "./picture_space.js";
import { CLOSER, Touched } from "./picture_touch.js";
import { made } from "./picture_words.js";
import { in_words, learnt, number_told } from "./words.js";

export class Picture extends Touched {
  constructor(place, data) {
    super();
    this.place = place;
    this.data = data;
    learnt(data.words);
    this.motion = "travel";
    [this.turn, this.tilt] = VIEWS["3-D"];
    this.chosen = null;
    this.waiting = false;
    this.drawn = 0;
    this.fingers = new Map();
    this.pinch = null;
    this.size = 1;
    this.pan = [0, 0]; // [px]
    this.shown = { centres: false, points: false };
    this.faces = new Faces();
    this.only = null; // one part alone, by its name
    this.planned = data.states.find((state) => state.planned) || null;
    this.solid = data.states[data.states.length - 1];
    [this.cells, this.rows] = [[], []];
    place.picture = this;
    this.build();
    this.measure();
    new ResizeObserver(() => this.measure()).observe(this.canvas);
    this.choose("travel");
    document.addEventListener("place", (event) => this.follow(event.detail));
  }

  build() {
    const views = made("div", { class: "bar", role: "group", "aria-label": in_words("View") });
    for (const view of Object.keys(VIEWS)) {
      const button = made("button", { type: "button", class: "plain", "aria-pressed": view === "3-D" }, in_words(view));
      button.addEventListener("click", () => this.look(view));
      views.append(button);
    }
    for (const [sign, name, by] of [["+", in_words("Nearer"), CLOSER], ["−", in_words("Further"), 1 / CLOSER]]) {
      const button = made("button", { type: "button", class: "plain", "aria-label": name, title: name }, sign);
      button.addEventListener("click", () => this.nearer(by));
      views.append(button);
    }
    this.views = views;
    this.canvas = made("canvas", { tabindex: "0", role: "img" });
    for (const [name, label] of [["centres", in_words("Roll centres")], ["points", in_words("Joints")]]) {
      if (this.data.plain && name === "points") continue;
      const button = made("button", { type: "button", class: "plain", "aria-pressed": "false" }, label);
      button.addEventListener("click", () => {
        this.shown[name] = !this.shown[name];
        button.setAttribute("aria-pressed", String(this.shown[name]));
        this.ask();
      });
      views.append(button);
    }
    const numbers = this.data.plain ? in_words("Its numbers stand below.") : in_words("Its numbers stand in the table below.");
    const keys = in_words("Arrow keys turn it, plus and minus bring it nearer, the key of zero shows it whole.");
    this.canvas.setAttribute("aria-label", `${in_words("The car's running gear, both axles.")} ${keys} ${numbers}`);
    this.pen = this.canvas.getContext("2d");
    this.said = made("p", { class: "pivot", "aria-live": "polite" }, this.data.plain ? in_words("Press on a part to see what it is.") : in_words("Press on a part to see what it is, on a joint to see where it is."));
    this.field = made("a", { class: "button plain", hidden: "" }, in_words("Change where it is"));
    const motions = made("div", { class: "bar", role: "group", "aria-label": in_words("Motion") });
    for (const name of Object.keys(this.data.motions)) {
      const button = made("button", { type: "button", class: "plain", "data-motion": name }, in_words(name));
      button.addEventListener("click", () => this.choose(name));
      motions.append(button);
    }
    this.motions = motions;
    const shows = made("div", { class: "bar", role: "group", "aria-label": in_words("Show me") });
    for (const play of plays(this)) {
      const button = made("button", { type: "button", "data-play": play.name }, play.asks());
      button.addEventListener("click", () => this.show(play));
      shows.append(button);
    }
    const drag = made("div", { class: "drag" });
    this.label = made("label", { for: "drag" });
    this.output = made("output", { for: "drag" });
    this.range = made("input", { type: "range", id: "drag", min: "0", step: "1" });
    this.range.addEventListener("input", () => this.moved());
    this.player = made("button", { type: "button", class: "plain", hidden: "" }, in_words("Play"));
    this.player.addEventListener("click", () => this.play());
    drag.append(this.label, this.output, this.range, this.player);
    this.note = made("p", { class: "quiet", "aria-live": "polite" });
    this.place.append(this.canvas, this.said, this.field, shows, views, motions, drag, this.note, this.key(), savings(this));
    if (!this.data.plain) this.note.after(this.tables());
    this.canvas.addEventListener("pointerdown", (event) => this.press(event));
    this.canvas.addEventListener("pointermove", (event) => this.drag(event));
    for (const name of ["pointerup", "pointercancel"]) this.canvas.addEventListener(name, (event) => this.release(event));
    this.canvas.addEventListener("wheel", (event) => this.wheeled(event), { passive: false });
    this.canvas.addEventListener("keydown", (event) => this.key_pressed(event));
  }

  choose(name, tell = true) {
    const motion = this.data.motions[name];
    this.wanted = name;
    this.stop();
    if (motion.later) return this.bring(name, tell);
    this.motion = name;
    this.player.hidden = !motion.road;
    this.at = motion.start;
    this.note.textContent = in_words(motion.note);
    this.rows.forEach((lines, row) => lines.forEach((line, at) => (line.hidden = !this.reads(name, row, at))));
    for (const button of this.motions.children) button.setAttribute("aria-pressed", String(button.dataset.motion === name));
    this.label.textContent = in_words(motion.label);
    this.range.max = String(motion.values.length - 1);
    this.range.value = String(motion.start);
    if (tell) this.moved();
  }

  // In the time that it takes on the road.
  play() {
    if (this.playing) return this.stop();
    const { values } = this.data.motions[this.motion];
    const run = (this.playing = { begun: performance.now() });
    this.player.textContent = in_words("Stop");
    const step = () => {
      if (this.playing !== run) return;
      const time = values[0] + (performance.now() - run.begun) / 1000;
      const next = values.findIndex((value) => value >= time);
      this.place_at(next < 0 ? values.length - 1 : next);
      if (next < 0) this.stop();
      else requestAnimationFrame(step);
    };
    step();
  }

  stop() {
    this.playing = null;
    this.player.textContent = in_words("Play");
  }

  async show(play) {
    await this.choose(play.motion);
    if (this.motion !== play.motion) return; // it could not be fetched: the note says so
    this.look(play.view);
    run(this, play);
  }

  // A play is over: the ghost goes with its wheels again.
  ended(run) {
    if (this.playing === run) this.playing = run.ghostStays ? run : null;
  }

  // The range goes to a frame, or to between two; the charts' cursors go with it.
  place_at(at) {
    this.range.value = String(Math.round(at));
    this.at = at;
    this.ask();
    this.announce();
  }

  // The range was moved: the charts' cursors go with it.
  moved() {
    this.stop();
    this.at = Number(this.range.value);
    this.ask();
    this.announce();
  }

  announce() {
    const value = this.data.motions[this.motion].values[Number(this.range.value)];
    document.dispatchEvent(new CustomEvent("place", { detail: { motion: this.motion, value, by: this } }));
  }

  // A chart's cursor was moved: the picture goes with it.
  follow({ motion, value, by }) {
    if (by === this || !this.data.motions[motion]) return;
    if (this.data.motions[motion].later) return; // a cursor alone does not set the server to work
    if (motion !== this.motion) this.choose(motion, false);
    const { values } = this.data.motions[motion];
    let best = 0;
    values.forEach((one, k) => (best = Math.abs(one - value) < Math.abs(values[best] - value) ? k : best));
    this.stop();
    this.range.value = String(best);
    this.at = best;
    this.ask();
  }

  // Nearer or further, so that what is at a place of the canvas stays there.
  nearer(by, at = [this.wide / 2, this.high / 2]) {
    const size = Math.max(1, Math.min(12, this.size * by));
    const middle = [this.wide / 2, this.high / 2];
    this.pan = this.pan.map((one, k) => at[k] - middle[k] - (at[k] - middle[k] - one) * (size / this.size));
    if (size === 1) this.pan = [0, 0];
    this.size = size;
    this.ask();
  }

  look(view) {
    const [turn, tilt, axle] = VIEWS[view];
    [this.turn, this.tilt] = [turn, tilt];
    [this.size, this.pan] = [1, [0, 0]];
    if (axle !== undefined) this.approach(this.solid.axles[axle]);
    this.pressed(view);
    this.ask();
  }

  // An axle as large as the canvas has room for.
  approach(axle) {
    const row = axle.motions.travel.frames[this.data.motions.travel.start];
    if (!row) return;
    const first = 3 * axle.names.length;
    const [x, y, z] = [0, 1, 2].map((k) => (row[first + k] + row[first + 6 + k]) / 2);
    const view = this.view();
    const size = Math.max(1, Math.min(this.wide / (19000 * view.size), this.high / (11500 * view.size)));
    const at = view.at(x, y, z + 900);
    this.size = size;
    this.pan = [(this.wide / 2 - at[0]) * size, (this.high / 2 - at[1]) * size];
  }

  // Another picture at the next moment at which the screen takes one.
  ask() {
    if (this.waiting) return;
    this.waiting = true;
    requestAnimationFrame(() => {
      this.waiting = false;
      this.draw();
    });
  }

  measure() {
    const box = this.canvas.getBoundingClientRect();
    const fine = Math.min(window.devicePixelRatio || 1, 2);
    this.fine = fine;
    this.wide = box.width;
    this.high = box.height;
    this.canvas.width = Math.round(box.width * fine);
    this.canvas.height = Math.round(box.height * fine);
    this.pen.setTransform(fine, 0, 0, fine, 0, 0);
    this.ask();
  }

  scale() {
    let low = [Infinity, Infinity];
    let high = [-Infinity, -Infinity];
    const plain = new View(this.turn, this.tilt, 1, [0, 0], [0, 0]);
    for (const state of this.data.states) {
      const stand = standing(state.poses.travel[this.data.motions.travel.start]);
      for (const flat of [...state.body.sides, ...state.body.across])
        for (let k = 0; k < flat.length; k += 3) {
          const [x, y] = plain.at(...stood(stand, flat[k], flat[k + 1], flat[k + 2]));
          low = [Math.min(low[0], x), Math.min(low[1], -y)];
          high = [Math.max(high[0], x), Math.max(high[1], -y)];
        }
    }
    low[1] = Math.min(low[1], plain.at(0, 0, 0)[1] * -1 - 1700); // and room for the tyres' size
    const size = Math.min((this.wide - 24) / (high[0] - low[0] || 1), (this.high - 24) / (high[1] - low[1] || 1));
    return [size * this.size, [(low[0] + high[0]) / 2, (low[1] + high[1]) / 2]];
  }

  view() {
    const [size, middle] = this.scale();
    return new View(this.turn, this.tilt, size, middle, [this.wide / 2 + this.pan[0], this.high / 2 + this.pan[1]]);
  }

  draw() {
    this.drawn_on(this.pen);
    this.mark();
    this.tell();
    this.drawn += 1;
    this.canvas.dataset.drawn = String(this.drawn);
  }

  // The present view by a pen: the canvas's own, or one that writes it down.
  drawn_on(pen) {
    const view = this.view();
    pen.clearRect(0, 0, this.wide, this.high);
    this.spots = [];
    this.faces.clear();
    const solid = this.standing(this.solid);
    const ghost = this.data.states.length > 1 ? this.standing(this.data.states[0]) : null;
    if (!this.only) this.under(pen, view, solid);
    if (solid) this.parts(view, solid);
    this.faces.paint(pen, this.fine);
    if (!this.only) this.over(pen, view, solid, ghost);
  }

  // What everything stands on or before.
  under(pen, view, solid) {
    const marks = new Marks(pen, view);
    const rear = this.rear();
    marks.road([9500, rear - 9500, 11000], this.profile(rear));
    if (!solid) return;
    if (view.near[2] > 0.06 && !this.data.motions[this.motion].road)
      for (const { axle, row } of solid.axles)
        for (const side of [0, 1]) {
          const first = 3 * (axle.names.length + 2 * side);
          const [x, y] = stood(solid.stand, row[first], row[first + 1], row[first + 2]);
          marks.shade(x, y, 2100, 1250);
        }
    marks.body(solid.state.body, solid.stand, true);
  }

  parts(view, solid) {
    const solids = new Solids(this.faces, view);
    const matrix = view.of(solid.stand);
    for (const { axle, row } of solid.axles) {
      solids.axle(axle, row, matrix, this.only);
      this.spot(view, solid, axle, row);
      if (!this.data.motions[this.motion].mound || this.only) continue;
      for (const side of [0, 1]) {
        const first = 3 * (axle.names.length + 2 * side);
        const [x, y, z] = stood(solid.stand, row[first], row[first + 1], row[first + 2]);
        const low = z - axle.radius[side];
        if (low > 30) solids.mound(x, y, low, 1300);
      }
    }
  }

  spot(view, solid, axle, row) {
    axle.names.forEach((name, k) => {
      if (!name) return;
      const place = row.slice(3 * k, 3 * k + 3);
      const [x, y] = view.at(...stood(solid.stand, ...place));
      this.spots.push({ x, y, name, axle: axle.name });
    });
  }

  over(pen, view, solid, ghost) {
    const marks = new Marks(pen, view);
    if (solid) marks.body(solid.state.body, solid.stand, false);
    if (ghost) {
      for (const before of [true, false]) marks.body(ghost.state.body, ghost.stand, before, true);
      for (const { axle, row } of ghost.axles) marks.ghost(axle, row, ghost.stand);
    }
    if (this.shown.centres) {
      if (ghost) marks.centres(ghost.axles, ghost.stand, false);
      if (solid) marks.centres(solid.axles, solid.stand, true);
    }
    pen.setLineDash([]);
    if (this.shown.points) {
      pen.strokeStyle = "#111111";
      pen.fillStyle = "#ffffff";
      pen.lineWidth = 1.5;
      for (const { x, y } of this.spots) {
        pen.beginPath();
        pen.arc(x, y, 3.5, 0, 2 * Math.PI);
        pen.fill();
        pen.stroke();
      }
    }
    if (solid && !this.only) this.sizes(pen, view, solid);
    pen.fillStyle = "#46505a";
    pen.font = "14px sans-serif";
    pen.textAlign = "center";
    const [x, y] = view.at(11500, 0, 0);
    if (this.size === 1 && Math.abs(Math.sin(this.turn)) < 0.99)
      pen.fillText(in_words("front"), Math.min(Math.max(x, 24), this.wide - 24), Math.min(y + 18, this.high - 8));
  }

  // The size of each axle's tyres, on the road beside the wheel that is nearer to the eye. Seen along the car both stand
  // at one place: once where they are alike, else below each other with their axles' names.
  sizes(pen, view, { axles, stand }) {
    const size = this.wide < 500 ? 11 : 13;
    pen.fillStyle = "#2f3a44";
    pen.font = `${size}px sans-serif`;
    pen.textAlign = "center";
    const told = axles.map(({ axle, row }) => {
      const side = view.near[1] < 0 ? 1 : 0;
      const tyres = axle.shapes.filter((shape) => shape.kind === "wheel");
      const first = 3 * (axle.names.length + 2 * side);
      const [x, y, z] = stood(stand, row[first], row[first + 1], row[first + 2]);
      const at = view.at(x, y + (side ? -1400 : 1400) * Math.abs(view.near[2]), Math.max(0, z - axle.radius[side]));
      return { name: axle.name, text: tyres[side].name.split("tyre ")[1] || "", x: at[0], y: Math.min(at[1] + 15, this.high - 5) };
    });
    const [one, other] = told;
    if (other && Math.abs(one.x - other.x) < 7 * size && Math.abs(one.y - other.y) < 1.2 * size) {
      if (one.text === other.text) told.pop();
      else if (one.text && other.text) {
        for (const tyre of told) tyre.text = `${in_words(tyre.name)} ${tyre.text}`;
        [one.x, one.y] = [Math.max(other.x, 4.8 * size), Math.min(other.y, this.high - 5 - 1.2 * size)];
        [other.x, other.y] = [one.x, one.y + 1.2 * size];
      }
    }
    for (const { text, x, y } of told) pen.fillText(text, x, y);
  }

  rear() {
    const { axles } = this.data.states[0];
    const axle = axles[axles.length - 1];
    const row = axle.motions.travel.frames[this.data.motions.travel.start];
    return row ? row[3 * axle.names.length] : -24000;
  }

  // The road from front to rear with the obstacle where it is at this time; null where it is level.
  profile(rear) {
    const { road, values } = this.data.motions[this.motion];
    if (!road) return null;
    const [front, back] = [9500, rear - 9500];
    const begun = values[Number(this.range.value)] * road.speed; // how far the front wheels are into it
    const there = road.place.map((place, k) => [place - begun, road.height[k]]);
    const seen = there.filter(([x]) => x < front && x > back).reverse();
    return [[front, 0], ...seen, [back, 0]];
  }

  mark() {
    if (!this.chosen) return;
    if (this.chosen.part) return this.say(this.chosen.part);
    const told = [];
    for (const spot of this.spots) {
      if (spot.name !== this.chosen.name || spot.axle !== this.chosen.axle) continue;
      this.pen.strokeStyle = "#111111";
      this.pen.lineWidth = 2.5;
      this.pen.beginPath();
      this.pen.arc(spot.x, spot.y, 11, 0, 2 * Math.PI);
      this.pen.stroke();
    }
    for (const state of this.data.states) {
      const axle = state.axles.find(({ name }) => name === this.chosen.axle);
      const k = axle.names.indexOf(this.chosen.name);
      const [row] = this.frame(axle);
      if (k < 0 || !row) continue;
      const shown = [0, 1, 2].map((j) => number_told(row[3 * k + j] * this.data.perTenth, this.data.decimals));
      told.push(`${in_words(state.title)} ${shown.join(" / ")}`);
    }
    this.say(in_words("{0}: forward / left / up in the car, {1}: {2}", in_words(this.chosen.name), this.data.unit, told.join("; ")), this.data.fields[this.chosen.name]);
  }

  say(text, address) {
    if (this.said.textContent === text) return;
    this.said.textContent = text;
    this.field.hidden = !address;
    if (address) this.field.href = address;
  }
}
