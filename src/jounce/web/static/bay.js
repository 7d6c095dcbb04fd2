// The bay's page: ticks stay on this device for this version of the job, and the screen stays on when asked.
import { in_words } from "./words.js";

const bay = document.querySelector("[data-bay]");
const key = `bay-${bay.dataset.bay}`;
const boxes = [...bay.querySelectorAll("input[data-tick]")];
const told = bay.querySelector(".told");

let ticked = new Set();
try {
  ticked = new Set(JSON.parse(localStorage.getItem(key) ?? "[]"));
} catch {
  told.textContent = in_words("This browser keeps no ticks.");
}

function shown() {
  const settings = boxes.filter((box) => !box.closest("tr").classList.contains("reads"));
  told.textContent = in_words("{0} of {1} set", settings.filter((box) => box.checked).length, settings.length);
}

function kept() {
  try {
    localStorage.setItem(key, JSON.stringify([...ticked]));
    shown();
  } catch {
    told.textContent = in_words("This browser keeps no ticks.");
  }
}

for (const box of boxes) {
  if (box.checked) ticked.add(box.dataset.tick); // by a hand that was quicker than this script
  box.checked = ticked.has(box.dataset.tick);
  box.addEventListener("change", () => {
    if (box.checked) ticked.add(box.dataset.tick);
    else ticked.delete(box.dataset.tick);
    kept();
  });
}
kept();

bay.querySelector(".afresh").addEventListener("click", () => {
  if (!confirm(in_words("Clear every tick of this job?"))) return;
  ticked.clear();
  for (const box of boxes) box.checked = false;
  localStorage.removeItem(key);
  shown();
});

// The lock is lost whenever the page is hidden; it is asked for again when somebody looks.
const awake = bay.querySelector(".awake");
let lock = null;
if (navigator.wakeLock) {
  awake.hidden = false;
  const hold = async () => {
    try {
      lock = await navigator.wakeLock.request("screen");
      awake.setAttribute("aria-pressed", "true");
    } catch {
      awake.setAttribute("aria-pressed", "false");
      told.textContent = in_words("This device does not let the page keep the screen on.");
    }
  };
  awake.addEventListener("click", async () => {
    if (awake.getAttribute("aria-pressed") === "true") {
      awake.setAttribute("aria-pressed", "false");
      await lock?.release();
      lock = null;
    } else {
      await hold();
    }
  });
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "visible" && awake.getAttribute("aria-pressed") === "true") hold();
  });
}
