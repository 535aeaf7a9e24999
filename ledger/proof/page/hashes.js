// SHA-256 and SHA-512 as FIPS PUB 180-4 section 6 has them. The browser's own are missing on pages that came over an
// unencrypted connection, and on some that were opened from a disk.

const PRIMES = (() => {
  const found = [];
  for (let each = 2; found.length < 80; each += 1) {
    if (found.every((prime) => each % prime)) found.push(each);
  }
  return found;
})();

// The first `bits` bits of the fractional part of the `power`-th root (2 or 3) of a whole number, exactly.
function fraction(number, power, bits) {
  const shift = BigInt(bits * power);
  const scaled = BigInt(number) << shift;
  let low = 0n;
  let high = 1n << BigInt(bits + 8);
  while (low < high) {
    const middle = (low + high + 1n) >> 1n;
    if (middle ** BigInt(power) <= scaled) low = middle;
    else high = middle - 1n;
  }
  return low & ((1n << BigInt(bits)) - 1n);
}

const K256 = Uint32Array.from(PRIMES.slice(0, 64), (prime) => Number(fraction(prime, 3, 32)));
const START256 = Uint32Array.from(PRIMES.slice(0, 8), (prime) => Number(fraction(prime, 2, 32)));
const K512 = PRIMES.map((prime) => fraction(prime, 3, 64));
const START512 = PRIMES.slice(0, 8).map((prime) => fraction(prime, 2, 64));

// The message with its padding: a one bit, zeroes, and its length in bits at the end of a block.
function padded(message, block, lengthBytes) {
  const size = Math.ceil((message.length + 1 + lengthBytes) / block) * block;
  const out = new Uint8Array(size);
  out.set(message);
  out[message.length] = 0x80;
  let bits = BigInt(message.length) * 8n;
  for (let at = size - 1; bits > 0n; at -= 1) {
    out[at] = Number(bits & 255n);
    bits >>= 8n;
  }
  return out;
}

function block256(state, words, view, offset) {
  for (let t = 0; t < 16; t += 1) words[t] = view.getUint32(offset + t * 4);
  for (let t = 16; t < 64; t += 1) {
    const a = words[t - 15];
    const b = words[t - 2];
    const s0 = ((a >>> 7) | (a << 25)) ^ ((a >>> 18) | (a << 14)) ^ (a >>> 3);
    const s1 = ((b >>> 17) | (b << 15)) ^ ((b >>> 19) | (b << 13)) ^ (b >>> 10);
    words[t] = words[t - 16] + s0 + words[t - 7] + s1;
  }
  let [a, b, c, d, e, f, g, h] = state;
  for (let t = 0; t < 64; t += 1) {
    const s1 = ((e >>> 6) | (e << 26)) ^ ((e >>> 11) | (e << 21)) ^ ((e >>> 25) | (e << 7));
    const one = (h + s1 + ((e & f) ^ (~e & g)) + K256[t] + words[t]) | 0;
    const s0 = ((a >>> 2) | (a << 30)) ^ ((a >>> 13) | (a << 19)) ^ ((a >>> 22) | (a << 10));
    const two = (s0 + ((a & b) ^ (a & c) ^ (b & c))) | 0;
    h = g;
    g = f;
    f = e;
    e = (d + one) | 0;
    d = c;
    c = b;
    b = a;
    a = (one + two) | 0;
  }
  const next = [a, b, c, d, e, f, g, h];
  for (let at = 0; at < 8; at += 1) state[at] += next[at];
}

function sha256(message) {
  const data = padded(message, 64, 8);
  const view = new DataView(data.buffer);
  const state = Uint32Array.from(START256);
  const words = new Uint32Array(64);
  for (let offset = 0; offset < data.length; offset += 64) block256(state, words, view, offset);
  const out = new Uint8Array(32);
  const written = new DataView(out.buffer);
  state.forEach((word, at) => written.setUint32(at * 4, word));
  return out;
}

const WORD = (1n << 64n) - 1n;
const turned = (word, by) => ((word >> by) | (word << (64n - by))) & WORD;

function sha512(message) {
  const data = padded(message, 128, 16);
  const view = new DataView(data.buffer);
  const state = Array.from(START512);
  for (let offset = 0; offset < data.length; offset += 128) {
    const words = [];
    for (let t = 0; t < 80; t += 1) {
      if (t < 16) {
        words.push(view.getBigUint64(offset + t * 8));
        continue;
      }
      const [x, y] = [words[t - 15], words[t - 2]];
      const s0 = turned(x, 1n) ^ turned(x, 8n) ^ (x >> 7n);
      const s1 = turned(y, 19n) ^ turned(y, 61n) ^ (y >> 6n);
      words.push((words[t - 16] + s0 + words[t - 7] + s1) & WORD);
    }
    let [a, b, c, d, e, f, g, h] = state;
    for (let t = 0; t < 80; t += 1) {
      const s1 = turned(e, 14n) ^ turned(e, 18n) ^ turned(e, 41n);
      const one = h + s1 + ((e & f) ^ (~e & WORD & g)) + K512[t] + words[t];
      const s0 = turned(a, 28n) ^ turned(a, 34n) ^ turned(a, 39n);
      const two = s0 + ((a & b) ^ (a & c) ^ (b & c));
      [h, g, f, e, d, c, b, a] = [g, f, e, (d + one) & WORD, c, b, a, (one + two) & WORD];
    }
    [a, b, c, d, e, f, g, h].forEach((word, at) => {
      state[at] = (state[at] + word) & WORD;
    });
  }
  const out = new Uint8Array(64);
  const written = new DataView(out.buffer);
  state.forEach((word, at) => written.setBigUint64(at * 8, word));
  return out;
}
