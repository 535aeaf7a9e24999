// Checks a record as FORMAT.md says: its entries, its chain, its place in the signed ledger, its words and what lies
// beside it. Every finding is told, not the first.

const FORMAT = "slipsheet-record/1";
const SUFFIX = ".slipsheet.invalid";
const DEEPEST = 16;
const encoder = new TextEncoder();
const hexed = (bytes) => Array.from(bytes, (each) => each.toString(16).padStart(2, "0")).join("");
const alike = (one, other) => one.length === other.length && one.every((each, at) => each === other[at]);
const half = (value) => Math.floor(value / 2);

class Unreadable extends Error {}

// Text that is UTF-8 from its first byte to its last; a byte order mark is no part of any.
const strictText = (bytes) => new TextDecoder("utf-8", { fatal: true, ignoreBOM: true }).decode(bytes);

// Standard base64 in its one spelling: no bits are left over that mean nothing.
const BASE64 = /^(?:[A-Za-z0-9+/]{4})*(?:[A-Za-z0-9+/]{4}|[A-Za-z0-9+/][AQgw]==|[A-Za-z0-9+/]{2}[AEIMQUYcgkosw048]=)$/;

function fromBase64(text) {
  if (!BASE64.test(text)) throw new Unreadable("it is not base64");
  return decoded(text);
}

function decoded(text) {
  const letters = atob(text);
  const found = new Uint8Array(letters.length);
  for (let at = 0; at < letters.length; at += 1) found[at] = letters.charCodeAt(at);
  return found;
}

const base64url = (bytes) =>
  btoa(String.fromCharCode(...bytes)).replaceAll("+", "-").replaceAll("/", "_").replaceAll("=", "");

// The one form of plain data. Source: RFC 8785 sections 3.2.2 and 3.2.3.
function canonical(value) {
  if (Array.isArray(value)) return `[${value.map(canonical).join(",")}]`;
  if (value === null || typeof value !== "object") return JSON.stringify(value);
  const members = Object.keys(value).sort().map((name) => `${JSON.stringify(name)}:${canonical(value[name])}`);
  return `{${members.join(",")}}`;
}

// Plain data from its one form; anything else is refused.
function read(text, what) {
  let found;
  try {
    found = JSON.parse(text);
  } catch {
    throw new Unreadable(`${what} is not JSON`);
  }
  if (canonical(found) !== text) throw new Unreadable(`${what} is not in its one form`);
  return found;
}

const leafOf = (bytes) => sha256(joined([0], bytes));
const nodeOf = (left, right) => sha256(joined([1], left, right));

// Source: RFC 9162 section 2.1.3.2.
function isIn(index, size, leaf, proof, root) {
  if (!(index >= 0 && index < size)) return false;
  let [first, last, hash] = [index, size - 1, leaf];
  for (const each of proof) {
    if (last === 0) return false;
    if (first % 2 === 1 || first === last) {
      hash = nodeOf(each, hash);
      while (first % 2 === 0 && first !== 0) [first, last] = [half(first), half(last)];
    } else {
      hash = nodeOf(hash, each);
    }
    [first, last] = [half(first), half(last)];
  }
  return last === 0 && alike(hash, root);
}

// A verifier key, or null. Source: C2SP signed-note, "Verifier keys".
function keyOf(text) {
  const match = /^([^+\s]+)\+([0-9a-f]{8})\+([A-Za-z0-9+/]+=*)$/.exec(text.trim());
  if (match === null) return null;
  try {
    const bytes = fromBase64(match[3]);
    const id = hexed(sha256(joined(encoder.encode(`${match[1]}\n`), bytes)).subarray(0, 4));
    return bytes.length === 33 && bytes[0] === 1 && id === match[2] ? { name: match[1], id, key: bytes.subarray(1) } : null;
  } catch {
    return null;
  }
}

