// The moving picture: frames come once from the server; a range picks one, and only then is anything drawn.
"use strict";

const LOOKS = [
  { colour: "#0072B2", dash: [8, 5], width: 2.4, square: false }, // as found: dashed, round
  { colour: "#D55E00", dash: [], width: 3, square: true }, // as planned: solid, square
];
const VIEWS = { "3-D": [0.75, 0.42], side: [0, 0], front: [Math.PI / 2, 0], plan: [0, Math.PI / 2] };
const NEAR = 24; // how close to a pivot a finger has to come [px]

for (const place of document.querySelectorAll(".picture[data-frames]")) begin(place);

async function begin(place) {
  const note = place.querySelector(".loading");
  note.textContent = "The picture is being worked out.";
  try {
    const answer = await fetch(place.dataset.frames);
    if (!answer.ok) throw new Error(String(answer.status));
    const data = await answer.json();
    note.remove();
    new Picture(place, data);
  } catch (error) {
    note.textContent = "The picture could not be fetched. Reload the page to try again.";
  }
}

function made(name, attributes = {}, text = "") {
  const element = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
  element.textContent = text;
  return element;
}

// A number with a true minus sign, and never "minus nothing".
function told(value, decimals) {
  const text = value.toFixed(decimals);
  return Number(text) === 0 ? text.replace("-", "") : text.replace("-", "−");
}

class Picture {
  constructor(place, data) {
    this.place = place;
    this.data = data;
    this.motion = "travel";
    [this.turn, this.tilt] = VIEWS["3-D"];
    this.chosen = null;
    this.waiting = false;
    this.drawn = 0;
    this.fingers = new Map();
    this.pinch = null;
    this.size = 1;
    this.build();
    this.measure();
    new ResizeObserver(() => this.measure()).observe(this.canvas);
    this.choose("travel");
    document.addEventListener("place", (event) => this.follow(event.detail));
  }

  build() {
    const views = made("div", { class: "bar", role: "group", "aria-label": "View" });
    for (const view of Object.keys(VIEWS)) {
      const button = made("button", { type: "button", class: "plain", "aria-pressed": view === "3-D" }, view);
      button.addEventListener("click", () => this.look(view));
      views.append(button);
    }
    for (const [sign, name, by] of [["+", "Nearer", 1.25], ["−", "Further", 0.8]]) {
      const button = made("button", { type: "button", class: "plain", "aria-label": name, title: name }, sign);
      button.addEventListener("click", () => this.nearer(by));
      views.append(button);
    }
    this.views = views;
    this.canvas = made("canvas", { tabindex: "0", role: "img" });
    const keys = "Arrow keys turn it, plus and minus bring it nearer, 0 shows it whole; its numbers stand in the table below.";
    this.canvas.setAttribute("aria-label", `Linkage of both axles. ${keys}`);
    this.pen = this.canvas.getContext("2d");
    this.said = made("p", { class: "pivot", "aria-live": "polite" }, "Press on a pivot to see where it is.");
    this.field = made("a", { class: "button plain", hidden: "" }, "Change where it is");
    const motions = made("div", { class: "bar", role: "group", "aria-label": "Motion" });
    for (const name of Object.keys(this.data.motions)) {
      const button = made("button", { type: "button", class: "plain", "data-motion": name }, name);
      button.addEventListener("click", () => this.choose(name));
      motions.append(button);
    }
    this.motions = motions;
    const drag = made("div", { class: "drag" });
    this.label = made("label", { for: "drag" });
    this.output = made("output", { for: "drag" });
    this.range = made("input", { type: "range", id: "drag", min: "0", step: "1" });
    this.range.addEventListener("input", () => this.moved());
    this.player = made("button", { type: "button", class: "plain", hidden: "" }, "Play");
    this.player.addEventListener("click", () => this.play());
    drag.append(this.label, this.output, this.range, this.player);
    this.note = made("p", { class: "quiet", "aria-live": "polite" });
    this.place.append(views, this.canvas, this.said, this.field, motions, drag, this.note, this.table(), this.key());
    this.canvas.addEventListener("pointerdown", (event) => this.press(event));
    this.canvas.addEventListener("pointermove", (event) => this.drag(event));
    for (const name of ["pointerup", "pointercancel"]) this.canvas.addEventListener(name, (event) => this.release(event));
    this.canvas.addEventListener("wheel", (event) => this.wheeled(event), { passive: false });
    this.canvas.addEventListener("keydown", (event) => this.key_pressed(event));
  }

