// Charts: a cursor that reads out every line, zoom, and saving. The server has drawn them; without this they stand still.
import { DECIMAL, in_words } from "./words.js";

// As the server draws them: as found round, as planned and jobs beside each other square.
const LOOKS = [["#0072B2", "7 4"], ["#D55E00", ""], ["#009E73", "14 4"], ["#CC79A7", "2.5 3"], ["#000000", "12 3 2.5 3"]];
const CLOSEST = 4; // places that a zoomed chart still shows between its edges
const STEP = 1.6; // how much nearer one turn of the wheel or press of a key brings
const SVG = "http://www.w3.org/2000/svg";

function beginCharts(within) {
  for (const figure of within.querySelectorAll("figure.chart[data-chart]")) if (!figure.chart) figure.chart = new Chart(figure);
}

function drawn(name, attributes, text = "") {
  const element = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
  element.textContent = text;
  return element;
}

function placed(name, attributes, text = "") {
  const element = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
  element.textContent = text;
  return element;
}

function told(value, decimals, sign = false) {
  if (value === null) return "–";
  const text = Math.abs(value).toFixed(decimals).replace(".", DECIMAL);
  const nothing = Number(Math.abs(value).toFixed(decimals)) === 0;
  return (nothing ? "" : value < 0 ? "−" : sign ? "+" : "") + text;
}

function ticks(low, high) {
  const rough = (high - low) / 5;
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = [1, 2, 5, 10].map((m) => m * power).find((s) => s >= rough);
  const made = [];
  for (let k = Math.ceil(low / step - 1e-9); k <= Math.floor(high / step + 1e-9); k++) made.push(k * step);
  return made;
}

// Half the width of a band, behind its number.
function between(band, decimals) {
  return !band || Number(band.toFixed(decimals)) === 0 ? "" : ` ± ${band.toFixed(decimals).replace(".", DECIMAL)}`;
}

class Chart {
  constructor(figure) {
    this.figure = figure;
    this.data = JSON.parse(figure.dataset.chart);
    this.plot = figure.querySelector(".plot");
    this.svg = this.plot.querySelector("svg");
    this.edge = Object.fromEntries(["left", "right", "top", "bottom"].map((name) => [name, Number(this.svg.dataset[name])]));
    this.grid = this.svg.querySelector(".grid");
    this.curves = [...this.svg.querySelectorAll(".curves path")];
    this.bands = [...this.svg.querySelectorAll(".curves polygon")];
    this.cursor = this.svg.querySelector(".cursor");
    this.first = { grid: [...this.grid.childNodes], paths: this.curves.map((path) => path.getAttribute("d")), bands: this.bands.map((band) => band.getAttribute("points")) };
    this.whole = [this.data.x[0], this.data.x.at(-1)];
    this.view = this.whole;
    this.high = this.data.heights;
    this.at = null;
    this.fingers = new Map();
    this.seen = true;
    this.build();
    this.listen();
    new IntersectionObserver(([entry]) => {
      this.seen = entry.isIntersecting;
      if (this.seen) this.show();
    }).observe(this.plot);
  }

  get zoomed() {
    return this.view !== this.whole;
  }

  get label() {
    const { over, title, x, lines } = this.data;
    const name = (axis) => axis.name + (axis.unit ? `, ${axis.unit}` : "");
    return { over: name(over), title: name(title), x, lines };
  }

