/* Parts of a group picture, one for each book, as frames on the picture itself.

   data-parts="NAME"    a hidden figure with a .ground that holds a canvas: shown when a file that this browser can draw was
                        chosen in the input of that name; data-parts-unseen is said of one that it cannot
   data-part            a fieldset of one book; its four number fields are left, top, width and height in per cent
   data-part-says       how a frame is read out, with {name}, {x}, {y}, {width} and {height} to be filled in

   The number fields are the truth: a frame is drawn from them and writes into them. Where all of them are blank when a
   picture is chosen, the frames lie side by side to begin with. A frame is a button: arrows move it, with Shift they change
   its size. By touch a frame is moved, and a drag beside it scrolls the page. */

const WHOLE = 100;
const EDGE_PX = 12;
const DRAWN_PX = 1600;
const KEYS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };

const between = (low, value, high) => Math.min(Math.max(value, low), high);

/* The box between two points of the picture, at least one per cent wide and high. */
function spanned([x1, y1], [x2, y2]) {
  const x = between(0, Math.min(x1, x2), WHOLE - 1);
  const y = between(0, Math.min(y1, y2), WHOLE - 1);
  return [x, y, between(1, Math.abs(x2 - x1), WHOLE - x), between(1, Math.abs(y2 - y1), WHOLE - y)];
}

const moved = ([x, y, w, h], dx, dy) => [between(0, x + dx, WHOLE - w), between(0, y + dy, WHOLE - h), w, h];

/* The edges that are held go along; those across stay. */
function stretched([x, y, w, h], dx, dy, held) {
  const left = held.left ? between(0, x + dx, x + w - 1) : x;
  const top = held.top ? between(0, y + dy, y + h - 1) : y;
  const right = held.right ? between(x + 1, x + w + dx, WHOLE) : x + w;
  const bottom = held.bottom ? between(y + 1, y + h + dy, WHOLE) : y + h;
  return [left, top, right - left, bottom - top];
}

class Part {
  constructor(fieldset, figure) {
    this.fieldset = fieldset;
    this.fields = [...fieldset.querySelectorAll("input")];
    this.name = fieldset.querySelector("legend").textContent.trim();
    this.says = figure.dataset.partSays;
    this.frame = document.createElement("button");
    this.frame.type = "button";
    this.frame.setAttribute("aria-describedby", figure.querySelector("figcaption").id);
    this.frame.append(document.createElement("span"));
    this.frame.firstChild.textContent = this.name;
    this.frame.firstChild.setAttribute("aria-hidden", "true");
  }

  get isBlank() {
    return this.fields.every((each) => !each.value.trim());
  }

  /* Left, top, width, height, as far as they lie inside the picture; null where they do not say a part. */
  get box() {
    const numbers = this.fields.map((each) => (/^\s*\d{1,3}\s*$/.test(each.value) ? Number(each.value) : NaN));
    const [x, y, w, h] = numbers;
    return w >= 1 && h >= 1 && x + w <= WHOLE && y + h <= WHOLE ? numbers : null;
  }

  set box(numbers) {
    let changed = false;
    this.fields.forEach((each, place) => {
      const value = String(numbers[place]);
      changed ||= each.value !== value;
      each.value = value;
    });
    if (changed) this.fields[0].dispatchEvent(new Event("input", { bubbles: true }));
  }

  draw() {
    const { box } = this;
    this.frame.hidden = !box;
    if (!box) return;
    const [x, y, width, height] = box;
    ["left", "top", "width", "height"].forEach((side, place) => {
      this.frame.style[side] = `${box[place]}%`;
    });
    const said = { name: this.name, x, y, width, height };
    this.frame.setAttribute("aria-label", this.says.replace(/\{(\w+)\}/g, (_, name) => said[name]));
  }
}

class Picture {
  constructor(figure) {
    this.figure = figure;
    this.ground = figure.querySelector(".ground");
    this.canvas = figure.querySelector("canvas");
    this.how = figure.querySelector("figcaption");
    this.howTo = this.how.textContent;
    const { form } = document.getElementById(figure.dataset.parts);
    this.parts = [...form.querySelectorAll("[data-part]")].map((each) => new Part(each, figure));
    this.current = this.parts[0];
    for (const part of this.parts) this.listen(part);
    this.ground.addEventListener("pointerdown", (event) => this.drawAnew(event));
    form.addEventListener("input", () => this.draw());
    form.addEventListener("reset", () => setTimeout(() => this.draw()));
  }

  listen(part) {
    this.ground.append(part.frame);
    part.frame.addEventListener("focus", () => this.choose(part));
    part.fieldset.addEventListener("focusin", () => this.choose(part));
    part.frame.addEventListener("keydown", (event) => this.press(event, part));
    part.frame.addEventListener("pointerdown", (event) => this.take(event, part));
    part.frame.addEventListener("pointermove", (event) => this.showHold(event, part));
  }

