// What scripts say, in the house's words: the page carries them where it speaks another language than the program.
const script_words = document.getElementById("script-words");
const house_lines = new Map([...(script_words?.content.children ?? [])].map((line) => [line.dataset.text, line.textContent]));

export const DECIMAL = script_words?.dataset.decimal ?? ".";

// A number as the house writes it, with a true minus sign, and never "minus nothing".
export function number_told(value, decimals) {
  const text = value.toFixed(decimals);
  return (Number(text) === 0 ? text.replace("-", "") : text.replace("-", "−")).replace(".", DECIMAL);
}

// A number with its unit; the degree sign follows close, as it is written.
export function with_unit(number, unit) {
  return unit === "°" ? number + unit : `${number} ${unit}`.trim();
}

// Names that came with data, with what the house calls them.
export function learnt(words) {
  for (const [text, said] of Object.entries(words ?? {})) house_lines.set(text, said);
}

// A text with {0}, {1} for what is put in; numbers that are put in take the house's decimal sign.
export function in_words(text, ...places) {
  const put = (place) => (/^[+−-]?\d+\.\d/.test(String(place)) ? String(place).replace(".", DECIMAL) : String(place));
  return (house_lines.get(text) ?? text).replace(/\{(\d)\}/g, (found, n) => (n in places ? put(places[n]) : found));
}
