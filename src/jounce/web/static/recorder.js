// The phone as the sensor: what it feels is recorded on the page and put into the field as a recorder's file. Browsers tell
// it only where the page is secure: over https, or on the machine that the workbench runs on.
import { in_words } from "./words.js";

const HEAD = "time (s),acceleration x (m/s^2),acceleration y (m/s^2),acceleration z (m/s^2)";
const LONGEST = 300; // [s]
const PATIENCE = 2000; // until a device that tells nothing is one that cannot [ms]
const TOLD_EVERY = 30; // samples

class Recorder {
  constructor(field) {
    this.field = field;
    this.samples = [];
    this.take = (event) => this.taken(event);
    this.box = element("div", "recorder");
    this.button = element("button", "plain");
    this.button.type = "button";
    this.button.addEventListener("click", () => (this.running ? this.stop() : this.start()));
    this.said = element("p", "quiet");
    this.said.setAttribute("role", "status");
    this.box.append(this.button, this.said);
    field.after(this.box);
    this.show();
    if (!window.isSecureContext || !window.DeviceMotionEvent) {
      this.button.hidden = true;
      this.say(in_words("To record here the page has to come over https; any sensor recorder's file will do as well."));
    }
  }

  async start() {
    const asked = window.DeviceMotionEvent.requestPermission; // one phone system wants leave, asked for by a press
    if (asked && (await asked.call(window.DeviceMotionEvent).catch(() => "denied")) !== "granted") {
      this.say(in_words("The phone was not allowed to tell how it moves: allow motion sensors for this page, and press again."));
      return;
    }
    this.samples = [];
    this.running = true;
    this.show();
    this.say(in_words("Recording: push, let go, wait until it stands still; six times."));
    window.addEventListener("devicemotion", this.take);
    this.awake = await navigator.wakeLock?.request("screen").catch(() => null);
    setTimeout(() => {
      if (this.running && !this.samples.length) this.stop();
    }, PATIENCE);
  }

  taken(event) {
    const felt = event.accelerationIncludingGravity;
    if (typeof felt?.x !== "number") return; // a machine without sensors tells one empty event
    this.samples.push([event.timeStamp / 1000, felt.x, felt.y, felt.z]);
    if (this.samples.length % TOLD_EVERY === 0) this.say(in_words("{0} s recorded", Math.round(this.lasts())));
    if (this.lasts() > LONGEST) this.stop();
  }

  lasts() {
    return this.samples.length ? this.samples.at(-1)[0] - this.samples[0][0] : 0;
  }

  stop() {
    window.removeEventListener("devicemotion", this.take);
    this.awake?.release();
    this.running = false;
    this.show();
    if (!this.samples.length) {
      this.say(in_words("This device told nothing of how it moves: take any sensor recorder, and give its file."));
      return;
    }
    this.field.value = as_file(this.samples);
    this.field.dispatchEvent(new Event("input", { bubbles: true }));
    this.say(in_words("Recorded: {0} s, {1} samples. They stand in the field; press Ask.", Math.round(this.lasts()), this.samples.length));
    this.offer();
  }

  // The recording outlives a lost connection as a file of the phone.
  offer() {
    this.link ??= element("a", "");
    URL.revokeObjectURL(this.link.href);
    this.link.href = URL.createObjectURL(new Blob([this.field.value], { type: "text/csv" }));
    this.link.download = "recording.csv";
    this.link.textContent = in_words("Keep the recording as a file");
    this.box.append(this.link);
  }

  show() {
    this.button.textContent = this.running ? in_words("Stop recording") : in_words("Record with this phone");
  }

  say(text) {
    this.said.textContent = text;
  }
}

function as_file(samples) {
  const begun = samples[0][0];
  return [HEAD, ...samples.map(([time, ...felt]) => [(time - begun).toFixed(4), ...felt.map((one) => one.toFixed(3))].join(","))].join("\n");
}

function element(name, kind) {
  const made_new = document.createElement(name);
  made_new.className = kind;
  return made_new;
}

for (const field of document.querySelectorAll("textarea[data-records]")) new Recorder(field);