  build() {
    const { plot } = this;
    const label = this.svg.getAttribute("aria-label");
    for (const [key, value] of Object.entries({
      tabindex: "0",
      role: "slider",
      "aria-label": label,
      "aria-valuemin": this.whole[0],
      "aria-valuemax": this.whole[1],
    }))
      plot.setAttribute(key, value);
    this.svg.setAttribute("aria-hidden", "true");
    this.read = placed("p", { class: "readout", "aria-live": "off" });
    this.range = drawn("rect", { y: this.edge.top, height: this.edge.bottom - this.edge.top, fill: "#12344d", opacity: "0.18", width: "0" });
    this.svg.append(this.range);
    const name = this.data.title.name;
    const tools = placed("div", { class: "tools", role: "group", "aria-label": name });
    const button = (text, title, act) => {
      const made = placed("button", { type: "button", class: "plain", "aria-label": `${title}: ${name}`, title }, text);
      made.addEventListener("click", act);
      return made;
    };
    this.out = button("−", in_words("Zoom out"), () => this.zoom(1 / STEP));
    this.all = button(in_words("Whole"), in_words("Show the whole chart"), () => this.reset());
    tools.append(
      button("+", in_words("Zoom in"), () => this.zoom(STEP)),
      this.out,
      this.all,
    );
    const save = placed("details", { class: "save" });
    save.append(placed("summary", { "aria-label": `${in_words("Save")}: ${name}` }, in_words("Save")));
    this.caption = placed("input", { maxlength: "90", autocomplete: "off", placeholder: in_words("A line below it"), "aria-label": `${in_words("A line below it")}: ${name}` });
    save.append(this.caption);
    for (const kind of ["PNG", "SVG", "CSV"]) save.append(button(kind, in_words("Save as {0}", kind), () => this.save(kind)));
    tools.append(save);
    this.figure.append(this.read, tools);
    this.place(this.nearest((this.whole[0] + this.whole[1]) / 2), false);
    this.draw();
  }

  listen() {
    const { plot } = this;
    plot.addEventListener("pointerdown", (event) => this.press(event));
    plot.addEventListener("pointermove", (event) => this.move(event));
    plot.addEventListener("pointerup", (event) => this.release(event));
    plot.addEventListener("pointercancel", (event) => this.release(event, true));
    plot.addEventListener("dblclick", () => this.reset());
    plot.addEventListener("keydown", (event) => this.key(event));
    plot.addEventListener("wheel", (event) => this.turn(event), { passive: false });
    document.addEventListener("place", (event) => this.follow(event.detail));
  }

  // ------------------------------------------------------------------------------------------------ cursor

  nearest(value) {
    const { x } = this.data;
    let best = 0;
    for (let k = 1; k < x.length; k++) if (Math.abs(x[k] - value) < Math.abs(x[best] - value)) best = k;
    return best;
  }

  // Something else was moved: the picture, or the cursor of another chart over the same.
  follow({ motion, value, by }) {
    if (by === this || !this.data.motion) return;
    this.at = motion === this.data.motion ? this.nearest(value) : null;
    this.figure.dataset.active = "";
    clearTimeout(this.rest);
    if (this.seen) this.show();
    else this.rest = setTimeout(() => this.show(), 150); // what nobody sees waits until the hand rests
  }

  place(index, tell = true) {
    this.at = Math.max(0, Math.min(this.data.x.length - 1, index));
    this.show();
    if (!tell) return;
    this.figure.dataset.active = "yes";
    // A slider in focus tells its own value; a pointer's reading is told politely when it rests.
    this.read.setAttribute("aria-live", document.activeElement === this.plot ? "off" : "polite");
    if (!this.data.motion) return;
    const detail = { motion: this.data.motion, value: this.data.x[this.at], by: this };
    document.dispatchEvent(new CustomEvent("place", { detail }));
  }

