// Hand, wheel and keyboard on the canvas: turn, come nearer, ask what is there.
import { Along } from "./picture_along.js";
import { VIEWS } from "./picture_space.js";
import { in_words } from "./words.js";

const NEAR = 12; // how close to a pivot a finger has to come [px]
export const CLOSER = 1.25;

export class Touched extends Along {
  press(event) {
    const box = this.canvas.getBoundingClientRect();
    const [x, y] = [event.clientX - box.left, event.clientY - box.top];
    this.fingers.set(event.pointerId, event);
    if (this.fingers.size === 2) {
      this.held = null;
      this.pinch = { far: this.apart(), at: this.amid() };
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
      this.chosen = { name: best.spot.name, axle: best.spot.axle };
      this.said.dataset.name = best.spot.name;
    } else if (this.faces.order) {
      const part = this.faces.under(x, y);
      if (part) {
        this.chosen = { part: part.changed ? in_words("{0}: the job exchanges it", in_words(part.name)) : in_words(part.name) };
        this.said.dataset.name = part.name;
      }
    }
    this.ask();
  }

  apart() {
    const [a, b] = [...this.fingers.values()];
    return Math.hypot(a.clientX - b.clientX, a.clientY - b.clientY) || 1;
  }

  amid() {
    const box = this.canvas.getBoundingClientRect();
    const [a, b] = [...this.fingers.values()];
    return [(a.clientX + b.clientX) / 2 - box.left, (a.clientY + b.clientY) / 2 - box.top];
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
    const box = this.canvas.getBoundingClientRect();
    this.nearer(event.deltaY < 0 ? 1.12 : 0.89, [event.clientX - box.left, event.clientY - box.top]);
  }

  drag(event) {
    if (this.fingers.has(event.pointerId)) this.fingers.set(event.pointerId, event);
    if (this.pinch && this.fingers.size === 2) {
      const [far, at] = [this.apart(), this.amid()];
      this.pan = this.pan.map((one, k) => one + at[k] - this.pinch.at[k]);
      this.nearer(far / this.pinch.far, at);
      this.pinch = { far, at };
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
    const by = { "+": CLOSER, "=": CLOSER, "-": 1 / CLOSER, "−": 1 / CLOSER, 0: 1 / 12 }[event.key];
    if (!step && !by) return;
    event.preventDefault();
    if (by) return this.nearer(by);
    this.turned(this.turn + step[0], this.tilt + step[1]);
  }
}
