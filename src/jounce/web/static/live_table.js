// The tables of a car under the hand: sums of products of Chebyshev polynomials, one of each lever, as the server told.
"use strict";

export function normal(lever, value) {
  const [at, low, high] = [value, lever.low, lever.high].map((one) => one ** lever.power);
  return (2 * (at - low)) / (high - low) - 1;
}

// Every figure with the levers somewhere [SI]; null where no table is good enough to follow the hand.
export function told(tables, values) {
  const polynomials = tables.levers.map((lever, k) => {
    const x = normal(lever, values[k]);
    const found = [1, x];
    while (found.length < 5) found.push(2 * x * found.at(-1) - found.at(-2));
    return found;
  });
  const terms = tables.degrees.map((row) => row.reduce((product, degree, k) => product * polynomials[k][degree], 1));
  return tables.figures.map((figure) => {
    if (!figure.tables.length) return null;
    return Math.min(...figure.tables.map((own) => own.reduce((sum, factor, k) => sum + factor * terms[k], 0)));
  });
}
