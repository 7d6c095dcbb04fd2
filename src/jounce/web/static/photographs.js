// Photographs are sent one by one as soon as they are chosen, each is looked at at once, and what the network loses is sent
// again: they may be chosen under the car where there is none. Without this the form sends up to four at a time.
import { in_words } from "/static/words.js";

const AGAIN = 3000; // before a photograph is sent again when nobody answers [ms]
const form = document.querySelector("form.send-photographs");
const field = form.querySelector("input[type=file]");
const list = document.querySelector("#photographs");
const said = form.querySelector("[role=status]");
const waiting = [];
let sending = false;

field.addEventListener("change", choose);
form.addEventListener("submit", (event) => {
  event.preventDefault();
  choose();
});
window.addEventListener("beforeunload", (event) => {
  if (waiting.length) event.preventDefault();
});

function choose() {
  waiting.push(...field.files);
  field.value = "";
  if (!sending) send();
}

async function send() {
  let refused = false;
  sending = true;
  while (waiting.length) {
    said.textContent = in_words("Being looked at; {0} to go.", waiting.length);
    const answer = await post(waiting[0]);
    if (answer === null) {
      said.textContent = in_words("No network: {0} wait here. Keep this page open.", waiting.length);
      await new Promise((done) => setTimeout(done, AGAIN));
      continue;
    }
    const [file] = waiting.splice(0, 1);
    if (answer.ok || answer.status === 422) {
      list.insertAdjacentHTML("afterbegin", await answer.text()); // written by our own server, every text in it escaped
    } else {
      const line = document.createElement("li");
      line.textContent = `${file.name}: ${await answer.text()}`;
      list.prepend(line);
    }
    refused = refused || !answer.ok;
  }
  sending = false;
  if (!refused) return location.reload(); // what is still missing has changed
  said.textContent = in_words("Some were refused, see below; the others are kept.");
  form.querySelector(".look-again").hidden = false;
}

function post(file) {
  const data = new FormData();
  data.set("part", "1");
  data.set("file", file);
  return fetch(form.action, { method: "POST", body: data }).catch(() => null);
}
