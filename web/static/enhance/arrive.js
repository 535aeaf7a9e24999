/* Photographs come while the form is still filled in, in pieces, and go on after a cut where they were cut.

   data-arrive          on a form: files chosen in its rows, or dropped anywhere on it, are sent to that address; the row then
                        holds a ticked box with the digest in place of the file
   data-arrive-*        words: -all ({kept}, {files}, {share}), -going ({name}, {share}), -here, -cut, -wait, -go-on
   data-arrive-line     in the form: a line that says how far all of them are
   data-arrive-drop     in the form, hidden: says that pictures can be dropped on it
   data-arrive-camera   in the form, hidden: shown where fingers are the pointer

   The server finds a file that was begun again by its name, size, day and first bytes, so choosing it again after the page
   was loaded anew goes on too. Only in a secure context can the browser work out a digest; elsewhere the length is
   compared. Without a script the form sends its files itself. */

const PIECE = 512 * 1024;
const WAITS_MS = [300, 1000, 2000, 4000, 8000, 15000];
const HEAD = 64 * 1024;

const hex = (bytes) => [...new Uint8Array(bytes)].map((each) => each.toString(16).padStart(2, "0")).join("");
const pause = (ms) => new Promise((done) => setTimeout(done, ms));
const percent = (part, whole) => (whole ? Math.floor((part / whole) * 100) : 100);

class Refused extends Error {}

/* FNV-1a, 32 bits: tells files of one name apart; what a file is, the server's SHA-256 says. */
function printOf(bytes) {
  let hash = 0x811c9dc5;
  for (const each of bytes) hash = Math.imul(hash ^ each, 0x01000193) >>> 0;
  return hash.toString(16);
}

async function digestOf(file) {
  return globalThis.crypto?.subtle ? hex(await crypto.subtle.digest("SHA-256", await file.arrayBuffer())) : "";
}

async function ask(url, options) {
  const answer = await fetch(url, { cache: "no-store", ...options });
  if (answer.redirected || answer.status === 401 || answer.status === 403) throw new Refused("");
  const said = await answer.json().catch(() => ({}));
  if (answer.ok) return said;
  if (answer.status === 409 || answer.status === 404 || answer.status >= 500) throw new Error(String(answer.status));
  throw new Refused(said.told ?? "");
}

class Arrival {
  constructor(all, file, row) {
    Object.assign(this, { all, file, row, sent: 0, state: "going" });
    this.line = document.createElement("p");
    this.line.className = "note arriving";
    all.lines(row).append(this.line);
    this.start();
  }

  async start() {
    this.state = "going";
    for (let tried = 0; ; tried += 1) {
      const before = this.sent;
      try {
        this.done(await this.send());
        return;
      } catch (error) {
        if (error instanceof Refused) {
          this.failed(error.message || this.all.words.arriveCut, !error.message);
          return;
        }
        if (this.sent > before) tried = 0;
        if (tried >= WAITS_MS.length) {
          this.failed(this.all.words.arriveCut, true);
          return;
        }
        await pause(WAITS_MS[tried]);
      }
    }
  }

  async send() {
    const { file } = this;
    this.digest ??= await digestOf(file);
    const head = new Uint8Array(await file.slice(0, HEAD).arrayBuffer());
    const named = `${file.name.slice(-200)} ${file.lastModified} ${printOf(head)}`;
    const url = this.all.url;
    const query = new URLSearchParams({ named, size: String(file.size), sha256: this.digest });
    const begun = await ask(`${url}?${query}`, { method: "POST" });
    if (begun.here) return begun;
    this.say(begun.held);
    while (this.sent < file.size) {
      const body = file.slice(this.sent, this.sent + PIECE);
      const headers = { "Upload-Offset": String(this.sent), "Content-Type": "application/octet-stream" };
      this.say((await ask(`${url}/${begun.id}`, { method: "PATCH", headers, body })).held);
    }
    return ask(`${url}/${begun.id}/whole?${new URLSearchParams({ sha256: this.digest })}`, { method: "POST" });
  }

  say(held) {
    this.sent = held;
    const share = percent(held, this.file.size);
    this.line.textContent = this.all.words.arriveGoing.replace("{name}", this.file.name).replace("{share}", share);
    this.all.say();
  }

  done({ here, told }) {
    const box = document.createElement("input");
    Object.assign(box, { type: "checkbox", checked: true, name: `${this.row}.kept`, value: `${here} ${this.file.name}` });
    const words = document.createElement("span");
    words.textContent = `${this.all.words.arriveHere.replace("{name}", this.file.name)} ${told}`.trim();
    const label = document.createElement("label");
    label.className = "tick";
    label.append(box, words);
    this.line.replaceWith(label);
    this.state = "kept";
    this.sent = this.file.size;
    this.all.say();
  }

