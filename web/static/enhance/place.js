/* Placing a defect by taps on the book opened flat, on one face, or on a photograph of a face.

   data-placing="NAME"     a figure with an svg; it is shown above the rows of that name, whose fields are the truth. A
                           fieldset elsewhere in the form is such a row too where it has data-placed-row="FACE"
   data-placed-seen        on such a row of what was seen before: a tap goes into it only where its folded place was gone
                           into last; "gone" is drawn only once it is said to be "back"
   data-face               a face on it, data-wide and data-high how large it is in mm; data-to-mm nine numbers that take a
                           place of the drawing to mm on the face, as a projection row by row
   data-placing-shapes     buttons that say what is set: a point by one tap, a line by its ends, an area by two corners
   data-placing-undo       takes the last place back
   data-placed-now         in a row: where its place is told, with {x} and {y} to be filled in; without it the row is opened
   data-seen="ID"          what lay there before, which is not drawn where a row says it
   data-placing-told       how it is done, and then what was done; data-placing-drawn is where places are drawn
   data-placing-says, -line, -area, -new, -undone   what is told, with {id}, {face}, {x} and {y} to be filled in

   A tap writes face and place of the row that was worked in last, or of the first that has none. A mouse draws as well:
   an area, or with the line chosen a line. Where every row has a place, a new row is asked for, and the place is kept for
   it until the page is back. */

const KEPT = "slipsheet.placing";
const TAP_MM = 3;
const NUMBERS = ["x_mm", "y_mm", "width_mm", "height_mm", "to_x_mm", "to_y_mm"];

const whole = (value) => String(Math.max(0, Math.round(value)));

/* Nine numbers and a place: where the place comes to lie. */
function through([a, b, c, d, e, f, g, h, i], [x, y]) {
  const w = g * x + h * y + i;
  return [(a * x + b * y + c) / w, (d * x + e * y + f) / w];
}

function back([a, b, c, d, e, f, g, h, i]) {
  return [
    ...[e * i - f * h, c * h - b * i, b * f - c * e],
    ...[f * g - d * i, a * i - c * g, c * d - a * f],
    ...[d * h - e * g, b * g - a * h, a * e - b * d],
  ];
}

const matrix = (leaf) => leaf.dataset.toMm.split(" ").map(Number);

class Row {
  constructor(fieldset) {
    this.fieldset = fieldset;
    this.field = (inner) => fieldset.querySelector(`[name="${fieldset.id}.${inner}"]`);
  }

  value(inner) {
    return this.field(inner)?.value.trim() ?? "";
  }

  get face() {
    return this.fieldset.dataset.placedRow ?? this.value("face");
  }

  get isPlaced() {
    return this.value("region.x_mm") !== "" && this.value("region.y_mm") !== "";
  }

  get isBlank() {
    const said = ["id", "type", "size_mm", "count", "share_percent"].some((each) => this.value(each) !== "");
    return !this.isPlaced && !this.fieldset.dataset.placedRow && !said;
  }

  get isGone() {
    return this.fieldset.dataset.placedSeen === "gone" && !this.fieldset.querySelector('[value="back"]:checked');
  }

  put(place) {
    const [x, y] = place.from.map(whole);
    const said = { x_mm: x, y_mm: y };
    if (place.to && place.line) [said.to_x_mm, said.to_y_mm] = place.to.map(whole);
    else if (place.to) [said.width_mm, said.height_mm] = place.to.map((each, axis) => whole(each - place.from[axis]));
    if (!this.fieldset.dataset.placedRow) this.write("face", place.face);
    for (const name of NUMBERS) this.write(`region.${name}`, said[name] ?? "");
    const now = this.tell(said);
    for (let at = now ? null : this.field("region.x_mm"); at && at !== this.fieldset; at = at.parentElement) {
      if (at.tagName === "DETAILS") at.open = true;
    }
  }

  /* In the line over the numbers, where there is one. */
  tell({ x_mm: x, y_mm: y }) {
    const now = this.fieldset.querySelector("[data-placed-now]");
    if (now) now.textContent = x === undefined ? "" : now.dataset.placedNow.replace("{x}", x).replace("{y}", y);
    return now;
  }

  clear() {
    for (const name of NUMBERS) this.write(`region.${name}`, "");
    this.tell({});
  }

  write(inner, value) {
    const field = this.field(inner);
    if (!field) return;
    field.value = value;
    field.dispatchEvent(new Event("input", { bubbles: true }));
  }
}