  choose(part) {
    this.current = part;
    for (const each of this.parts) {
      each.frame.classList.toggle("current", each === part);
      each.fieldset.classList.toggle("current", each === part);
    }
  }

  async show(file) {
    this.figure.hidden = !file;
    if (!file) return;
    let picture = null;
    try {
      picture = await createImageBitmap(file);
    } catch {
      // a kind of file that only the program can read
    }
    this.ground.hidden = !picture;
    this.how.textContent = picture ? this.howTo : this.figure.dataset.partsUnseen;
    if (!picture) return;
    const scale = Math.min(1, DRAWN_PX / picture.width);
    this.canvas.width = Math.round(picture.width * scale);
    this.canvas.height = Math.round(picture.height * scale);
    this.canvas.getContext("2d").drawImage(picture, 0, 0, this.canvas.width, this.canvas.height);
    picture.close();
    if (this.parts.every((each) => each.isBlank)) this.layOut();
    this.draw();
  }

  /* Side by side, as books on a table mostly lie. */
  layOut() {
    const count = this.parts.length;
    if (count > WHOLE) return;
    const ends = this.parts.map((_, place) => Math.round(((place + 1) * WHOLE) / count));
    this.parts.forEach((part, place) => {
      const start = place ? ends[place - 1] : 0;
      part.box = [start, 0, ends[place] - start, WHOLE];
    });
  }

  draw() {
    for (const part of this.parts) part.draw();
  }

  press(event, part) {
    const step = KEYS[event.key];
    if (!step || !part.box || event.altKey || event.ctrlKey || event.metaKey) return;
    event.preventDefault();
    part.box = event.shiftKey ? stretched(part.box, ...step, { right: true, bottom: true }) : moved(part.box, ...step);
  }

  /* Where the pointer is. Units: whole per cent of the picture. */
  at(event) {
    const { left, top, width, height } = this.canvas.getBoundingClientRect();
    const place = [(event.clientX - left) / width, (event.clientY - top) / height];
    return place.map((each) => between(0, Math.round(each * WHOLE), WHOLE));
  }

  /* Which edges of a frame the pointer is on. */
  hold(event, part) {
    const { left, right, top, bottom } = part.frame.getBoundingClientRect();
    const near = (a, b, size) => Math.abs(a - b) <= Math.min(EDGE_PX, size / 4);
    const [wide, high] = [right - left, bottom - top];
    return {
      left: near(event.clientX, left, wide),
      right: near(event.clientX, right, wide),
      top: near(event.clientY, top, high),
      bottom: near(event.clientY, bottom, high),
    };
  }

  showHold(event, part) {
    if (event.buttons) return;
    const { left, right, top, bottom } = this.hold(event, part);
    const [across, along] = [left || right, top || bottom];
    const corner = (left && top) || (right && bottom) ? "nwse-resize" : "nesw-resize";
    part.frame.style.cursor = across && along ? corner : across ? "ew-resize" : along ? "ns-resize" : "move";
  }

  take(event, part) {
    if (event.button !== 0 || !part.box) return;
    event.preventDefault();
    part.frame.focus();
    const [before, [x, y], held] = [part.box, this.at(event), this.hold(event, part)];
    const stretches = Object.values(held).some(Boolean);
    this.follow(event, part, ([toX, toY]) => {
      const by = [toX - x, toY - y];
      return stretches ? stretched(before, ...by, held) : moved(before, ...by);
    });
  }

  drawAnew(event) {
    if (event.button !== 0 || event.pointerType === "touch" || event.target !== this.canvas) return;
    event.preventDefault();
    const part = this.parts.find((each) => each.isBlank) ?? this.current;
    const start = this.at(event);
    this.choose(part);
    this.follow(event, part, (end) => spanned(start, end));
  }

  /* Until the pointer is let go, the part is where it leads. */
  follow(event, part, boxAt) {
    const from = event.target;
    const move = (each) => {
      part.box = boxAt(this.at(each));
    };
    const end = () => {
      from.removeEventListener("pointermove", move);
      part.frame.focus();
    };
    from.setPointerCapture(event.pointerId);
    from.addEventListener("pointermove", move);
    from.addEventListener("pointerup", end, { once: true });
    from.addEventListener("pointercancel", end, { once: true });
  }
}

for (const figure of document.querySelectorAll("[data-parts]")) {
  const file = document.getElementById(figure.dataset.parts);
  const picture = new Picture(figure);
  const show = () => picture.show(file.files[0]);
  file.addEventListener("change", show);
  addEventListener("pageshow", show);
  show();
}
