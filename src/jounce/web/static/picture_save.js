// The present view as a picture file (PNG, SVG), and its motion as a clip that begins anew (GIF), with a line of the owner's
// own below it.
import { MovingPicture } from "./picture_gif.js";
import { written } from "./picture_svg.js";
import { made } from "./picture_words.js";
import { in_words } from "./words.js";

const LINE = 56; // height of the line below the picture [px]
const CLIP_WIDE = 640; // [px]
const CLIP_FRAMES = 36;
const CLIP_STAYS = 6; // [hundredths of a second]

export function savings(picture) {
  const box = made("details", { class: "saving" });
  const label = made("label", { for: "caption" }, in_words("A line below it"));
  const caption = made("input", { id: "caption", maxlength: "90", autocomplete: "off" });
  const bar = made("div", { class: "bar" });
  const said = made("p", { class: "quiet", "aria-live": "polite" });
  const kinds = [
    [in_words("Save as PNG"), () => saved_flat(picture, caption.value.trim())],
    [in_words("Save as SVG"), () => handed(new Blob([written(picture, caption.value.trim(), LINE)], { type: "image/svg+xml" }), "picture.svg")],
    [in_words("Save the motion as a clip (GIF)"), () => saved_moving(picture, caption.value.trim(), said)],
  ];
  for (const [name, act] of kinds) {
    const button = made("button", { type: "button", class: "plain" }, name);
    button.addEventListener("click", async () => {
      button.disabled = true;
      await act();
      button.disabled = false;
    });
    bar.append(button);
  }
  box.append(made("summary", {}, in_words("This view as a picture file or a clip")), label, caption, bar, said);
  return box;
}

function saved_flat(picture, caption) {
  picture.draw();
  const fine = picture.canvas.width / (picture.wide || picture.canvas.width);
  return new Promise((done) =>
    sheet(picture, caption, fine).canvas.toBlob((blob) => {
      handed(blob, "picture.png");
      done();
    }),
  );
}

// What the canvas shows on white, and the line below it; so many pixels for each of the page's.
function sheet(picture, caption, fine) {
  const canvas = made("canvas");
  const [wide, high] = [Math.round(picture.wide * fine), Math.round(picture.high * fine)];
  [canvas.width, canvas.height] = [wide, high + (caption ? Math.round(LINE * fine) : 0)];
  const pen = canvas.getContext("2d", { willReadFrequently: true });
  pen.fillStyle = "#ffffff";
  pen.fillRect(0, 0, canvas.width, canvas.height);
  pen.drawImage(picture.canvas, 0, 0, wide, high);
  if (caption) {
    pen.fillStyle = "#111418";
    pen.textAlign = "center";
    pen.font = `${20 * fine}px sans-serif`;
    pen.fillText(caption, wide / 2, high + 0.6 * LINE * fine, 0.94 * wide);
  }
  return pen;
}

// Through the motion and back, or through once where its value is a time.
async function saved_moving(picture, caption, said) {
  const { poses } = picture.solid;
  const there = poses[picture.motion].flatMap((pose, k) => (pose ? [k] : []));
  if (!there.length) return;
  const [first, last] = [there[0], there[there.length - 1]];
  const once = Boolean(picture.data.motions[picture.motion].road);
  const fine = Math.min(1, CLIP_WIDE / picture.wide);
  const was = picture.at;
  const frames = [];
  picture.stop();
  for (let k = 0; k < CLIP_FRAMES; k++) {
    const share = once ? k / (CLIP_FRAMES - 1) : 0.5 - 0.5 * Math.cos((2 * Math.PI * k) / CLIP_FRAMES);
    picture.at = first + share * (last - first);
    picture.draw();
    const pen = sheet(picture, caption, fine);
    const { width, height } = pen.canvas;
    frames.push(pen.getImageData(0, 0, width, height));
    said.textContent = in_words("Picture {0} of {1} is drawn.", k + 1, CLIP_FRAMES);
    await new Promise((done) => setTimeout(done));
  }
  picture.at = was;
  picture.draw();
  const samples = frames.filter((_, k) => k % 9 === 0).map((frame) => frame.data);
  const clip = new MovingPicture(frames[0].width, frames[0].height, samples);
  for (const frame of frames) {
    clip.add(frame.data, CLIP_STAYS);
    await new Promise((done) => setTimeout(done));
  }
  said.textContent = in_words("The clip is saved: it begins anew by itself, on any phone.");
  handed(clip.blob(), "motion.gif");
}

function handed(blob, name) {
  const address = URL.createObjectURL(blob);
  made("a", { href: address, download: name }).click();
  setTimeout(() => URL.revokeObjectURL(address), 1000);
}
