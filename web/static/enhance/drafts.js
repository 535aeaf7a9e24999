/* What is typed stays in this browser until it was written into the ledger.

   data-draft="NAME"     on a form: its fields are kept under this name while typing; NAME is the form and, where there is
                         one, the book or entry, such as "purchase" or "correction:412"
   data-given            on a hidden field that says what its row speaks of: a row that speaks of another is not restored
   data-draft-line       in the form, a hidden line with a span and a button[data-draft-clear]; says what is kept, in the
                         words of data-kept, data-restored ({time} is filled in) and data-offline: a form with a draft is
                         sent only when the program answers, so that a lost connection leaves the page as it is
   data-draft-done       anywhere on a page: the drafts of these names, parted by spaces, came to their end; the page after
                         a successful post has it, and its answer a cookie, for that page may be left before this runs
   data-draft-newer      on a form: names of fields, parted by spaces, that the page itself filled in when it came back; what
                         was kept of them is older and is not put over them. An asterisk stands for all of them: what
                         stands there then takes the place of what was kept
   data-drafts-end       on a form that ends all of them when it is sent: signing out, erasing

   Rows that were added with button[value="add:LIST"] are the page's to make: where a form that is opened anew lacks some,
   it is sent once with what was kept of them, as if the button had been pressed, and the answer has them.

   The form's hidden `key` is kept with the rest. If a post got through and only its answer was lost, the restored form is
   sent under the same key again and is not written twice. Passwords and files are never kept. */

const PREFIX = "slipsheet.draft.";
const ENDED = "slipsheet_ended_";
const PAUSE_MS = 300;
const NEVER = new Set(["password", "file", "submit", "button", "image", "reset"]);

function stored(name) {
  try {
    return JSON.parse(localStorage.getItem(PREFIX + name));
  } catch {
    return null; // closed or damaged storage holds no draft
  }
}

function store(name, draft) {
  try {
    localStorage.setItem(PREFIX + name, JSON.stringify(draft));
    return true;
  } catch {
    return false;
  }
}

function end(name) {
  try {
    localStorage.removeItem(PREFIX + name);
  } catch {
    // nothing was kept then
  }
}

/* What the answers to earlier posts brought to its end, used up with this. */
function ended() {
  const name = `${ENDED}${location.port || (location.protocol.startsWith("https") ? 443 : 80)}`;
  const kept = document.cookie.split("; ").find((each) => each.startsWith(`${name}=`));
  if (!kept) return [];
  document.cookie = `${name}=; path=/; max-age=0; samesite=lax`;
  return kept.slice(name.length + 1).split("|");
}

let isOver = false;

function endAll() {
  isOver = true;
  try {
    for (const name of Object.keys(localStorage)) if (name.startsWith(PREFIX)) localStorage.removeItem(name);
  } catch {
    // nothing was kept then
  }
}

function fields(form) {
  return [...form.elements].filter((each) => each.name && !NEVER.has(each.type) && !each.autocomplete?.includes("password"));
}

const isTicked = (field) => field.type === "checkbox" || field.type === "radio";

function values(form) {
  return fields(form).map((field) => [field.name, isTicked(field) ? [field.value, field.checked] : field.value]);
}

function untouched(field) {
  if (isTicked(field)) return field.checked === field.defaultChecked;
  if (field instanceof HTMLSelectElement) {
    return [...field.options].every((each) => each.selected === each.defaultSelected) || field.selectedIndex === 0;
  }
  return field.value === field.defaultValue;
}

/* A row that speaks of something else than it did when the draft was kept: its answers belong to that and are left. */
function moved(form, places) {
  const given = fields(form).filter((each) => each.dataset.given !== undefined);
  const others = given.filter((each) => (places.get(each.name)?.[0] ?? each.value) !== each.value);
  return others.map((each) => each.name.slice(0, each.name.lastIndexOf(".") + 1));
}

/* Fields are matched by name and by their place among those of that name; a field that is not there any more is left. */
function restore(form, draft) {
  const places = new Map();
  for (const [name, value] of draft.values) places.set(name, [...(places.get(name) ?? []), value]);
  const left = moved(form, places);
  let changed = false;
  const newer = new Set((form.dataset.draftNewer ?? "").split(" "));
  for (const field of fields(form)) {
    if (left.some((each) => field.name.startsWith(each))) continue;
    const value = places.get(field.name)?.shift();
    if (value === undefined || newer.has(field.name) || !untouched(field)) continue;
    if (isTicked(field)) {
      if (!Array.isArray(value) || value[0] !== field.value || field.checked === value[1]) continue;
      field.checked = value[1];
      changed = true;
    } else if (typeof value === "string" && field.value !== value) {
      field.value = value;
      changed ||= field.type !== "hidden";
    }
  }
  return changed;
}