  key() {
    const line = made("p", { class: "legend" });
    for (const state of this.data.states) {
      const look = LOOKS[Number(state.planned)];
      const shape = look.square ? "■" : "●";
      line.append(`${shape} ${state.title}: ${look.dash.length ? "dashed" : "solid"} lines. `);
    }
    return line;
  }

  table() {
    const box = made("div", { class: "wide", role: "region", "aria-label": "Numbers at this place", tabindex: "0" });
    const table = made("table");
    const head = made("tr");
    head.append(made("th", { scope: "col" }, "here"));
    this.cells = [];
    this.rows = [];
    const axles = this.data.states[0].axles;
    for (const axle of axles)
      for (const state of this.data.states) head.append(made("th", { scope: "col" }, `${axle.name} ${state.title}`));
    const top = made("thead");
    top.append(head);
    const body = made("tbody");
    this.data.read.forEach((quantity, row) => {
      const line = made("tr");
      this.rows.push(line);
      line.append(made("th", { scope: "row" }, `${quantity.name}, ${quantity.unit}`));
      axles.forEach((_, axle) =>
        this.data.states.forEach((_, state) => {
          const cell = made("td", {}, "–");
          line.append(cell);
          this.cells.push([cell, state, axle, row]);
        }),
      );
      body.append(line);
    });
    table.append(top, body);
    box.append(table);
    return box;
  }

  choose(name, tell = true) {
    const motion = this.data.motions[name];
    this.wanted = name;
    if (motion.later) return this.bring(name, tell);
    this.motion = name;
    this.playing = null;
    this.player.hidden = !motion.road;
    this.note.textContent = motion.note;
    this.rows.forEach((line, row) => (line.hidden = !this.reads(name, row)));
    for (const button of this.motions.children) button.setAttribute("aria-pressed", String(button.dataset.motion === name));
    this.label.textContent = motion.label;
    this.range.max = String(motion.values.length - 1);
    this.range.value = String(motion.start);
    if (tell) this.moved();
  }

  // A motion of the whole car is worked out by the server when it is first asked for; then it is dragged like the others.
  async bring(name, tell) {
    const motion = this.data.motions[name];
    if (motion.coming) return;
    motion.coming = true;
    this.note.textContent = `${motion.label}: being worked out.`;
    try {
      const answer = await fetch(`${this.place.dataset.frames}?motion=${name}`);
      if (!answer.ok) throw new Error(String(answer.status));
      const { states } = await answer.json();
      if (states.every((axles) => axles === null)) {
        this.note.textContent = `${motion.label}: too little is known of this car, its dampers for instance.`;
        return;
      }
      states.forEach((axles, k) =>
        this.data.states[k].axles.forEach((axle, row) => (axle.motions[name] = axles ? axles[row] : { frames: [], read: [] })),
      );
      motion.later = false;
      if (this.wanted === name) this.choose(name, tell); // another motion was chosen while this one was on its way
    } catch (error) {
      this.note.textContent = `${motion.label}: this could not be fetched. Press its button to try again.`;
    } finally {
      motion.coming = false;
    }
  }

  reads(name, row) {
    const known = (axle) => axle.motions[name] && axle.motions[name].read.some((read) => read[row] !== null);
    return this.data.states.some((state) => state.axles.some(known));
  }