  show() {
    const { data, edge, at } = this;
    if (this.figure.dataset.active !== "yes") this.read.setAttribute("aria-live", "off");
    const x = at === null ? -9 : this.across(data.x[at]);
    const inside = x > edge.left - 0.1 && x < edge.right + 0.1;
    this.cursor.replaceChildren();
    if (inside) {
      this.cursor.append(drawn("line", { x1: x, x2: x, y1: edge.top, y2: edge.bottom, stroke: "#111111", "stroke-width": "1.5" }));
      for (const { y, look: number } of data.lines) {
        const down = y[at] === null ? -9 : this.down(y[at]);
        if (down < edge.top || down > edge.bottom) continue;
        const look = { fill: LOOKS[number][0], stroke: "#ffffff", "stroke-width": "1.5" };
        if (number) this.cursor.append(drawn("rect", { x: x - 4.5, y: down - 4.5, width: 9, height: 9, ...look }));
        else this.cursor.append(drawn("circle", { cx: x, cy: down, r: 5, ...look }));
      }
    }
    this.figure.dataset.at = at === null ? "" : String(data.x[at]);
    if (at === null) {
      this.read.replaceChildren("–");
      return;
    }
    const unit = (axis) => (axis.unit === "°" ? "°" : axis.unit ? ` ${axis.unit}` : "");
    const here = told(data.x[at], data.over.decimals, true) + unit(data.over);
    const values = data.lines.map((line) => [line, told(line.y[at], data.title.decimals) + (line.y[at] === null ? "" : between(line.band?.[at], data.title.decimals) + unit(data.title))]);
    const parts = [placed("span", { class: "here" }, in_words("at {0}", here))];
    for (const [line, value] of values) {
      const one = placed("span", { class: `look-${line.look}` });
      one.append(placed("span", { class: "mark", "aria-hidden": "true" }, line.look ? "■" : "●"), ` ${line.name} `, placed("b", {}, value));
      parts.push(" ", one);
    }
    this.read.replaceChildren(...parts);
    this.plot.setAttribute("aria-valuenow", String(data.x[at]));
    this.plot.setAttribute("aria-valuetext", `${here}: ${values.map(([line, value]) => `${line.name} ${value}`).join(", ")}`);
  }

  // -------------------------------------------------------------------------------------------------- zoom

  across(x) {
    const [low, high] = this.view;
    return this.edge.left + ((x - low) / (high - low)) * (this.edge.right - this.edge.left);
  }

  down(y) {
    const [low, high] = this.high;
    return this.edge.bottom - ((y - low) / (high - low)) * (this.edge.bottom - this.edge.top);
  }

  // From lowest to highest of what is in view, the curves' own crossing of its edges too.
  heights([low, high]) {
    const { x, lines } = this.data;
    const values = [];
    for (const { y } of lines)
      for (let k = 0; k < x.length; k++) {
        if (y[k] === null) continue;
        if (x[k] >= low && x[k] <= high) values.push(y[k]);
        if (!k || y[k - 1] === null) continue;
        for (const edge of [low, high])
          if (x[k - 1] < edge && edge < x[k]) values.push(y[k - 1] + ((edge - x[k - 1]) / (x[k] - x[k - 1])) * (y[k] - y[k - 1]));
      }
    if (!values.length) return this.high || [0, 1];
    const [least, most] = [Math.min(...values), Math.max(...values)];
    const wide = Math.max(most - least, 1e-3 * Math.max(Math.abs(least), Math.abs(most), 10 ** -this.data.title.decimals));
    return [least - 0.08 * wide, least + 1.08 * wide];
  }

  zoom(nearer, about = null) {
    const [low, high] = this.view;
    const fixed = about ?? (this.at === null ? (low + high) / 2 : Math.max(low, Math.min(high, this.data.x[this.at])));
    this.look(fixed - (fixed - low) / nearer, fixed + (high - fixed) / nearer);
  }

  look(low, high) {
    const [first, last] = this.whole;
    const least = ((last - first) / (this.data.x.length - 1)) * CLOSEST;
    const wide = Math.max(least, Math.min(last - first, high - low));
    const middle = (low + high) / 2;
    const start = Math.max(first, Math.min(last - wide, middle - wide / 2));
    const all = wide > (last - first) * 0.999;
    this.view = all ? this.whole : [start, start + wide];
    this.draw();
  }

  reset() {
    this.look(...this.whole);
  }

