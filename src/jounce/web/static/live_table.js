// The tables of a car under the hand: sums of products of Chebyshev polynomials, one of each lever, as the server told.
"use strict";

function normal(lever, value) {
  const [at, low, high] = [value, lever.low, lever.high].map((one) => one ** lever.power);
  return (2 * (at - low)) / (high - low) - 1;
}

function chebyshev(x) {
  const found = [1, x];
  while (found.length < 5) found.push(2 * x * found.at(-1) - found.at(-2));
  return found;
}

const summed = (factors, terms) => factors.reduce((sum, factor, k) => sum + factor * terms[k], 0);

// Every figure with the levers somewhere [SI]; null where no table may follow the hand there.
export function told(tables, values) {
  const place = Object.fromEntries(tables.levers.map((lever, k) => [lever.key, k]));
  const polynomials = tables.levers.map((lever, k) => chebyshev(normal(lever, values[k])));
  const terms = tables.degrees.map((row) => row.reduce((product, degree, k) => product * polynomials[k][degree], 1));
  const rubbers = tables.levers.some((lever, k) => lever.moves === "rubber" && values[k] !== lever.today);
  return tables.figures.map((figure) => {
    if (!figure.tables.length || (rubbers && figure.rubbers)) return null;
    const added = (own) =>
      Object.entries(own.added).reduce((sum, [key, factors]) => sum + summed(factors, polynomials[place[key]]), 0);
    const least = Math.min(...figure.tables.map((own) => summed(own.terms, terms) + added(own)));
    return figure.times in place ? least * values[place[figure.times]] : least;
  });
}

// What a check says of a figure's value: "" where none holds to it.
export function judged(figure, value) {
  if (!figure.code || value === null) return "";
  const low = figure.least !== null && value < figure.least;
  const high = figure.most !== null && value > figure.most;
  return low || high ? "fails" : "passes";
}
