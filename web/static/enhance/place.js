/* Placing a defect by a tap on the book opened flat.

   data-placing="NAME"   a hidden figure with an svg; it is shown above the rows of that name, whose fields are the truth
   data-face             a face on it; data-scale how many times wider than in fact it is drawn
   data-placing-drawn    the group into which the rows' own places are drawn
   data-placing-says     how a place is told, with {id}, {face}, {x} and {y} to be filled in
   data-placing-new      said when a row is added for one more

   A tap writes face and place of the row that was worked in last, or of the first that has none; a drag its size as well.
   Where every row has a place, a new row is asked for, and the tap is kept for it until the page is back. */

const KEPT = "slipsheet.placing";
const TAP_MM = 3;

const whole = (value) => String(Math.max(0, Math.round(value)));

class Row {
  constructor(fieldset, name) {
    this.fieldset = fieldset;
    this.field = (inner) => fieldset.querySelector(`[name="${name}.${inner}"]`);
  }

  value(inner) {
    return this.field(inner)?.value.trim() ?? "";
  }

  get isPlaced() {
    return this.value("region.x_mm") !== "" && this.value("region.y_mm") !== "";
  }

  get isBlank() {
    return !this.isPlaced && this.value("face") === "" && this.value("id") === "";
  }

  put(place) {
    const said = {
      face: place.face,
      "region.x_mm": whole(place.x),
      "region.y_mm": whole(place.y),
      "region.width_mm": place.width ? whole(place.width) : "",
      "region.height_mm": place.height ? whole(place.height) : "",
    };
    for (const [inner, value] of Object.entries(said)) {
      const field = this.field(inner);
      if (!field) continue;
      field.value = value;
      field.dispatchEvent(new Event("input", { bubbles: true }));
    }
    for (let at = this.fieldset; at; at = at.parentElement) if (at.tagName === "DETAILS") at.open = true;
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
    this.rows.querySelector("fieldset, .part")?.before(figure);
    figure.hidden = false;
    this.current = null;
    this.form.addEventListener("focusin", (event) => this.choose(event.target.closest("fieldset.row")));
    this.form.addEventListener("input", () => this.draw());
    this.svg.addEventListener("pointerdown", (event) => this.take(event));
    this.bringBack();
    this.draw();
  }

  all() {
    return [...this.rows.querySelectorAll(":scope > fieldset")].map((each) => new Row(each, each.id));
  }

  choose(fieldset) {
    if (fieldset && fieldset.parentElement === this.rows) this.current = fieldset.id;
  }

  /* Where on which face the pointer is; null beside the book. */
  at(event) {
    const leaf = event.target.closest?.("[data-face]") ?? this.leafUnder(event);
    if (!leaf) return null;
    const { left, top, width, height } = leaf.getBoundingClientRect();
    const wide = leaf.width.baseVal.value / Number(leaf.dataset.scale);
    const high = leaf.height.baseVal.value;
    const x = Math.min(Math.max((event.clientX - left) / width, 0), 1) * wide;
    const y = Math.min(Math.max((event.clientY - top) / height, 0), 1) * high;
    return { leaf, face: leaf.dataset.face, x, y };
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
    // By touch a drag scrolls the page: there a tap alone places.
    if (event.pointerType !== "touch") event.preventDefault();
    const end = (last) => {
      const to = this.at(last);
      const same = to && to.leaf === start.leaf;
      const [dx, dy] = same ? [Math.abs(to.x - start.x), Math.abs(to.y - start.y)] : [0, 0];
      const drags = event.pointerType !== "touch" && Math.max(dx, dy) >= TAP_MM;
      const place = drags
        ? { face: start.face, x: Math.min(start.x, to.x), y: Math.min(start.y, to.y), width: dx, height: dy }
        : { face: start.face, x: start.x, y: start.y };
      this.put(place);
    };
    this.svg.addEventListener("pointerup", end, { once: true });
    this.svg.addEventListener("pointercancel", () => this.svg.removeEventListener("pointerup", end), { once: true });
  }

  put(place) {
    const rows = this.all();
    const own = rows.find((each) => each.fieldset.id === this.current && !each.isPlaced);
    const row = own ?? rows.find((each) => each.isBlank) ?? rows.find((each) => !each.isPlaced);
    if (!row) {
      this.addRow(place);
      return;
    }
    row.put(place);
    this.current = null;
    this.draw();
    const number = rows.indexOf(row) + 1;
    const said = { id: row.value("id") || String(number), face: place.face, x: whole(place.x), y: whole(place.y) };
    this.told.textContent = this.figure.dataset.placingSays.replace(/\{(\w+)\}/g, (_, name) => said[name]);
    row.field("type")?.focus({ preventScroll: true });
  }

  addRow(place) {
    const more = this.rows.querySelector(`button[value="add:${this.name}"]`);
    if (!more) return;
    this.told.textContent = this.figure.dataset.placingNew;
    try {
      sessionStorage.setItem(KEPT, JSON.stringify({ path: location.pathname + location.search, place }));
    } catch {
      // storage may be closed to pages; the row comes all the same
    }
    more.click();
  }

  /* A tap for which a row was asked for. */
  bringBack() {
    let kept = null;
    try {
      kept = JSON.parse(sessionStorage.getItem(KEPT));
      sessionStorage.removeItem(KEPT);
    } catch {
      return;
    }
    if (!kept || kept.path !== location.pathname + location.search) return;
    const row = this.all().findLast((each) => each.isBlank);
    if (row) {
      row.put(kept.place);
      this.figure.scrollIntoView({ block: "start" });
    }
  }

  draw() {
    this.drawn.replaceChildren();
    this.all().forEach((row, place) => {
      const leaf = this.svg.querySelector(`[data-face="${CSS.escape(row.value("face"))}"]`);
      const [x, y, width, height] = ["x_mm", "y_mm", "width_mm", "height_mm"].map((each) =>
        Number(row.value(`region.${each}`)),
      );
      if (!leaf || !row.isPlaced || [x, y, width, height].some(Number.isNaN)) return;
      const scale = Number(leaf.dataset.scale);
      const left = leaf.x.baseVal.value + x * scale;
      const shape = document.createElementNS(this.svg.namespaceURI, width || height ? "rect" : "circle");
      const said =
        width || height
          ? { x: left, y, width: Math.max(width * scale, 1), height: Math.max(height, 1) }
          : { cx: left, cy: y, r: 3 };
      for (const [name, value] of Object.entries(said)) shape.setAttribute(name, String(value));
      shape.classList.add("placed");
      const words = document.createElementNS(this.svg.namespaceURI, "text");
      words.setAttribute("x", String(left + 4));
      words.setAttribute("y", String(y - 3));
      words.classList.add("placed-id");
      words.textContent = row.value("id") || String(place + 1);
      this.drawn.append(shape, words);
    });
  }
}

for (const figure of document.querySelectorAll("[data-placing]")) new Placing(figure);
