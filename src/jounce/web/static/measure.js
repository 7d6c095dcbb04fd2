// The mark that a field asks for stands out in the drawings beside it while it is typed in.
// On a phone: keyboards for numbers have no sign, so that every field of a reading has one beside it; and what nobody knows is
// left open with a word, and the next field comes.
import { in_words } from "/static/words.js";

const form = document.querySelector("form.measures");
const touched = matchMedia("(pointer: coarse)").matches;

function button(text, label, act) {
  const made = document.createElement("button");
  [made.type, made.className, made.textContent] = ["button", "plain slight", text];
  made.setAttribute("aria-label", label);
  made.addEventListener("click", act);
  return made;
}

for (const field of touched ? form.querySelectorAll(".take > div:not(.band) > input[inputmode=decimal]") : []) {
  const named = document.getElementById(field.getAttribute("aria-labelledby").split(" ")[0]).textContent;
  field.parentElement.classList.add("signed");
  field.after(
    button("±", in_words("Other sign, {0}", named), () => {
      const typed = field.value.trim();
      field.value = /^[-−]/.test(typed) ? typed.slice(1) : `−${typed}`;
      field.dispatchEvent(new Event("input", { bubbles: true }));
      field.focus();
    }),
  );
}

for (const line of form.querySelectorAll("ol.tape > li")) {
  const fields = line.querySelectorAll(".take > div:not(.band) > input");
  if (!fields.length) continue;
  const named = line.querySelector("strong").textContent;
  line.querySelector(".state").append(
    " ",
    button(in_words("Don’t know"), in_words("Don’t know: {0}", named), () => {
      for (const field of fields) {
        field.value = "";
        field.dispatchEvent(new Event("input", { bubbles: true }));
      }
      line.classList.add("left-open");
      const next = line.nextElementSibling && line.nextElementSibling.querySelector("input, select");
      if (next) next.focus();
    }),
  );
}

const drawings = document.querySelector(".drawings");

// All else in the drawings steps back; of drawings in a row the first that has the mark is moved into sight.
function asked(mark) {
  const marks = drawings.querySelectorAll(".mark");
  let first = null;
  for (const one of marks) {
    const meant = one.dataset.mark === mark;
    one.classList.toggle("asked", meant);
    if (meant) first ??= one;
  }
  drawings.classList.toggle("asking", first !== null);
  const plate = first && first.closest(".plate");
  if (plate) drawings.scrollLeft = plate.offsetLeft - drawings.offsetLeft;
}

if (drawings)
  form.addEventListener("focusin", (event) => {
    const line = event.target.closest("[data-shows]");
    asked(line ? line.dataset.shows : "");
  });
