/* Hanging by hand: a book on the drawing of a wall follows the pointer and the arrow keys.

   data-hang="ID"       on the figure: the form of that id has two inputs for each book, x.BOOK and y.BOOK, in centimetres
                        from the left end and from the floor to the middle; the drawing moves them, and they move it
   data-hung="BOOK"     on the link that is drawn for a book; it leads to the book's own row in the form
   data-hang-row="BOOK" that row; its legend is what the book is called
   data-one-cm="5.2"    how many units of the drawing a centimetre is
   data-hang-seen       what is asked for anew after each move, with the header X-Slipsheet-Part: seen: the drawing, and
                        what is in the way, in words; nothing is worked out here
   data-hang-told       says where a book is now; data-hang-undo takes the last move back
   data-hang-how, data-hang-tools   are shown only where this runs

   Nothing is written before the form is sent. */

const PART = "X-Slipsheet-Part";
const PAUSE_MS = 220;
const KEYS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };
const FAR = 10;
const TAP_PX = 4;

const number = (text) => (text.trim() === "" ? Number.NaN : Number(text.replace(",", ".")));
const written = (value) => String(Math.max(0, Math.round(value * 10) / 10));

class Hanging {
  constructor(figure) {
    this.figure = figure;
    this.form = document.getElementById(figure.dataset.hang);
    this.seen = figure.querySelector("[data-hang-seen]");
    this.told = figure.querySelector("[data-hang-told]");
    this.undo = figure.querySelector("[data-hang-undo]");
    this.moves = [];
    this.timer = 0;
    this.asking = null;
    for (const each of document.querySelectorAll("[data-hang-how], [data-hang-tools]")) each.hidden = false;
    this.seen.addEventListener("pointerdown", (event) => this.take(event));
    this.seen.addEventListener("keydown", (event) => this.step(event));
    this.seen.addEventListener("dragstart", (event) => event.preventDefault());
    this.seen.addEventListener("click", (event) => this.open(event));
    this.seen.addEventListener("change", () => this.later(0));
    this.form.addEventListener("input", () => this.later(PAUSE_MS));
    this.undo.addEventListener("click", () => this.takeBack());
    this.bringIntoSight();
  }

  /* On a narrow window the first book rather than the bare end of the wall. */
  bringIntoSight() {
    const [scroll, first] = [this.seen.querySelector(".scroll"), this.seen.querySelector("[data-hung]")];
    if (!scroll || !first || scroll.scrollWidth <= scroll.clientWidth) return;
    scroll.scrollLeft += first.getBoundingClientRect().left - scroll.getBoundingClientRect().left - scroll.clientWidth / 4;
  }

  link(book) {
    return this.seen.querySelector(`[data-hung="${CSS.escape(book)}"]`);
  }

  inputs(book) {
    return ["x", "y"].map((axis) => this.form.elements.namedItem(`${axis}.${book}`));
  }

  at(book) {
    return this.inputs(book).map((each) => number(each.value));
  }

  name(book) {
    return this.form.querySelector(`[data-hang-row="${CSS.escape(book)}"] legend`)?.textContent.trim() ?? "";
  }

  /* Into the inputs, and told. */
  put(book, place, words = this.figure.dataset.moved) {
    const said = place.map(written);
    this.inputs(book).forEach((each, axis) => {
      each.value = said[axis];
    });
    this.told.textContent = words.replace("{book}", this.name(book)).replace("{x}", said[0]).replace("{y}", said[1]);
  }

  keep(book, before) {
    this.moves.push([book, before]);
    this.undo.disabled = false;
  }

  /* The drawing at once, by so many centimetres from where it was drawn. */
  shift(link, [right, up]) {
    const one = Number(this.seen.querySelector("[data-one-cm]").dataset.oneCm);
    link.setAttribute("transform", `translate(${right * one} ${-up * one})`);
  }

