// Ed25519 as RFC 8032 section 5.1 has it, for checking alone: nothing here is secret, so nothing here hides its time.
// Keys of small order, and numbers that are not spelled in their one way, are refused.

const P = 2n ** 255n - 19n;
const L = 2n ** 252n + 27742317777372353535851937790883648493n;

const mod = (value, by = P) => ((value % by) + by) % by;

function power(base, exponent) {
  let result = 1n;
  let square = mod(base);
  for (let left = exponent; left > 0n; left >>= 1n) {
    if (left & 1n) result = mod(result * square);
    square = mod(square * square);
  }
  return result;
}

const inverse = (value) => power(value, P - 2n);
const D = mod(-121665n * inverse(121666n));
const ROOT = power(2n, (P - 1n) / 4n);

// A point as X, Y, Z, T with x = X/Z, y = Y/Z, xy = T/Z. Source: RFC 8032 section 5.1.4.
const ZERO = [0n, 1n, 1n, 0n];

function add([x1, y1, z1, t1], [x2, y2, z2, t2]) {
  const a = mod((y1 - x1) * (y2 - x2));
  const b = mod((y1 + x1) * (y2 + x2));
  const c = mod(t1 * 2n * D * t2);
  const d = mod(z1 * 2n * z2);
  const [e, f, g, h] = [b - a, d - c, d + c, b + a];
  return [mod(e * f), mod(g * h), mod(f * g), mod(e * h)];
}

function times(number, point) {
  let result = ZERO;
  let doubled = point;
  for (let left = number; left > 0n; left >>= 1n) {
    if (left & 1n) result = add(result, doubled);
    doubled = add(doubled, doubled);
  }
  return result;
}

const same = ([x1, y1, z1], [x2, y2, z2]) => mod(x1 * z2 - x2 * z1) === 0n && mod(y1 * z2 - y2 * z1) === 0n;

function number(bytes) {
  let found = 0n;
  for (let at = bytes.length - 1; at >= 0; at -= 1) found = (found << 8n) | BigInt(bytes[at]);
  return found;
}

// The point of 32 bytes, or null. Source: RFC 8032 section 5.1.3.
function point(bytes) {
  if (bytes.length !== 32) return null;
  const all = number(bytes);
  const sign = all >> 255n;
  const y = all & ((1n << 255n) - 1n);
  if (y >= P) return null;
  const [u, v] = [mod(y * y - 1n), mod(D * y * y + 1n)];
  let x = mod(u * power(v, 3n) * power(u * power(v, 7n), (P - 5n) / 8n));
  if (mod(v * x * x) !== u) x = mod(x * ROOT);
  if (mod(v * x * x) !== u || (x === 0n && sign === 1n)) return null;
  if ((x & 1n) !== sign) x = P - x;
  return [x, y, 1n, mod(x * y)];
}

const BASE = (() => {
  const y = mod(4n * inverse(5n));
  const bytes = new Uint8Array(32);
  for (let at = 0, left = y; at < 32; at += 1, left >>= 8n) bytes[at] = Number(left & 255n);
  return point(bytes);
})();

const isSmall = (each) => same(times(8n, each), ZERO);

function joined(...parts) {
  const out = new Uint8Array(parts.reduce((size, each) => size + each.length, 0));
  let at = 0;
  for (const each of parts) {
    out.set(each, at);
    at += each.length;
  }
  return out;
}

// Whether the signature is that of the key over the message. Source: RFC 8032 section 5.1.7, without a cofactor.
function verifies(key, signature, message) {
  const [a, r] = [point(key), point(signature.subarray(0, 32))];
  if (a === null || r === null || signature.length !== 64 || isSmall(a)) return false;
  const s = number(signature.subarray(32));
  if (s >= L) return false;
  const k = number(sha512(joined(signature.subarray(0, 32), key, message))) % L;
  return same(times(s, BASE), add(r, times(k, a)));
}
