// What stands beside the picture: the table of its numbers, its key, and what a play says.
import { in_words, number_told, with_unit } from "./words.js";

export function made(name, attributes = {}, text = "") {
  const element = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
  element.textContent = text;
  return element;
}

const READ_EVERY = 50; // [ms]

export class Told {
  key() {
    const line = made("p", { class: "legend" });
    const told = [in_words("Solid: {0}.", in_words(this.solid.title))];
    if (this.planned) told.push(in_words("Dashed: as found."), in_words("Orange: parts that the job exchanges."));
    told.push(in_words("Between the wheel arches the body is drawn for the eye; it was not measured."));
    line.textContent = told.join(" ");
    return line;
  }

  // A table for each axle: side by side where there is room for two, below each other on a phone.
  tables() {
    const both = made("div", { class: "read-here" });
    this.data.states[0].axles.forEach((axle, at) => both.append(this.table(in_words(axle.name), at)));
    return both;
  }

  table(name, axle) {
    const box = made("div", { class: "wide", role: "region", "aria-label": in_words("Numbers at this place: {0}", name), tabindex: "0" });
    const table = made("table");
    const head = made("tr");
    head.append(made("th", { scope: "col" }, name));
    for (const state of this.data.states) head.append(made("th", { scope: "col" }, in_words(state.title)));
    const top = made("thead");
    top.append(head);
    const body = made("tbody");
    this.data.read.forEach((quantity, row) => {
      const line = made("tr");
      (this.rows[row] ||= []).push(line);
      const what = made("th", { scope: "row" }, `${in_words(quantity.name)} `);
      what.append(made("span", { class: "unit" }, in_words(quantity.unit)));
      line.append(what);
      this.data.states.forEach((_, state) => {
        const cell = made("td", {}, "–");
        line.append(cell);
        this.cells.push([cell, state, axle, row]);
      });
      body.append(line);
    });
    table.append(top, body);
    box.append(table);
    return box;
  }

  reads(name, row, at) {
    const known = (axle) => axle.motions[name] && axle.motions[name].read.some((read) => read[row] !== null);
    return this.data.states.some((state) => known(state.axles[at]));
  }

  tell() {
    const motion = this.data.motions[this.motion];
    const value = motion.values[Number(this.range.value)];
    const text = `${value > 0 ? "+" : ""}${with_unit(number_told(value, motion.decimals), in_words(motion.unit))}`;
    this.output.textContent = text;
    this.range.setAttribute("aria-valuetext", text);
    // the table is read, not watched: twenty times a second will do, and the last is never left out
    const wait = READ_EVERY - (performance.now() - (this.readAt || 0));
    if (wait <= 0) this.number();
    else this.later = this.later || setTimeout(() => this.number(), wait);
  }

  number() {
    clearTimeout(this.later);
    [this.later, this.readAt] = [0, performance.now()];
    for (const [cell, state, axle, row] of this.cells) {
      const [, read] = this.frame(this.data.states[state].axles[axle]);
      const number = read ? read[row] : null;
      const text = number === null ? "–" : number_told(number, this.data.read[row].decimals);
      if (cell.firstChild.data !== text) cell.firstChild.data = text;
    }
  }

  // The first or the last value of a motion that the car comes to.
  end(name, last) {
    const { values } = this.data.motions[name];
    const there = values.filter((_, k) => this.solid.poses[name][k]);
    return last ? there[there.length - 1] : there[0];
  }

  length(tenths) {
    return tenths * this.data.perTenth;
  }

  told(tenths) {
    return with_unit(number_told(this.length(tenths), this.data.decimals), this.data.unit);
  }

  // What the inside wheels of a left turn still carry.
  inside() {
    const row = this.data.read.findIndex((quantity) => quantity.name === "load left");
    const parts = this.solid.axles.map((axle) => {
      const [, read] = this.frame(axle);
      if (!read || read[row] === null) return "";
      const load = read[row];
      const lifted = load < 0.005 * (load + read[row + 1]); // of both wheels of the axle
      const front = axle.name === "front";
      if (lifted) return front ? in_words("The inside front wheel is off the road.") : in_words("The inside rear wheel is off the road.");
      const carried = [number_told(load, this.data.read[row].decimals), in_words(this.data.read[row].unit)];
      return front ? in_words("The inside front wheel carries {0} {1}.", ...carried) : in_words("The inside rear wheel carries {0} {1}.", ...carried);
    });
    return parts.filter((text) => text).join(" ");
  }

  leans() {
    const parts = this.data.states.map((state) => {
      const pose = this.pose(state);
      return pose ? in_words("{0} the body leans {1}°", in_words(state.title), number_told(Math.abs(pose[2]) / 1e6 * (180 / Math.PI), 1)) : "";
    });
    return `${parts.filter((text) => text).join(", ")}.`;
  }

  shifts() {
    const row = this.data.read.findIndex((quantity) => quantity.name === "axle shift");
    return this.solid.axles.some((axle) => axle.motions.travel.read.some((read) => Math.abs(read[row]) > 0.05));
  }

  shifted() {
    const row = this.data.read.findIndex((quantity) => quantity.name === "axle shift");
    const parts = this.solid.axles.map((axle) => {
      const [, read] = this.frame(axle);
      if (!read || read[row] === null) return "";
      const moved = [in_words(axle.name), number_told(Math.abs(read[row]), this.data.read[row].decimals), in_words(this.data.read[row].unit)];
      return read[row] < 0 ? in_words("{0} axle {1} {2} to the right", ...moved) : in_words("{0} axle {1} {2} to the left", ...moved);
    });
    return `${parts.filter((text) => text).join(", ")}.`;
  }
}