  draw() {
    const { data, edge } = this;
    this.figure.dataset.view = this.view.map((value) => value.toFixed(3)).join(" ");
    this.figure.dataset.zoomed = this.zoomed ? "yes" : "no";
    this.out.disabled = !this.zoomed;
    this.all.disabled = !this.zoomed;
    this.plot.style.touchAction = this.zoomed ? "none" : ""; // a zoomed chart is drawn about by one finger
    if (!this.zoomed) {
      this.high = this.data.heights;
      this.grid.replaceChildren(...this.first.grid);
      this.curves.forEach((path, k) => path.setAttribute("d", this.first.paths[k]));
      this.bands.forEach((band, k) => band.setAttribute("points", this.first.bands[k]));
      this.show();
      return;
    }
    this.high = this.heights(this.view);
    const marks = [];
    const name = (value) => String(Number(value.toPrecision(6))).replace("-", "−").replace(".", DECIMAL);
    for (const x of ticks(...this.view)) {
      const at = this.across(x);
      marks.push(drawn("line", { x1: at, x2: at, y1: edge.top, y2: edge.bottom, stroke: "#d4d4d4" }));
      marks.push(drawn("text", { x: at, y: edge.bottom + 17, "text-anchor": "middle", fill: "#333333" }, name(x)));
    }
    for (const y of ticks(...this.high)) {
      const at = this.down(y);
      marks.push(drawn("line", { x1: edge.left, x2: edge.right, y1: at, y2: at, stroke: "#d4d4d4" }));
      marks.push(drawn("text", { x: edge.left - 6, y: at + 4.5, "text-anchor": "end", fill: "#333333" }, name(y)));
    }
    this.grid.replaceChildren(...marks);
    data.lines.forEach(({ y }, k) => {
      let path = "";
      y.forEach((value, i) => {
        if (value !== null) path += `${path && y[i - 1] !== null ? "L" : "M"}${this.across(data.x[i]).toFixed(1)} ${this.down(value).toFixed(1)}`;
      });
      this.curves[k].setAttribute("d", path);
    });
    data.lines.filter(({ band }) => band).forEach(({ y, band }, k) => {
      const known = [...y.keys()].filter((i) => y[i] !== null);
      const edge = (side) => known.map((i) => `${this.across(data.x[i]).toFixed(1)},${this.down(y[i] + side * (band[i] ?? 0)).toFixed(1)}`);
      this.bands[k].setAttribute("points", [...edge(1), ...edge(-1).reverse()].join(" "));
    });
    this.show();
  }

  // ------------------------------------------------------------------------------------------ hand and key

  // Where a pointer is along the axis of places, in the chart's own units.
  value(event) {
    const box = this.svg.getBoundingClientRect();
    const x = ((event.clientX - box.left) / box.width) * this.svg.viewBox.baseVal.width;
    const share = (x - this.edge.left) / (this.edge.right - this.edge.left);
    return this.view[0] + Math.max(0, Math.min(1, share)) * (this.view[1] - this.view[0]);
  }

  press(event) {
    if (event.button > 0) return;
    this.plot.setPointerCapture(event.pointerId);
    this.fingers.set(event.pointerId, event);
    const touch = event.pointerType === "touch";
    if (this.fingers.size === 2) {
      const [a, b] = [...this.fingers.values()];
      this.pinch = { far: Math.abs(a.clientX - b.clientX) || 1, view: this.view, at: [this.value(a), this.value(b)] };
      this.held = null;
      return;
    }
    const does = this.zoomed && !event.shiftKey ? "pan" : touch ? "read" : "range";
    this.held = { does, x: event.clientX, from: this.value(event), view: this.view, moved: false };
    if (touch && !this.zoomed) this.place(this.nearest(this.value(event)));
  }