class Placing {
  constructor(figure) {
    this.figure = figure;
    this.svg = figure.querySelector("svg");
    this.drawn = figure.querySelector("[data-placing-drawn]");
    this.told = figure.querySelector("[data-placing-told]");
    this.name = figure.dataset.placing;
    this.rows = document.getElementById(this.name);
    if (!this.rows) return;
    this.form = this.rows.closest("form");
    if (figure.hidden) this.rows.querySelector("fieldset, .part")?.before(figure);
    figure.hidden = this.told.hidden = false;
    this.svg.toggleAttribute("data-taps", true);
    [this.current, this.first, this.shape] = [null, null, "point"];
    for (const each of this.svg.querySelectorAll("[data-seen]")) {
      if (this.form.querySelector(`[data-placed-id="${CSS.escape(each.dataset.seen)}"]`)) each.remove();
    }
    this.listen();
    this.bringBack();
    this.draw();
  }

  listen() {
    const shapes = this.figure.querySelector("[data-placing-shapes]");
    this.shapes = [...shapes.querySelectorAll("[aria-pressed]")];
    this.undo = shapes.querySelector("[data-placing-undo]");
    shapes.hidden = false;
    for (const each of this.shapes) each.addEventListener("click", () => this.choose(each.value));
    this.undo.addEventListener("click", () => this.takeBack());
    this.form.addEventListener("focusin", (event) => this.workIn(event.target));
    this.form.addEventListener("input", () => this.draw());
    this.svg.addEventListener("pointerdown", (event) => this.take(event));
  }

  choose(shape) {
    [this.shape, this.first] = [shape, null];
    for (const each of this.shapes) each.setAttribute("aria-pressed", String(each.value === shape));
    this.draw();
  }

  all() {
    const own = [...this.rows.querySelectorAll(":scope > fieldset")];
    return [...this.form.querySelectorAll("fieldset[data-placed-row]"), ...own].map((each) => new Row(each));
  }

  workIn(target) {
    const fieldset = target.closest("fieldset.row");
    if (!fieldset || !this.all().some((each) => each.fieldset === fieldset)) return;
    this.current = "placedSeen" in fieldset.dataset && !target.closest("details") ? null : fieldset.id;
  }

  say(words, said = {}) {
    this.told.textContent = words.replace(/\{(\w+)\}/g, (_, name) => said[name]);
  }

  /* Where on which face the pointer is; null beside the book. */
  at(event) {
    const leaf = event.target.closest?.("[data-face]") ?? this.leafUnder(event);
    if (!leaf) return null;
    const screen = new DOMPoint(event.clientX, event.clientY).matrixTransform(this.svg.getScreenCTM().inverse());
    const most = [Number(leaf.dataset.wide), Number(leaf.dataset.high)];
    const place = through(matrix(leaf), [screen.x, screen.y]);
    return { leaf, face: leaf.dataset.face, from: place.map((each, axis) => Math.min(Math.max(each, 0), most[axis])) };
  }

  leafUnder(event) {
    return [...this.svg.querySelectorAll("[data-face]")].find((leaf) => {
      const { left, right, top, bottom } = leaf.getBoundingClientRect();
      return event.clientX >= left && event.clientX <= right && event.clientY >= top && event.clientY <= bottom;
    });
  }

  take(event) {
    const start = event.button === 0 ? this.at(event) : null;
    if (!start) return;
    // By touch a drag scrolls the page: there taps alone place.
    if (event.pointerType !== "touch") event.preventDefault();
    const end = (last) => {
      const to = this.at(last);
      const same = to && to.leaf === start.leaf;
      const far = same ? Math.max(...to.from.map((each, axis) => Math.abs(each - start.from[axis]))) : 0;
      if (event.pointerType !== "touch" && far >= TAP_MM) this.set(start, to);
      else this.tap(start);
    };
    this.svg.addEventListener("pointerup", end, { once: true });
    this.svg.addEventListener("pointercancel", () => this.svg.removeEventListener("pointerup", end), { once: true });
  }

  tap(place) {
    if (this.shape === "point") this.put(place);
    else if (this.first?.leaf === place.leaf) this.set(this.first, place);
    else {
      this.first = place;
      const [x, y] = place.from.map(whole);
      this.say(this.figure.dataset[this.shape === "line" ? "placingLine" : "placingArea"], { x, y });
      this.draw();
    }
  }

