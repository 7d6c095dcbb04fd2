// The page of a job that is taken away fills itself: texts as texts, then the picture.
import { Picture } from "./picture_car.js";
import { made } from "./picture_words.js";
import { unpacked } from "./take_away_unpack.js";
import { in_words } from "./words.js";

const words = JSON.parse(document.getElementById("content").textContent);
const main = document.getElementById("main");
document.documentElement.lang = words.language;
document.title = words.title;
const [shop, ...lines] = words.letterhead;
const head = document.getElementById("letterhead");
if (shop) head.append(made("p", { class: "shop" }, shop), ...lines.map((line) => made("p", {}, line)));
else head.remove();

main.replaceChildren(made("h1", {}, words.title));
if (words.under) main.append(made("p", { class: "quiet" }, words.under));
if (words.stop) {
  const stop = made("section", { class: "stop" });
  stop.append(made("h2", {}, words.stop.title), listed(words.stop.lines));
  if (words.stop.despite) stop.append(made("p", {}, words.stop.despite));
  main.append(stop);
}
const place = made("section", { class: "picture", "aria-label": words.picture });
place.append(made("h2", {}, words.picture));
main.append(place, numbers(words.numbers));
for (const part of words.parts) {
  const section = made("section");
  section.append(made("h2", {}, part.title), listed(part.lines));
  if (part.note) section.append(made("p", { class: "quiet" }, part.note));
  main.append(section);
}
unpacked(document.getElementById("frames").textContent).then(
  (text) => new Picture(place, JSON.parse(text)),
  () => place.append(made("p", {}, in_words("This browser cannot draw the picture."))),
);

function listed(lines) {
  const list = made("ul");
  list.append(...lines.map((line) => made("li", {}, line)));
  return list;
}

function numbers({ title, heads, rows, note }) {
  const section = made("section");
  const table = made("table");
  const top = made("tr");
  top.append(made("td"), ...heads.slice(1).map((head) => made("th", { scope: "col" }, head)));
  table.append(top);
  for (const [name, ...values] of rows) {
    const line = made("tr");
    line.append(made("th", { scope: "row" }, name), ...values.map((value) => made("td", {}, value)));
    table.append(line);
  }
  section.append(made("h2", {}, title), table, made("p", { class: "quiet" }, note));
  return section;
}