  move(event) {
    if (this.fingers.has(event.pointerId)) this.fingers.set(event.pointerId, event);
    if (this.pinch && this.fingers.size === 2) {
      const [a, b] = [...this.fingers.values()];
      const nearer = Math.max(1, Math.abs(a.clientX - b.clientX)) / this.pinch.far;
      const about = (this.pinch.at[0] + this.pinch.at[1]) / 2;
      const [low, high] = this.pinch.view;
      this.look(about - (about - low) / nearer, about + (high - about) / nearer);
      return;
    }
    const held = this.held;
    if (held && Math.abs(event.clientX - held.x) > 5) held.moved = true;
    if (held?.does === "pan" && held.moved) {
      const box = this.svg.getBoundingClientRect();
      const per = ((held.view[1] - held.view[0]) * this.svg.viewBox.baseVal.width) / box.width / (this.edge.right - this.edge.left);
      const by = (held.x - event.clientX) * per;
      this.look(held.view[0] + by, held.view[1] + by);
      return;
    }
    if (held?.does === "range" && held.moved) {
      const [a, b] = [this.across(held.from), this.across(this.value(event))];
      this.range.setAttribute("x", Math.min(a, b));
      this.range.setAttribute("width", Math.abs(a - b));
    }
    this.place(this.nearest(this.value(event)));
  }

  release(event, stopped = false) {
    this.fingers.delete(event.pointerId);
    this.range.setAttribute("width", "0");
    if (this.pinch) {
      if (!this.fingers.size) this.pinch = null;
      return;
    }
    const held = this.held;
    this.held = null;
    if (!held || stopped) return;
    if (held.does === "range" && held.moved) {
      const to = this.value(event);
      this.look(Math.min(held.from, to), Math.max(held.from, to));
    } else if (!held.moved) this.tap(event);
  }

  // A tap reads; a second one soon after and close by shows the whole chart again.
  tap(event) {
    const soon = this.tapped && event.timeStamp - this.tapped.at < 350 && Math.abs(event.clientX - this.tapped.x) < 30;
    if (event.pointerType === "touch" && soon) this.reset();
    this.tapped = { at: event.timeStamp, x: event.clientX };
    this.place(this.nearest(this.value(event)));
  }

  turn(event) {
    if (document.activeElement !== this.plot && !event.ctrlKey) return; // else a long page could not be scrolled past it
    if (event.deltaY > 0 && !this.zoomed) return;
    event.preventDefault();
    this.zoom(event.deltaY < 0 ? 1.25 : 0.8, this.value(event));
  }

  key(event) {
    if (event.altKey || event.metaKey || event.ctrlKey) return;
    const wide = this.view[1] - this.view[0];
    const middle = this.nearest((this.view[0] + this.view[1]) / 2);
    const by = { ArrowLeft: -1, ArrowDown: -1, ArrowRight: 1, ArrowUp: 1, PageDown: -5, PageUp: 5 }[event.key];
    if (by && event.shiftKey) this.look(this.view[0] + (Math.sign(by) * wide) / 4, this.view[1] + (Math.sign(by) * wide) / 4);
    else if (by) this.walk((this.at ?? middle) + by);
    else if (event.key === "Home") this.walk(0);
    else if (event.key === "End") this.walk(this.data.x.length - 1);
    else if (event.key === "+" || event.key === "=") this.zoom(STEP);
    else if (event.key === "-" || event.key === "−" || event.key === "_") this.zoom(1 / STEP);
    else if (event.key === "0" || event.key === "Escape") this.reset();
    else return;
    event.preventDefault();
  }

  // The cursor by keys; a zoomed chart goes with it.
  walk(index) {
    this.place(index);
    const x = this.data.x[this.at];
    const [low, high] = this.view;
    if (x < low) this.look(x, x + high - low);
    if (x > high) this.look(x - high + low, x);
  }

  // ------------------------------------------------------------------------------------------------ saving

  get name() {
    return this.data.title.name.replace(/[^A-Za-z0-9]+/g, "-").replace(/^-|-$/g, "").toLowerCase();
  }