/* What was kept of rows that this page does not have, each with its list and its row: "defects.", "defects.2.". */
function lacking(form, draft) {
  const names = [...form.elements].map((each) => each.name);
  const lists = [...form.querySelectorAll("button[value^='add:']")].map((each) => `${each.value.slice(4)}.`);
  return lists.flatMap((list) => {
    const kept = draft.values.filter(([name]) => name.startsWith(list));
    const rows = kept.map(([name, value]) => ({ list, row: name.slice(0, name.indexOf(".", list.length) + 1), name, value }));
    return rows.filter(({ row }) => row.length > list.length && !names.some((each) => each.startsWith(row)));
  });
}

function putIn(form, name, value) {
  form.append(Object.assign(document.createElement("input"), { type: "hidden", name, value }));
}

/* Sends the form for these rows; the last of the first list is the one that is added, and is filled in after that. */
function askFor(form, rows) {
  const { list } = rows[0];
  const added = rows.filter((each) => each.list === list).at(-1).row;
  for (const { name, value } of rows.filter((each) => !each.name.startsWith(added))) {
    if (!Array.isArray(value)) putIn(form, name, value);
    else if (value[1]) putIn(form, name, value[0]);
  }
  putIn(form, "do", `add:${list.slice(0, -1)}`);
  form.submit();
}

function openFolds(form) {
  for (const fold of form.querySelectorAll("details:not([open])")) {
    if (fields(form).some((each) => fold.contains(each) && !untouched(each))) fold.open = true;
  }
}

/* The day before the month and 24 hours, as everywhere in the pages. */
function time(saved) {
  const at = new Date(saved);
  const lang = document.documentElement.lang === "en" ? "en-GB" : document.documentElement.lang;
  const isToday = at.toDateString() === new Date().toDateString();
  const day = isToday ? {} : { day: "numeric", month: "long", year: "numeric" };
  return new Intl.DateTimeFormat(lang, { ...day, hour: "2-digit", minute: "2-digit" }).format(at);
}

function askReadings(form) {
  for (const field of form.querySelectorAll("[data-reading]")) field.dispatchEvent(new Event("input"));
}

/* Whether this machine has a network says nothing of a program on the machine itself, so it is asked. */
async function answers() {
  try {
    await fetch(document.querySelector("link[rel=icon]").href, { method: "HEAD", cache: "no-store" });
    return true;
  } catch {
    return false;
  }
}

class Draft {
  constructor(form) {
    this.form = form;
    this.name = form.dataset.draft;
    this.line = form.querySelector("[data-draft-line]");
    this.timer = 0;
    this.asking = false;
    this.answered = false;
    form.addEventListener("input", () => this.later());
    form.addEventListener("change", () => this.later());
    form.addEventListener("submit", (event) => this.send(event));
    this.line?.querySelector("[data-draft-clear]")?.addEventListener("click", () => this.clear());
    if (form.dataset.draftNewer === "*") this.keep();
    else this.restore();
  }

  say(words, saved, { clears = false } = {}) {
    if (!this.line || !words) return;
    this.line.querySelector("span").textContent = words.replace("{time}", saved ? time(saved) : "");
    this.line.querySelector("[data-draft-clear]").hidden = !clears;
    this.line.hidden = false;
  }

  restore() {
    const draft = stored(this.name);
    if (!draft || !Array.isArray(draft.values)) return;
    const isChanged = restore(this.form, draft);
    const rows = lacking(this.form, draft);
    if (rows.length > 0 && !draft.asked && store(this.name, { ...draft, asked: true })) {
      askFor(this.form, rows);
      return;
    }
    if (rows.length === 0 && draft.asked) store(this.name, { ...draft, asked: false });
    if (!isChanged) return;
    openFolds(this.form);
    this.say(this.line?.dataset.restored, draft.saved, { clears: true });
    askReadings(this.form);
  }

  wait() {
    clearTimeout(this.timer);
    this.timer = 0;
  }

  /* The page goes while what was typed last waits to be kept. */
  leave() {
    if (this.timer) this.keep();
  }

  later() {
    this.wait();
    this.timer = setTimeout(() => this.keep(), PAUSE_MS);
  }

  keep() {
    this.wait();
    if (isOver) return;
    const saved = new Date().toISOString();
    if (store(this.name, { saved, values: values(this.form) })) this.say(this.line?.dataset.kept, saved);
  }

  /* The form leaves only when the program answers; else the page would be lost to the browser's own error page. */
  async send(event) {
    if (this.answered) return;
    const { submitter } = event;
    event.preventDefault();
    if (this.asking) return;
    this.asking = true;
    this.keep();
    this.answered = await answers();
    this.asking = false;
    if (this.answered) this.form.requestSubmit(submitter);
    else this.say(this.line?.dataset.offline);
    this.answered = false;
  }

  clear() {
    this.wait();
    this.form.reset();
    end(this.name);
    if (this.line) this.line.hidden = true;
    askReadings(this.form);
  }
}

for (const name of ended()) end(name);
for (const done of document.querySelectorAll("[data-draft-done]")) done.dataset.draftDone.split(" ").forEach(end);
for (const form of document.querySelectorAll("form[data-drafts-end]")) form.addEventListener("submit", endAll);
const drafts = [...document.querySelectorAll("form[data-draft]")].map((form) => new Draft(form));
window.addEventListener("pagehide", () => drafts.forEach((each) => each.leave()));
