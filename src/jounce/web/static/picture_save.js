// The present view as a picture file, with a line of the owner's own below it.
import { made } from "./picture_words.js";

const LINE = 56; // height of the line below the picture [px]

export function savings(picture) {
  const box = made("details", { class: "saving" });
  const label = made("label", { for: "caption" }, "A line below it");
  const caption = made("input", { id: "caption", maxlength: "90", autocomplete: "off" });
  const button = made("button", { type: "button", class: "plain" }, "Save as PNG");
  button.addEventListener("click", () => save(picture, caption.value.trim()));
  box.append(made("summary", {}, "This view as a picture file"), label, caption, button);
  return box;
}

function save(picture, caption) {
  const { canvas } = picture;
  picture.draw();
  const fine = canvas.width / (picture.wide || canvas.width);
  const sheet = made("canvas");
  [sheet.width, sheet.height] = [canvas.width, canvas.height + (caption ? LINE * fine : 0)];
  const pen = sheet.getContext("2d");
  pen.fillStyle = "#ffffff";
  pen.fillRect(0, 0, sheet.width, sheet.height);
  pen.drawImage(canvas, 0, 0);
  if (caption) {
    pen.fillStyle = "#111418";
    pen.textAlign = "center";
    pen.font = `${20 * fine}px sans-serif`;
    pen.fillText(caption, sheet.width / 2, canvas.height + 0.6 * LINE * fine, 0.94 * sheet.width);
  }
  sheet.toBlob((blob) => {
    const address = URL.createObjectURL(blob);
    made("a", { href: address, download: "picture.png" }).click();
    setTimeout(() => URL.revokeObjectURL(address), 1000);
  });
}
