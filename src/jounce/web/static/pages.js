// Small things of every page: printing, and undoing by the keyboard. Pages work without them.
"use strict";

for (const button of document.querySelectorAll("button.print")) button.addEventListener("click", () => window.print());

// Outside of fields, Ctrl+Z presses the page's own "Undo"; in a field it is the field's.
document.addEventListener("keydown", (event) => {
  if (event.key.toLowerCase() !== "z" || event.shiftKey || event.altKey || !(event.ctrlKey || event.metaKey)) return;
  if (event.target.closest("input, select, textarea, [contenteditable]") || typed()) return;
  const undo = document.querySelector("form.undo");
  if (!undo) return;
  event.preventDefault();
  undo.requestSubmit();
});

// A choice shows what belongs to it: the unit of a field, for instance.
for (const choice of document.querySelectorAll("select[data-tells]")) {
  const show = () => document.querySelectorAll("[data-of]").forEach((one) => (one.hidden = one.dataset.of !== choice.value));
  choice.addEventListener("change", show);
  show();
}

// Whether something was written and not yet saved: leaving the page would lose it.
function typed() {
  return [...document.querySelectorAll("main input:not([type=hidden], [type=range]), main textarea")].some((field) => field.value !== field.defaultValue);
}