  take(event) {
    const link = event.target.closest?.("[data-hung]");
    if (!link || event.button !== 0) return;
    const book = link.dataset.hung;
    const before = this.at(book);
    if (before.some(Number.isNaN)) return;
    event.preventDefault();
    link.focus({ preventScroll: true });
    const scale = link.ownerSVGElement.getScreenCTM().a * Number(this.seen.querySelector("[data-one-cm]").dataset.oneCm);
    const by = (last) => [(last.clientX - event.clientX) / scale, (event.clientY - last.clientY) / scale];
    const drag = (last) => {
      link.classList.add("taken");
      this.shift(link, by(last));
      this.put(book, before.map((each, axis) => Math.round(each + by(last)[axis])));
    };
    const end = (last) => {
      document.removeEventListener("pointermove", drag);
      link.classList.remove("taken");
      const far = Math.hypot(last.clientX - event.clientX, last.clientY - event.clientY) > TAP_PX;
      this.dragged = far;
      if (!far || last.type === "pointercancel") {
        this.put(book, before);
        this.shift(link, [0, 0]);
        return;
      }
      this.keep(book, before);
      this.later(0);
    };
    document.addEventListener("pointermove", drag);
    document.addEventListener("pointerup", end, { once: true });
    document.addEventListener("pointercancel", end, { once: true });
  }

  /* The click that ends a drag leads nowhere. */
  open(event) {
    if (this.dragged && event.target.closest?.("[data-hung]")) event.preventDefault();
    this.dragged = false;
  }

  step(event) {
    const link = event.target.closest?.("[data-hung]");
    const way = KEYS[event.key];
    if (!link || !way || event.altKey || event.ctrlKey || event.metaKey) return;
    const book = link.dataset.hung;
    const before = this.at(book);
    if (before.some(Number.isNaN)) return;
    event.preventDefault();
    const by = way.map((each) => each * (event.shiftKey ? FAR : 1));
    this.keep(book, before);
    this.put(book, before.map((each, axis) => each + by[axis]));
    const drawn = (link.getAttribute("transform") ?? "").match(/-?[\d.]+/g)?.map(Number) ?? [0, 0];
    const one = Number(this.seen.querySelector("[data-one-cm]").dataset.oneCm);
    this.shift(link, [drawn[0] / one + by[0], -drawn[1] / one + by[1]]);
    this.later(PAUSE_MS);
  }

  takeBack() {
    const [book, before] = this.moves.pop() ?? [];
    if (!book) return;
    this.put(book, before, this.figure.dataset.undone);
    this.undo.disabled = this.moves.length === 0;
    this.later(0);
  }

  later(pause) {
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.ask(), pause);
  }

  async ask() {
    this.asking?.abort();
    const mine = new AbortController();
    this.asking = mine;
    const sent = new URLSearchParams([...new FormData(this.form)].filter(([, value]) => typeof value === "string"));
    sent.set("do", "show");
    this.seen.setAttribute("aria-busy", "true");
    try {
      const answer = await fetch(this.form.action, { method: "POST", body: sent, signal: mine.signal, headers: { [PART]: "seen" } });
      if (!answer.ok || answer.redirected) throw new Error(String(answer.status));
      const html = await answer.text();
      if (this.asking === mine) this.show(html);
    } catch {
      // the inputs hold all of it; the next move, or sending the form, asks again
    }
    if (this.asking === mine) this.seen.removeAttribute("aria-busy");
  }

  show(html) {
    const focused = this.seen.contains(document.activeElement) ? document.activeElement : null;
    const [book, name] = [focused?.dataset?.hung ?? focused?.closest?.("[data-hung]")?.dataset.hung, focused?.name];
    const scrolled = this.seen.querySelector(".scroll")?.scrollLeft ?? 0;
    this.seen.innerHTML = html;
    const scroll = this.seen.querySelector(".scroll");
    if (scroll) scroll.scrollLeft = scrolled;
    if (book) this.link(book)?.focus({ preventScroll: true });
    else if (name) this.seen.querySelector(`[name="${CSS.escape(name)}"]`)?.focus({ preventScroll: true });
  }
}

for (const figure of document.querySelectorAll("figure[data-hang]")) new Hanging(figure);
