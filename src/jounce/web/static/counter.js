// The counter: the slider and its number go together, and what stands against going lower is fetched for the chosen car.
// The page works without: the number is typed, and a link leads to how low the car can go.
import { DECIMAL, in_words } from "./words.js";

const slider = document.getElementById("slider");
const lower = document.getElementById("lower");
const car = document.getElementById("car");
const low = document.getElementById("how-low");

slider.addEventListener("input", () => (lower.value = slider.value.replace(".", DECIMAL)));
lower.addEventListener("input", () => {
  const typed = Number.parseFloat(lower.value.replace(",", "."));
  if (Number.isFinite(typed)) slider.value = typed;
});
car.addEventListener("change", look);
look();

async function look() {
  if (!car.value) return;
  const asked = car.value;
  low.textContent = in_words("Looking how low it can go …");
  const answer = await fetch(`/cars/${encodeURIComponent(asked)}/how-low?part=1`).catch(() => null);
  if (car.value !== asked) return;
  if (answer && answer.ok) low.innerHTML = await answer.text(); // written by our own server, every text in it escaped
  else low.textContent = in_words("How low it can go is not known now.");
}
