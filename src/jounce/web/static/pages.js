// Small things of every page: printing, and a chart saved as a picture. Pages work without them.
"use strict";

for (const button of document.querySelectorAll("button.print")) button.addEventListener("click", () => window.print());
for (const button of document.querySelectorAll("button.png")) button.addEventListener("click", () => savePicture(button));
for (const place of document.querySelectorAll("[data-later]")) bring(place);

// What takes some seconds comes when the page is there already.
async function bring(place) {
  const link = place.innerHTML;
  place.innerHTML = '<p><label>Both turns are being worked out: some seconds. <progress></progress></label></p>';
  try {
    const answer = await fetch(place.dataset.later);
    if (!answer.ok) throw new Error(String(answer.status));
    place.innerHTML = await answer.text(); // written by our own server, every text in it escaped
  } catch (error) {
    place.innerHTML = link;
  }
}

async function savePicture(button) {
  const chart = button.parentElement.querySelector("svg");
  const text = new XMLSerializer().serializeToString(chart);
  const address = URL.createObjectURL(new Blob([text], { type: "image/svg+xml" }));
  const image = new Image();
  const box = chart.viewBox.baseVal;
  image.width = box.width * 3; // fine enough for paper
  image.height = box.height * 3;
  image.src = address;
  await image.decode();
  const canvas = document.createElement("canvas");
  canvas.width = image.width;
  canvas.height = image.height;
  canvas.getContext("2d").drawImage(image, 0, 0, canvas.width, canvas.height);
  URL.revokeObjectURL(address);
  canvas.toBlob((blob) => {
    const link = document.createElement("a");
    link.href = URL.createObjectURL(blob);
    link.download = "chart.png";
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 10000);
  }, "image/png");
}