  async save(kind) {
    const blob = kind === "CSV" ? this.table() : kind === "SVG" ? this.picture() : await this.pixels();
    const link = placed("a", { href: URL.createObjectURL(blob), download: `${this.name}.${kind.toLowerCase()}` });
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 10000);
  }

  table() {
    const { over, title, x, lines } = this.label;
    const cell = (text) => `"${text.replaceAll('"', '""')}"`;
    const rows = [[over, ...lines.map((line) => `${line.name}: ${title}`)].map(cell).join(",")];
    x.forEach((place, k) => rows.push([place, ...lines.map((line) => line.y[k] ?? "")].join(",")));
    return new Blob([rows.join("\n") + "\n"], { type: "text/csv" });
  }

  // The chart as it is looked at, with its title, what the lines are and the owner's own line below it.
  picture() {
    const copy = this.svg.cloneNode(true);
    const { width, height } = this.svg.viewBox.baseVal;
    const key = this.key_of_lines(width);
    const [more, below] = [28 + 20 * key.rows, this.caption.value.trim() ? 34 : 0];
    copy.querySelector(".cursor").replaceChildren();
    copy.lastElementChild.remove(); // the range that is being drawn
    copy.removeAttribute("aria-hidden");
    copy.setAttribute("xmlns", SVG);
    copy.setAttribute("viewBox", `0 ${-more} ${width} ${height + more + below}`);
    copy.setAttribute("width", width);
    copy.setAttribute("height", height + more + below);
    const title = [...this.figure.querySelector("figcaption").childNodes].map((one) => one.textContent.trim()).filter(Boolean).join(", ");
    const extra = [
      drawn("rect", { y: -more, width, height: height + more + below, fill: "#ffffff" }),
      drawn("text", { x: 8, y: -more + 19, "font-weight": "bold", fill: "#111111", "font-size": Math.min(14, 580 / title.length) }, title),
    ];
    for (const { name, look, x, row } of key.lines) {
      const y = -more + 38 + 20 * row;
      const line = drawn("line", { x1: x, x2: x + 30, y1: y, y2: y, stroke: LOOKS[look][0], "stroke-width": "2.6" });
      if (LOOKS[look][1]) line.setAttribute("stroke-dasharray", LOOKS[look][1]);
      extra.push(line, drawn("text", { x: x + 36, y: y + 5, fill: "#111111", "font-size": 13 }, name));
    }
    copy.firstElementChild.after(...extra);
    if (below) copy.append(drawn("text", { x: width / 2, y: height + 21, "text-anchor": "middle", fill: "#111111", "font-size": Math.min(14, 620 / this.caption.value.trim().length) }, this.caption.value.trim()));
    return new Blob([new XMLSerializer().serializeToString(copy)], { type: "image/svg+xml" });
  }

  // Where each line's name stands: one after the other by their lengths, in as many rows as they need.
  key_of_lines(width) {
    const pen = document.createElement("canvas").getContext("2d");
    pen.font = "13px sans-serif";
    let [x, row] = [this.edge.left, 0];
    const lines = this.data.lines.map(({ name, look }) => {
      const long = 36 + pen.measureText(name).width;
      if (x > this.edge.left && x + long > width - 4) [x, row] = [this.edge.left, row + 1];
      const place = { name, look, x, row };
      x += long + 18;
      return place;
    });
    return { lines, rows: row + 1 };
  }

  async pixels() {
    const address = URL.createObjectURL(this.picture());
    const image = new Image();
    image.src = address;
    await image.decode();
    const canvas = document.createElement("canvas");
    canvas.width = image.width * 3; // fine enough for paper
    canvas.height = image.height * 3;
    canvas.getContext("2d").drawImage(image, 0, 0, canvas.width, canvas.height);
    URL.revokeObjectURL(address);
    return new Promise((done) => canvas.toBlob(done, "image/png"));
  }
}

document.addEventListener("brought", (event) => beginCharts(event.target)); // a part that came later
beginCharts(document);