  // In the time that it takes on the road.
  play() {
    if (this.playing) {
      this.playing = null;
      this.player.textContent = "Play";
      return;
    }
    const { values } = this.data.motions[this.motion];
    const run = (this.playing = { begun: performance.now() });
    this.player.textContent = "Stop";
    const step = () => {
      if (this.playing !== run) return;
      const time = values[0] + (performance.now() - run.begun) / 1000;
      const next = values.findIndex((value) => value >= time);
      this.range.value = String(next < 0 ? values.length - 1 : next);
      this.moved();
      if (next < 0) this.play();
      else requestAnimationFrame(step);
    };
    step();
  }

  // The range was moved: the charts' cursors go with it.
  moved() {
    this.ask();
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
    this.range.value = String(best);
    this.ask();
  }

  nearer(by) {
    this.size = Math.max(1, Math.min(8, this.size * by));
    this.ask();
  }

  look(view) {
    [this.turn, this.tilt] = VIEWS[view];
    this.size = 1;
    this.pressed(view);
    this.ask();
  }

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
    this.wide = box.width;
    this.high = box.height;
    this.canvas.width = Math.round(box.width * fine);
    this.canvas.height = Math.round(box.height * fine);
    this.pen.setTransform(fine, 0, 0, fine, 0, 0);
    this.ask();
  }

  frame(axle) {
    const { frames } = axle.motions[this.motion] || { frames: [] };
    if (!frames.length) return [null, null];
    let index = Math.min(Number(this.range.value), frames.length - 1);
    const start = Math.min(this.data.motions[this.motion].start, frames.length - 1);
    while (frames[index] === null && index !== start) index += index < start ? 1 : -1; // where the linkage ends
    return [frames[index], axle.motions[this.motion].read[index]];
  }

  // Across and up on the screen before scaling, seen from the left of the car turned about its upright and tilted.
  seen(x, y, z) {
    const ahead = x * Math.cos(this.turn) - y * Math.sin(this.turn);
    const aside = x * Math.sin(this.turn) + y * Math.cos(this.turn);
    return [-ahead, z * Math.cos(this.tilt) - aside * Math.sin(this.tilt)];
  }

  scale() {
    let low = [Infinity, Infinity];
    let high = [-Infinity, -Infinity];
    for (const state of this.data.states)
      for (const axle of state.axles) {
        const middle = axle.motions.travel.frames[this.data.motions.travel.start];
        if (middle === null) continue;
        const count = axle.names.length;
        for (let i = 0; i < count + 2; i++) {
          const at = i < count ? 3 * i : 3 * count + 6 * (i - count);
          for (const far of i < count ? [0] : [-3400, 3400]) {
            const seen = this.seen(middle[at] + far, middle[at + 1], middle[at + 2] + far);
            low = low.map((value, k) => Math.min(value, seen[k]));
            high = high.map((value, k) => Math.max(value, seen[k]));
          }
        }
      }
    const size = Math.min((this.wide - 70) / (high[0] - low[0] || 1), (this.high - 60) / (high[1] - low[1] || 1));
    return [size * this.size, (low[0] + high[0]) / 2, (low[1] + high[1]) / 2];
  }

  draw() {
    const pen = this.pen;
    const [size, across, up] = this.scale();
    const at = (x, y, z) => {
      const [a, b] = this.seen(x, y, z);
      return [this.wide / 2 + (a - across) * size, this.high / 2 - (b - up) * size];
    };
    pen.clearRect(0, 0, this.wide, this.high);
    this.spots = [];
    this.ground(at);
    this.data.states.forEach((state, number) => {
      const look = LOOKS[Number(state.planned)];
      state.axles.forEach((axle, row) => this.axle(axle, look, at, number, row));
    });
    this.mark();
    this.tell();
    this.drawn += 1;
    this.canvas.dataset.drawn = String(this.drawn);
  }

  ground(at) {
    const pen = this.pen;
    pen.setLineDash([]);
    pen.lineWidth = 1;
    pen.strokeStyle = "#b9c2c8";
    pen.beginPath();
    const road = this.road();
    for (const y of [-9000, 0, 9000]) road.forEach(([x, z], k) => (k ? pen.lineTo(...at(x, y, z)) : pen.moveTo(...at(x, y, z))));
    if (!this.data.motions[this.motion].road)
      for (const axle of this.data.states[0].axles) {
        const x = axle.motions.travel.frames[this.data.motions.travel.start][3 * axle.names.length];
        pen.moveTo(...at(x, -9000, 0));
        pen.lineTo(...at(x, 9000, 0));
      }
    pen.stroke();
    pen.fillStyle = "#46505a";
    pen.font = "14px sans-serif";
    pen.textAlign = "center";
    const [x, y] = at(4000, 0, 0);
    if (Math.abs(Math.sin(this.turn)) < 0.99) pen.fillText("front", Math.max(x - 26, 24), y + 18);
  }

  // The road under the car from front to rear: level, or with the obstacle where it is at this time.
  road() {
    const { road, values } = this.data.motions[this.motion];
    const [front, rear] = [4000, -28000];
    if (!road) return [[front, 0], [rear, 0]];
    const begun = values[Number(this.range.value)] * road.speed; // how far the front wheels are into it
    const there = road.place.map((place, k) => [place - begun, road.height[k]]);
    const seen = there.filter(([x]) => x < front && x > rear).reverse();
    return [[front, 0], ...seen, [rear, 0]];
  }

  axle(axle, look, at, state, row) {
    const [frame] = this.frame(axle);
    if (!frame) return;
    const pen = this.pen;
    const count = axle.names.length;
    const points = [];
    for (let i = 0; i < count; i++) points.push(at(frame[3 * i], frame[3 * i + 1], frame[3 * i + 2]));
    pen.strokeStyle = look.colour;
    pen.fillStyle = look.colour;
    pen.lineWidth = look.width;
    pen.setLineDash(look.dash);
    pen.beginPath();
    for (const line of axle.lines) {
      pen.moveTo(...points[line[0]]);
      for (const next of line.slice(1)) pen.lineTo(...points[next]);
    }
    pen.stroke();
    pen.lineWidth = look.width / 2;
    axle.radius.forEach((radius, side) => this.wheel(frame, 3 * count + 6 * side, radius, at));
    pen.setLineDash([]);
    points.forEach(([x, y], i) => {
      if (look.square) pen.fillRect(x - 4, y - 4, 8, 8);
      else {
        pen.beginPath();
        pen.arc(x, y, 4.5, 0, 2 * Math.PI);
        pen.fill();
      }
      this.spots.push({ x, y, state, row, name: axle.names[i], place: frame.slice(3 * i, 3 * i + 3) });
    });
  }

  wheel(frame, start, radius, at) {
    const [x, y, z, a, b, c] = frame.slice(start, start + 6).map((value, k) => (k < 3 ? value : value / 10000));
    const flat = Math.hypot(a, b) || 1;
    const first = [b / flat, -a / flat, 0]; // level and in the wheel's plane
    const second = [b * first[2] - c * first[1], c * first[0] - a * first[2], a * first[1] - b * first[0]];
    this.pen.beginPath();
    for (let k = 0; k <= 36; k++) {
      const along = radius * Math.cos((k * Math.PI) / 18);
      const other = radius * Math.sin((k * Math.PI) / 18);
      const spot = at(x + along * first[0] + other * second[0], y + along * first[1] + other * second[1], z + along * first[2] + other * second[2]);
      if (k) this.pen.lineTo(...spot);
      else this.pen.moveTo(...spot);
    }
    this.pen.stroke();
  }

  mark() {
    if (!this.chosen) return;
    const told = [];
    for (const spot of this.spots) {
      if (spot.name !== this.chosen.name || spot.row !== this.chosen.row) continue;
      this.pen.strokeStyle = "#111111";
      this.pen.lineWidth = 2.5;
      this.pen.beginPath();
      this.pen.arc(spot.x, spot.y, 11, 0, 2 * Math.PI);
      this.pen.stroke();
      const shown = spot.place.map((value) => (value * this.data.perTenth).toFixed(this.data.decimals));
      told.push(`${this.data.states[spot.state].title} ${shown.join(" / ")}`);
    }
    const text = `${this.chosen.name}: forward / left / up, ${this.data.unit}: ${told.join("; ")}`;
    if (this.said.textContent === text) return;
    this.said.textContent = text;
    const address = this.data.fields[this.chosen.name];
    this.field.hidden = !address;
    if (address) this.field.href = address;
  }

  tell() {
    const motion = this.data.motions[this.motion];
    const value = motion.values[Number(this.range.value)];
    const text = `${value > 0 ? "+" : ""}${told(value, motion.decimals)} ${motion.unit}`;
    this.output.textContent = text;
    this.range.setAttribute("aria-valuetext", text);
    for (const [cell, state, axle, row] of this.cells) {
      const [, read] = this.frame(this.data.states[state].axles[axle]);
      const number = read ? read[row] : null;
      const text = number === null ? "–" : told(number, this.data.read[row].decimals);
      if (cell.firstChild.data !== text) cell.firstChild.data = text;
    }
  }

  press(event) {
    const box = this.canvas.getBoundingClientRect();
    const [x, y] = [event.clientX - box.left, event.clientY - box.top];
    this.fingers.set(event.pointerId, event);
    if (this.fingers.size === 2) {
      this.held = null;
      this.pinch = { far: this.apart(), size: this.size };
      return;
    }
    this.held = { x, y, turn: this.turn, tilt: this.tilt };
    this.canvas.setPointerCapture(event.pointerId);
    let best = null;
    for (const spot of this.spots || []) {
      const far = Math.hypot(spot.x - x, spot.y - y);
      if (far < NEAR && (!best || far < best.far)) best = { far, spot };
    }
    if (best) {
      this.chosen = { name: best.spot.name, row: best.spot.row };
      this.said.dataset.name = best.spot.name;
    }
    this.ask();
  }

  apart() {
    const [a, b] = [...this.fingers.values()];
    return Math.hypot(a.clientX - b.clientX, a.clientY - b.clientY) || 1;
  }

  release(event) {
    this.fingers.delete(event.pointerId);
    this.held = null;
    if (!this.fingers.size) this.pinch = null;
  }

  wheeled(event) {
    if (document.activeElement !== this.canvas && !event.ctrlKey) return; // else a long page could not be scrolled past it
    if (event.deltaY > 0 && this.size === 1) return;
    event.preventDefault();
    this.nearer(event.deltaY < 0 ? 1.12 : 0.89);
  }

  drag(event) {
    if (this.fingers.has(event.pointerId)) this.fingers.set(event.pointerId, event);
    if (this.pinch && this.fingers.size === 2) {
      this.size = 1;
      this.nearer((this.pinch.size * this.apart()) / this.pinch.far);
      return;
    }
    if (!this.held) return;
    const box = this.canvas.getBoundingClientRect();
    const [across, down] = [event.clientX - box.left - this.held.x, event.clientY - box.top - this.held.y];
    if (Math.hypot(across, down) < 5) return;
    this.turned(this.held.turn + across / 150, this.held.tilt + down / 150);
  }

  turned(turn, tilt) {
    this.turn = turn;
    this.tilt = Math.max(-0.2, Math.min(Math.PI / 2, tilt));
    this.pressed("");
    this.ask();
  }

  pressed(view) {
    for (const button of this.views.children)
      if (button.textContent in VIEWS) button.setAttribute("aria-pressed", String(button.textContent === view));
  }

  key_pressed(event) {
    const step = { ArrowLeft: [-0.1, 0], ArrowRight: [0.1, 0], ArrowUp: [0, 0.1], ArrowDown: [0, -0.1] }[event.key];
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const by = { "+": 1.25, "=": 1.25, "-": 0.8, "−": 0.8, 0: 1 / 8 }[event.key];
    if (!step && !by) return;
    event.preventDefault();
    if (by) return this.nearer(by);
    this.turned(this.turn + step[0], this.tilt + step[1]);
  }
}