  failed(why, again) {
    this.state = "cut";
    this.line.textContent = `${this.file.name}: ${why} `;
    this.line.classList.add("is-fault");
    if (again) {
      const button = document.createElement("button");
      Object.assign(button, { type: "button", className: "plain", textContent: this.all.words.arriveGoOn });
      button.addEventListener("click", () => this.goOn());
      this.line.append(button);
    } else {
      this.state = "refused";
    }
    this.all.say();
  }

  goOn() {
    if (this.state !== "cut") return;
    this.line.classList.remove("is-fault");
    this.start();
  }
}

class Arrivals {
  constructor(form) {
    this.form = form;
    this.words = form.dataset;
    this.url = form.dataset.arrive;
    this.line = form.querySelector("[data-arrive-line]");
    this.every = [];
    form.addEventListener("change", (event) => this.chosen(event.target));
    form.addEventListener("dragover", (event) => this.over(event));
    form.addEventListener("dragleave", () => form.classList.remove("over"));
    form.addEventListener("drop", (event) => this.dropped(event));
    form.addEventListener("submit", (event) => this.hold(event), { capture: true });
    window.addEventListener("online", () => this.every.forEach((each) => each.goOn()));
    const drop = form.querySelector("[data-arrive-drop]");
    if (drop) drop.hidden = false;
    const camera = form.querySelector("[data-arrive-camera]");
    if (camera && matchMedia("(pointer: coarse)").matches) camera.hidden = false;
  }

  rows() {
    return [...this.form.querySelectorAll("input[type=file][multiple]")];
  }

  lines(row) {
    return this.form.querySelector(`[data-arrive-row="${row}"]`);
  }

  isFree(input) {
    const row = input.name.replace(/\.file$/, "");
    return !this.every.some((each) => each.row === row) && !this.lines(row).querySelector("input");
  }

  chosen(input) {
    if (input.type !== "file" || !input.files.length) return;
    const files = [...input.files];
    input.value = "";
    if (input.multiple) files.forEach((file) => this.take(file, input));
    else this.spread(files);
  }

  /* One after the other into the rows that have none yet; what is left over into the last. */
  spread(files) {
    const rows = this.rows();
    for (const file of files) this.take(file, rows.find((each) => this.isFree(each)) ?? rows.at(-1));
  }

  take(file, input) {
    this.every.push(new Arrival(this, file, input.name.replace(/\.file$/, "")));
    this.say();
  }

  over(event) {
    if (!event.dataTransfer?.types.includes("Files")) return;
    event.preventDefault();
    this.form.classList.add("over");
  }

  dropped(event) {
    this.form.classList.remove("over");
    const files = [...(event.dataTransfer?.files ?? [])];
    if (!files.length) return;
    event.preventDefault();
    const row = event.target.closest?.("fieldset")?.querySelector("input[type=file][multiple]");
    if (row && files.length === 1) this.take(files[0], row);
    else this.spread(files);
  }

  /* What was pressed too early is pressed again once all have come; where one was cut, the person decides. */
  hold(event) {
    this.pressed = null;
    if (!this.every.some((each) => each.state === "going")) return;
    event.preventDefault();
    event.stopImmediatePropagation();
    this.pressed = event.submitter;
    this.line.textContent = this.words.arriveWait;
  }

  goOn() {
    const { pressed } = this;
    if (!pressed || this.every.some((each) => each.state === "going")) return;
    this.pressed = null;
    if (this.every.every((each) => each.state === "kept")) this.form.requestSubmit(pressed);
  }

  say() {
    const counted = this.every.filter((each) => each.state !== "refused");
    const kept = counted.filter((each) => each.state === "kept").length;
    const sum = (of) => counted.reduce((total, each) => total + of(each), 0);
    const share = percent(
      sum((each) => each.sent),
      sum((each) => each.file.size),
    );
    const words = { "{kept}": kept, "{files}": counted.length, "{share}": share };
    const far = this.words.arriveAll.replace(/\{\w+\}/g, (name) => words[name]);
    this.line.textContent = this.pressed ? `${far} ${this.words.arriveWait}` : far;
    this.line.hidden = !counted.length;
    this.goOn();
  }
}

for (const form of document.querySelectorAll("form[data-arrive]")) new Arrivals(form);
