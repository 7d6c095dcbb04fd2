// Every place for a picture on the page gets one, as soon as its frames are there.
import { Picture } from "./picture_car.js";
import { in_words } from "./words.js";

class FetchedPicture extends Picture {
  // A motion of the whole car is worked out by the server when it is first asked for; then it is dragged like the others.
  async bring(name, tell) {
    const motion = this.data.motions[name];
    if (motion.coming) return;
    motion.coming = true;
    this.note.textContent = in_words("{0}: being worked out.", in_words(motion.label));
    try {
      const answer = await fetch(`${this.place.dataset.frames}?motion=${name}`);
      if (!answer.ok) throw new Error(String(answer.status));
      const { states } = await answer.json();
      if (states.every((state) => state === null)) {
        this.note.textContent = in_words("{0}: too little is known of this car, its dampers for instance.", in_words(motion.label));
        return;
      }
      states.forEach((state, k) => {
        this.data.states[k].poses[name] = state ? state.poses : [];
        this.data.states[k].axles.forEach((axle, row) => (axle.motions[name] = state ? state.axles[row] : { frames: [], read: [] }));
      });
      motion.later = false;
      if (this.wanted === name) this.choose(name, tell); // another motion was chosen while this one was on its way
    } catch (error) {
      this.note.textContent = in_words("{0}: this could not be fetched. Press its button to try again.", in_words(motion.label));
    } finally {
      motion.coming = false;
    }
  }
}

for (const place of document.querySelectorAll(".picture[data-frames]")) begin(place);

async function begin(place) {
  const note = place.querySelector(".loading");
  note.textContent = in_words("The picture is being worked out.");
  try {
    const answer = await fetch(place.dataset.frames);
    if (!answer.ok) throw new Error(String(answer.status));
    const data = await answer.json();
    note.remove();
    new FetchedPicture(place, data);
  } catch (error) {
    note.textContent = in_words("The picture could not be fetched. Reload the page to try again.");
  }
}
