// Every place for a picture on the page gets one, as soon as its frames are there.
import { Picture } from "./picture_car.js";

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