// A signed note taken apart. Source: C2SP signed-note and tlog-checkpoint.
function checkpointOf(note) {
  const split = note.lastIndexOf("\n\n");
  if (split < 0 || !note.endsWith("\n")) throw new Unreadable("The checkpoint is no signed note");
  const text = note.slice(0, split + 1);
  const match = /^([^\n]+)\n(\d+)\n([^\n]+)\nheads (\d+) ([^\n ]+)\n$/.exec(text);
  if (match === null) throw new Unreadable("The checkpoint has another form");
  const lines = note.slice(split + 2).split("\n").slice(0, -1).map((line) => /^\u2014 (\S+) (\S+)$/.exec(line));
  if (lines.includes(null) || lines.length === 0) throw new Unreadable("A signature has another form");
  return {
    text,
    origin: match[1],
    size: Number(match[2]),
    root: fromBase64(match[3]),
    books: Number(match[4]),
    headsRoot: fromBase64(match[5]),
    signatures: lines.map((line) => ({ name: line[1], bytes: fromBase64(line[2]) })),
  };
}

function checkSignature(point, keys, fromElsewhere, say) {
  let good = false;
  for (const key of keys) {
    for (const each of point.signatures) {
      if (each.name !== key.name || hexed(each.bytes.subarray(0, 4)) !== key.id || key.name !== point.origin) continue;
      if (verifies(key.key, each.bytes.subarray(4), encoder.encode(point.text))) good = true;
      else say("checkpoint-forged", "The signature under the checkpoint does not belong to it: one of them was changed.");
    }
  }
  if (good) return;
  say("checkpoint-other-key", fromElsewhere ? "The key you gave did not sign this record." : "No key that it names signed this record.");
}

function checkEntry(each, place, point, say) {
  const bytes = fromBase64(each.bytes);
  const entry = read(strictText(bytes), `Entry ${place}`);
  const leaf = leafOf(bytes);
  if (point && entry.collection !== point.origin.slice(0, -SUFFIX.length)) {
    say("other-collection", `Entry ${entry.seq} is of another collection.`);
  } else if (point && !isIn(entry.seq - 1, point.size, leaf, each.proof.map(fromBase64), point.root)) {
    say("entry-not-in-ledger", `Entry ${entry.seq} is not in the ledger that was signed: it or its proof was changed.`);
  }
  const opened = [];
  for (const text of each.open) {
    const [, name] = JSON.parse(new TextDecoder().decode(fromBase64(padding(text))));
    if (entry.sealed[name] !== base64url(sha256(encoder.encode(text)))) {
      say("sealed-value-differs", `Entry ${entry.seq}: what is shown of its ${name} is not what was sealed.`);
    }
    opened.push(name);
  }
  return { entry, leaf: hexed(leaf), opened };
}

const padding = (text) => text.replaceAll("-", "+").replaceAll("_", "/").padEnd(Math.ceil(text.length / 4) * 4, "=");

function checkEntries(list, point, say) {
  const found = [];
  list.forEach((each, place) => {
    try {
      found.push(checkEntry(each, place + 1, point, say));
    } catch (error) {
      say("not-canonical", `Entry ${place + 1} of the record cannot be read: ${error.message}.`);
    }
  });
  return found;
}

function checkChain(entries, head, point, say) {
  let before = null;
  entries.forEach(({ entry, leaf }, place) => {
    if (entry.book !== head.book || entry.book_no !== head.book_no) {
      say("other-book", `Entry ${entry.seq} is of another book.`);
    } else if (entry.book_seq !== place + 1) {
      say("book-entry-missing", `An entry of the book is left out, or out of order, at entry ${entry.seq}.`);
    } else if (entry.book_prev !== before) {
      say("book-link-broken", `Entry ${entry.seq} does not follow the entry before it.`);
    }
    before = leaf;
  });
  if (head.book_seq !== entries.length || head.leaf !== before) {
    say("head-differs", "The record does not end with the book's last entry.");
  }
  if (point === null) return;
  const plain = { book: head.book, book_no: head.book_no, book_seq: head.book_seq, leaf: head.leaf };
  const leaf = leafOf(encoder.encode(canonical(plain)));
  if (!isIn(head.book_no - 1, point.books, leaf, head.proof.map(fromBase64), point.headsRoot)) {
    say("head-not-in-ledger", "The book's last entry is not the one in the ledger that was signed: a later one was left out.");
  }
}

