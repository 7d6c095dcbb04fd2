// Levers of a job: numbers and picture follow from tables while the hand moves; when it rests, the exact case is asked.
import { axlesDrawn } from "/static/live_axles.js";
import { judged, told } from "/static/live_table.js";
import { in_words, learnt, number_told, with_unit } from "/static/words.js";

const REST = 500; // how long a hand rests before the exact case is asked [ms]
const place = document.querySelector("[data-live]");
const tables = await (await fetch(`${place.dataset.live}/tables.json`)).json();
learnt(tables.words);
const sliders = [...place.querySelectorAll("[data-lever]")];
const state = place.querySelector(".live-state");
const faults = place.querySelector(".live-faults");
const body = place.querySelector(".live-body");
const wheelbase = Number(place.querySelector("svg").dataset.wheelbase);
const values = tables.levers.map((lever) => lever.today);
const planned = told(tables, values);
const rows = tables.figures.map((figure, k) => row(figure, planned[k]));
let resting = 0;
let asked = 0;
let updates = 0;

sliders.forEach((slider, k) => {
  slider.value = sliderAt(k);
  slider.addEventListener("input", () => moved(k, between(k, Number(slider.value) / 1000)));
  for (const button of slider.parentElement.querySelectorAll("[data-step]"))
    button.addEventListener("click", () => stepped(k, Number(button.dataset.step)));
});
place.querySelector("[data-back]").addEventListener("click", () => {
  tables.levers.forEach((lever, k) => (values[k] = lever.today));
  sliders.forEach((slider, k) => (slider.value = sliderAt(k)));
  follow();
});
follow();

function between(k, share) {
  const lever = tables.levers[k];
  return lever.low + share * (lever.high - lever.low);
}

function sliderAt(k) {
  const lever = tables.levers[k];
  return (1000 * (values[k] - lever.low)) / (lever.high - lever.low);
}

// A step is one of the last digit but one that is shown.
function stepped(k, way) {
  const lever = tables.levers[k];
  const step = lever.size * 10 ** -Math.max(lever.decimals - 1, 0) * (lever.decimals ? 0.5 : 1);
  moved(k, Math.min(Math.max(values[k] + way * step, lever.low), lever.high));
  sliders[k].value = sliderAt(k);
}

function moved(k, value) {
  values[k] = value;
  follow();
}

function shown(value, told) {
  return with_unit(number_told(value / told.size, told.decimals), in_words(told.unit));
}

function row(figure, value) {
  const line = place.querySelector("tbody").insertRow();
  const name = document.createElement("th");
  name.scope = "row";
  name.textContent = in_words(figure.label);
  line.append(name);
  line.insertCell().textContent = value === null ? "…" : shown(value, figure);
  const now = line.insertCell();
  line.insertCell();
  return now;
}

// Beside a number that a check holds to: its limits, and whether it keeps them.
function judge(cell, figure, verdict) {
  const line = cell.parentElement;
  line.classList.toggle("fails", verdict === "fails");
  const ends = [
    figure.least === null ? "" : in_words("at least {0}", shown(figure.least, figure)),
    figure.most === null ? "" : in_words("at most {0}", shown(figure.most, figure)),
  ].filter(Boolean);
  line.cells[3].textContent = verdict && `${figure.code} ${verdict === "fails" ? in_words("fails") : in_words("passes")}: ${ends.join(", ")}`;
}

function follow() {
  const now = told(tables, values);
  rows.forEach((cell, k) => {
    cell.textContent = now[k] === null ? in_words("when it rests") : shown(now[k], tables.figures[k]);
    judge(cell, tables.figures[k], judged(tables.figures[k], now[k]));
  });
  tables.levers.forEach((lever, k) => {
    sliders[k].closest(".stepped").previousElementSibling.querySelector("output").textContent = shown(values[k], lever);
    sliders[k].setAttribute("aria-valuetext", shown(values[k], lever));
    place.querySelector(`input[name="${lever.key}"]`).value = values[k];
  });
  const [front, rear] = ["front.height", "rear.height"].map((key) => {
    const k = tables.levers.findIndex((lever) => lever.key === key);
    return k < 0 ? 0 : 1000 * (values[k] - tables.levers[k].today);
  });
  body.setAttribute("transform", `matrix(1 ${(rear - front) / wheelbase} 0 1 0 ${front})`);
  axlesDrawn(place, tables.levers, values);
  updates += 1;
  place.dataset.updates = updates;
  place.dataset.state = "table";
  clearTimeout(resting);
  asked += 1;
  resting = setTimeout(rest, REST, asked);
}

async function rest(mine) {
  state.textContent = in_words("By the tables; the exact case is being worked out …");
  const query = new URLSearchParams(tables.levers.map((lever, k) => [lever.key, values[k]]));
  const answer = await fetch(`${place.dataset.live}/exact.json?${query}`).catch(() => null);
  const isJson = answer && answer.ok && answer.headers.get("content-type").startsWith("application/json");
  const exact = isJson ? await answer.json() : null;
  if (mine !== asked) return; // the hand moved on
  faults.replaceChildren();
  if (!exact) {
    state.textContent = in_words("By the tables. The exact case cannot be told here: the car cannot be planned so, or the server is away.");
    return;
  }
  rows.forEach((cell, k) => (cell.textContent = exact.figures[tables.figures[k].label] ?? in_words("see the checks")));
  state.textContent = `${in_words("Exact, as it can be set.")} ${exact.verdict}`;
  place.dataset.state = "exact";
  for (const fault of exact.faults) {
    const item = document.createElement("li");
    item.textContent = fault;
    faults.append(item);
  }
}