  /* A line from one to the other, or the area between them. */
  set(one, other) {
    this.first = null;
    const line = this.shape === "line";
    const sorted = [0, 1].map((axis) => [one.from[axis], other.from[axis]].sort((a, b) => a - b));
    const [from, to] = line ? [one.from, other.from] : [sorted.map((each) => each[0]), sorted.map((each) => each[1])];
    this.put({ face: one.face, from, to, line });
  }

  put(place) {
    const rows = this.all().filter((each) => !each.fieldset.dataset.placedRow || each.face === place.face);
    const own = rows.find((each) => each.fieldset.id === this.current && !each.isPlaced);
    const free = rows.filter((each) => !each.fieldset.dataset.placedRow);
    const row = own ?? free.find((each) => each.isBlank) ?? free.find((each) => !each.isPlaced);
    if (row) this.fill(row, place);
    else this.addRow({ face: place.face, from: place.from, to: place.to, line: place.line });
    row?.field("type")?.focus({ preventScroll: true });
  }

  fill(row, place) {
    row.put(place);
    [this.last, this.current] = [row, null];
    this.undo.disabled = false;
    this.draw();
    const [x, y] = place.from.map(whole);
    const number = [...this.rows.querySelectorAll(":scope > fieldset")].indexOf(row.fieldset) + 1;
    const id = row.value("id") || row.fieldset.dataset.placedId || String(number);
    this.say(this.figure.dataset.placingSays, { id, face: place.face, x, y });
  }

  takeBack() {
    this.last?.clear();
    this.undo.disabled = true;
    this.say(this.figure.dataset.placingUndone);
    this.draw();
  }

  addRow(place) {
    this.say(this.figure.dataset.placingNew);
    try {
      sessionStorage.setItem(KEPT, JSON.stringify({ path: location.pathname, shape: this.shape, place }));
    } catch {
      // storage may be closed to pages; the row comes all the same
    }
    this.form.querySelector(`button[value="add:${this.name}"]`)?.click();
  }

  /* A place for which a row was asked for. */
  bringBack() {
    let kept = null;
    try {
      kept = JSON.parse(sessionStorage.getItem(KEPT));
      sessionStorage.removeItem(KEPT);
    } catch {
      return;
    }
    if (!kept || kept.path !== location.pathname) return;
    this.choose(kept.shape);
    const row = this.all().findLast((each) => each.isBlank);
    if (!row) return;
    this.fill(row, kept.place);
    this.figure.scrollIntoView({ block: "start" });
  }

  draw() {
    this.drawn.replaceChildren();
    let number = 0;
    for (const row of this.all()) {
      const leaf = this.svg.querySelector(`[data-face="${CSS.escape(row.face)}"]`);
      const [x, y, width, height, toX, toY] = NUMBERS.map((each) => Number(row.value(`region.${each}`).replace(",", ".")));
      const id = row.value("id") || row.fieldset.dataset.placedId || String((number += 1));
      if (!leaf || !row.isPlaced || row.isGone || [x, y, width, height, toX, toY].some(Number.isNaN)) continue;
      const isLine = row.value("region.to_x_mm") !== "" && row.value("region.to_y_mm") !== "";
      const [right, foot] = [x + width, y + height];
      const area = width || height ? [[x, y], [right, y], [right, foot], [x, foot], [x, y]] : [[x, y]];
      const corners = isLine ? [[x, y], [toX, toY]] : area;
      this.mark(leaf, corners, id, "placed");
    }
    if (this.first) this.mark(this.first.leaf, [this.first.from], "", "placed begun");
  }

  mark(leaf, corners, name, look) {
    const to = back(matrix(leaf));
    const placed = corners.map((each) => through(to, each));
    const [[left, top]] = placed;
    const shape = document.createElementNS(this.svg.namespaceURI, placed.length > 1 ? "polyline" : "circle");
    const said = placed.length > 1 ? { points: placed.map((each) => each.join(",")).join(" ") } : { cx: left, cy: top, r: 3 };
    for (const [attribute, value] of Object.entries(said)) shape.setAttribute(attribute, String(value));
    shape.setAttribute("class", look);
    const words = document.createElementNS(this.svg.namespaceURI, "text");
    words.setAttribute("x", String(left + 4));
    words.setAttribute("y", String(top - 3));
    words.classList.add("placed-id");
    words.textContent = name;
    this.drawn.append(shape, words);
  }
}

for (const figure of document.querySelectorAll("[data-placing]")) new Placing(figure);
