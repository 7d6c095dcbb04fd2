// Long work: the bar moves by itself, and a part that is worked out beside the page comes when it is there.
// Pages work without: they look again by themselves, or by a link.
"use strict";

const EVERY = 400; // how often is looked [ms]
const SPOKEN = 3000; // the sentence changes no oftener, so that it can be read out [ms]

for (const place of document.querySelectorAll("[data-work]")) watch(place);
for (const form of document.querySelectorAll("form[data-begin]")) begin(form);

function later(time) {
  return new Promise((done) => setTimeout(done, time));
}

// A form that begins long work for a part of the page: it is sent at once and replaced by how far the work is.
async function begin(form) {
  const place = form.parentElement;
  const asked = new URLSearchParams(new FormData(form));
  asked.set("part", "1");
  const answer = await fetch(form.action, { method: "POST", body: asked }).catch(() => null);
  if (answer && answer.ok) put(place, await answer.text());
}

function put(place, text) {
  place.innerHTML = text; // written by our own server, every text in it escaped
  for (const part of place.querySelectorAll("[data-work]")) watch(part);
  place.dispatchEvent(new Event("brought", { bubbles: true }));
}

async function watch(place) {
  const bar = place.querySelector("progress");
  const said = place.querySelector(".work-said");
  place.querySelector(".again").hidden = true;
  const form = place.querySelector("form");
  form.addEventListener("submit", (sent) => {
    sent.preventDefault();
    form.querySelector("button").disabled = true;
    fetch(form.action, { method: "POST", body: new URLSearchParams(new FormData(form)), redirect: "manual" });
  });
  let spoken = 0;
  let state = "";
  for (let missed = 0; missed < 30; ) {
    await later(EVERY);
    const answer = await fetch(place.dataset.work).catch(() => null);
    if (!place.isConnected) return;
    if (answer === null) {
      missed += 1; // the workbench is being started anew, or the phone is asleep
      continue;
    }
    const told = answer.ok ? await answer.json().catch(() => null) : null;
    if (told === null || told.finished) return finish(place);
    missed = 0;
    bar.value = 100 * told.share;
    if (told.state !== state || performance.now() - spoken > SPOKEN) {
      if (said.textContent !== told.said) said.textContent = told.said;
      state = told.state;
      spoken = performance.now();
    }
  }
}

async function finish(place) {
  const then = place.dataset.then;
  if (!then) return location.reload();
  const answer = await fetch(then).catch(() => null);
  if (answer && answer.ok) put(place.parentElement, await answer.text());
}