function checkEnd(entries, sheet, say) {
  const last = entries.at(-1);
  if (last === undefined || last.entry.kind !== "disclosure") {
    say("not-disclosed", "The last entry is not the one by which a record is made, so nobody stands for its words.");
    return;
  }
  const { body, seq } = last.entry;
  if (body.statement !== hexed(sha256(encoder.encode(canonical(sheet))))) {
    say("sheet-differs", "The words of this record are not those that the ledger has the digest of: they were changed.");
  }
  if (body.previous_head !== (entries.at(-2)?.leaf ?? null)) {
    say("previous-head-differs", "The record was made over another entry than the one before its last.");
  }
  const opened = entries.slice(0, -1).flatMap(({ entry, opened: names }) => names.map((name) => `${entry.seq} ${name}`));
  const said = body.opened.map((each) => `${each.entry} ${each.name}`);
  if (canonical([...opened].sort()) !== canonical([...said].sort())) {
    say("opened-more", `Entry ${seq} names other fields as opened than are shown.`);
  }
}

function checkBeside(record, entries, beside, say) {
  const known = new Set(entries.filter(({ entry }) => entry.kind === "photograph").flatMap(({ entry }) => [entry.body.clean, entry.body.original]));
  for (const { sha256: name } of record.pictures) {
    if (!known.has(name)) say("picture-stranger", `No entry speaks of photograph ${name.slice(0, 8)}.`);
    if (!beside.has(name)) say("picture-missing", `Photograph ${name.slice(0, 8)} is missing.`);
    else if (hexed(sha256(beside.get(name))) !== name) say("picture-changed", `Photograph ${name.slice(0, 8)} was changed.`);
  }
  const named = new Set(entries.filter(({ entry }) => entry.kind === "earlier").map(({ entry }) => entry.body.record));
  for (const name of record.earlier) {
    if (!named.has(name)) say("earlier-stranger", `No entry speaks of the earlier record ${name.slice(0, 8)}.`);
    if (!beside.has(name) || hexed(sha256(beside.get(name))) !== name) {
      say("earlier-missing", `The earlier record ${name.slice(0, 8)} is missing or was changed.`);
    }
  }
}

// A key from elsewhere is taken for an earlier record only where one has the name of its ledger; else it is checked as
// without any. Keys that it names itself are its own claim.
const keysFor = (origin, given) => (given.some((text) => keyOf(text)?.name === origin) ? given : []);

// Records of earlier owners, each by itself: what is wrong with one is never taken for the book's own account.
function checkEarlier(record, beside, given, say, { depth, met }) {
  const found = [];
  for (const name of record.earlier) {
    const bytes = beside.get(name);
    if (bytes === undefined || hexed(sha256(bytes)) !== name || met.has(name)) continue;
    if (depth >= DEEPEST) {
      say("earlier-too-many", `Records lie inside one another more than ${DEEPEST} deep.`);
      continue;
    }
    met.add(name);
    const result = checkRecord(bytes, beside, given, { depth: depth + 1, met });
    found.push({ name, result });
    if (result.title === null) say("earlier-unreadable", `The earlier record ${name.slice(0, 8)} cannot be read.`);
  }
  return found;
}

// What checking came to. Without a key from elsewhere the keys that the record names are tried: then it can only be
// seen whether it holds together.
function checkRecord(bytes, beside, given, inside = { depth: 0, met: new Set() }) {
  const findings = [];
  const say = (code, sentence) => findings.push({ code, sentence });
  let [title, entries, earlier, own] = [null, [], [], given];
  try {
    const record = read(strictText(bytes), "The record");
    if (record.format !== FORMAT) throw new Unreadable(`It is of another make, ${record.format}`);
    const point = checkpointOf(record.proof.checkpoint);
    if (inside.depth > 0) own = keysFor(point.origin, given);
    const keys = (own.length ? own : record.keys).map(keyOf);
    if (keys.includes(null)) say("key-unreadable", "A key cannot be read. It has a name, an id and the key itself, with a plus between.");
    checkSignature(point, keys.filter((each) => each !== null), own.length > 0, say);
    entries = checkEntries(record.proof.entries, point, say);
    checkChain(entries, record.proof.head, point, say);
    checkEntries(record.collection, point, say);
    checkEnd(entries, record.sheet, say);
    checkBeside(record, entries, beside, say);
    earlier = checkEarlier(record, beside, given, say, inside);
    title = record.sheet.title;
  } catch (error) {
    say("file-unreadable", `The record cannot be read: ${error.message}.`);
  }
  return { title, findings, entries, earlier, signerKnown: own.length > 0 };
}

// Whether something was found in a record of an earlier owner, however deep it lies.
const brokenInside = (result) => result.earlier.some(({ result: each }) => each.findings.length > 0 || brokenInside(each));
