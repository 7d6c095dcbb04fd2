// Packed data in the page: base64, gzip. A browser that unpacks by itself does; an older one is helped here.

export async function unpacked(text) {
  const bytes = Uint8Array.from(atob(text.trim()), (letter) => letter.charCodeAt(0));
  if (typeof DecompressionStream === "function") {
    return new Response(new Blob([bytes]).stream().pipeThrough(new DecompressionStream("gzip"))).text();
  }
  return new TextDecoder().decode(inflated(bytes));
}

// RFC 1951, after the ten bytes with which RFC 1952 begins.
const LENGTHS = [3, 4, 5, 6, 7, 8, 9, 10, 11, 13, 15, 17, 19, 23, 27, 31, 35, 43, 51, 59, 67, 83, 99, 115, 131, 163, 195, 227, 258];
const LENGTH_BITS = [0, 0, 0, 0, 0, 0, 0, 0, 1, 1, 1, 1, 2, 2, 2, 2, 3, 3, 3, 3, 4, 4, 4, 4, 5, 5, 5, 5, 0];
const FAR = [1, 2, 3, 4, 5, 7, 9, 13, 17, 25, 33, 49, 65, 97, 129, 193, 257, 385, 513, 769, 1025, 1537, 2049, 3073, 4097, 6145, 8193, 12289, 16385, 24577];
const FAR_BITS = [0, 0, 0, 0, 1, 1, 2, 2, 3, 3, 4, 4, 5, 5, 6, 6, 7, 7, 8, 8, 9, 9, 10, 10, 11, 11, 12, 12, 13, 13];
const ORDER = [16, 17, 18, 0, 8, 7, 9, 6, 10, 5, 11, 4, 12, 3, 13, 2, 14, 1, 15];

function inflated(bytes) {
  const size = new DataView(bytes.buffer).getUint32(bytes.length - 4, true);
  const out = new Uint8Array(size);
  let [place, at, held, have] = [10, 0, 0, 0];
  const bits = (count) => {
    while (have < count) {
      held |= bytes[place++] << have;
      have += 8;
    }
    const value = held & ((1 << count) - 1);
    held >>>= count;
    have -= count;
    return value;
  };
  const symbol = ({ counts, symbols }) => {
    let [code, first, index] = [0, 0, 0];
    for (let long = 1; long < 16; long++) {
      code |= bits(1);
      if (code - counts[long] < first) return symbols[index + code - first];
      index += counts[long];
      first = (first + counts[long]) << 1;
      code <<= 1;
    }
    throw new Error("the data is damaged");
  };
  const fixed = [codes([...Array(144).fill(8), ...Array(112).fill(9), ...Array(24).fill(7), ...Array(8).fill(8)]), codes(Array(30).fill(5))];
  for (let last = 0; !last; ) {
    last = bits(1);
    const kind = bits(2);
    if (kind === 0) {
      [held, have] = [0, 0];
      const count = bytes[place] | (bytes[place + 1] << 8);
      out.set(bytes.subarray(place + 4, place + 4 + count), at);
      place += 4 + count;
      at += count;
      continue;
    }
    const [letters, ways] = kind === 1 ? fixed : told_codes(bits, symbol);
    for (let one = symbol(letters); one !== 256; one = symbol(letters)) {
      if (one < 256) {
        out[at++] = one;
        continue;
      }
      const count = LENGTHS[one - 257] + bits(LENGTH_BITS[one - 257]);
      const way = symbol(ways);
      const back = FAR[way] + bits(FAR_BITS[way]);
      for (let k = 0; k < count; k++, at++) out[at] = out[at - back];
    }
  }
  return out;
}

function told_codes(bits, symbol) {
  const [letters, ways, count] = [bits(5) + 257, bits(5) + 1, bits(4) + 4];
  const short = Array(19).fill(0);
  for (let k = 0; k < count; k++) short[ORDER[k]] = bits(3);
  const table = codes(short);
  const long = [];
  while (long.length < letters + ways) {
    const one = symbol(table);
    if (one < 16) long.push(one);
    else if (one === 16) long.push(...Array(bits(2) + 3).fill(long[long.length - 1]));
    else long.push(...Array(one === 17 ? bits(3) + 3 : bits(7) + 11).fill(0));
  }
  return [codes(long.slice(0, letters)), codes(long.slice(letters))];
}

// Codes by their lengths: how many there are of each, and their symbols in order.
function codes(lengths) {
  const counts = Array(16).fill(0);
  for (const long of lengths) counts[long] += 1;
  counts[0] = 0;
  const begins = [0, 0];
  for (let k = 1; k < 15; k++) begins[k + 1] = begins[k] + counts[k];
  const symbols = [];
  lengths.forEach((long, one) => {
    if (long) symbols[begins[long]++] = one;
  });
  return { counts, symbols };
}
