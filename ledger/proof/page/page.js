// What the reader sees of the check: the words on the page held against the record, and what was found.

// Every piece of text of a sheet, in the order in which it is read.
function piecesOf(sheet) {
  const pieces = [sheet.title, sheet.lead];
  for (const section of sheet.sections) {
    pieces.push(section.title);
    for (const block of section.blocks) {
      if (block.kind === "words") pieces.push(...block.lines);
      else if (block.kind === "facts") pieces.push(...block.rows.flat());
      else if (block.kind === "table") pieces.push(...block.head, ...block.rows.flat());
      else if (block.kind === "work") pieces.push(block.heading, ...block.lines);
      else if (block.kind === "map") pieces.push(...block.spots.map((spot) => spot.label), block.words);
      else pieces.push(block.words);
    }
  }
  return pieces;
}

// Where the words on the page are not those of the record, and where words stand that are none of it.
function checkShown(article, sheet, say) {
  const shown = Array.from(article.querySelectorAll("[data-s]"), (each) => each.textContent);
  const said = piecesOf(sheet);
  const at = said.findIndex((piece, place) => piece !== shown[place]);
  if (at >= 0) say("page-differs", `The page does not say what the record says, at "${(said[at] || "").slice(0, 60)}".`);
  const all = article.textContent.replaceAll(/\s+/g, "");
  if (shown.length !== said.length || all !== shown.join("").replaceAll(/\s+/g, "")) {
    say("page-differs", "There are words on the page that are not in the record.");
  }
  const pictures = sheet.sections.flatMap((section) => section.blocks).filter((block) => block.kind === "picture");
  const images = Array.from(article.querySelectorAll("img"));
  if (canonical(pictures.map((each) => each.sha256)) !== canonical(images.map((each) => each.dataset.sha))) {
    say("page-differs", "The page shows other photographs than the record.");
  }
  for (const each of images) {
    // One photograph may be shown twice, and each time it could be another.
    const name = each.dataset.sha;
    if (hexed(sha256(pictureIn(each))) !== name) say("picture-changed", `Photograph ${name.slice(0, 8)} was changed.`);
  }
}

const pictureIn = (image) => decoded(image.getAttribute("src").split(",", 2)[1]);

function besideOf(root) {
  const beside = new Map();
  for (const each of root.querySelectorAll("script[data-sha]")) beside.set(each.dataset.sha, decoded(each.textContent));
  for (const each of root.querySelectorAll("img[data-sha]")) {
    if (!beside.has(each.dataset.sha)) beside.set(each.dataset.sha, pictureIn(each));
  }
  return beside;
}

// The record, then those of earlier owners, each before the ones that it has in turn.
function sheetsOf(record, beside) {
  const [sheets, waiting, met] = [[record], [...record.earlier], new Set()];
  while (waiting.length > 0) {
    const name = waiting.shift();
    if (met.has(name) || !beside.has(name)) continue;
    met.add(name);
    const earlier = JSON.parse(strictText(beside.get(name)));
    sheets.push(earlier);
    waiting.unshift(...earlier.earlier);
  }
  return sheets;
}

function checkPage(root, given) {
  try {
    const record = decoded(root.querySelector("#record").textContent);
    const beside = besideOf(root);
    const result = checkRecord(record, beside, given);
    const say = (code, sentence) => result.findings.push({ code, sentence });
    const sheets = sheetsOf(JSON.parse(strictText(record)), beside);
    const articles = root.querySelectorAll("main > article");
    const words = Array.from(articles, (each) => each.textContent).join("");
    const bare = (text) => text.replaceAll(/\s+/g, "");
    if (articles.length !== sheets.length || bare(root.querySelector("main").textContent) !== bare(words)) {
      say("page-differs", "The page has other parts than the record.");
    }
    articles.forEach((article, place) => {
      if (place < sheets.length) checkShown(article, sheets[place].sheet, say);
    });
    return result;
  } catch (error) {
    return { findings: [{ code: "file-unreadable", sentence: `The page is damaged: ${error.message}.` }], entries: [], earlier: [], signerKnown: false };
  }
}

const counted = (count) => `${count} ${count === 1 ? "thing was" : "things were"} found.`;

function verdictOf({ findings, entries, signerKnown }, inside) {
  const count = findings.length;
  if (count > 0) return `${counted(count)} Do not rely on this record.`;
  if (inside) {
    const own = signerKnown ? "is signed with the key you gave" : "holds together, and who signed it is not known";
    return `The book's own record ${own}. In a record of an owner before, which came with it, something was found: do not rely on that one.`;
  }
  if (signerKnown) return `Checked: ${entries.length} entries, signed with the key you gave. Nothing was changed or left out.`;
  return `${entries.length} entries hold together. Who signed them is not known: give the key that you got elsewhere.`;
}

const stateOf = ({ findings, signerKnown }, inside) => (findings.length > 0 || inside ? "bad" : signerKnown ? "good" : "consistent");

function lines(findings) {
  return findings.map(({ code, sentence }) => {
    const item = document.createElement("li");
    item.textContent = `${code}: ${sentence}`;
    return item;
  });
}

// Each record of an owner before with its own verdict, those that it has in turn behind it.
function* ownersIn(result) {
  for (const { name, result: each } of result.earlier) {
    const item = document.createElement("li");
    const inner = document.createElement("ul");
    const bad = each.findings.length > 0;
    const said = each.signerKnown ? "It holds together, and is signed with a key that you gave." : "It holds together. Who signed it is not known.";
    item.dataset.state = stateOf(each, false);
    item.textContent = `Of an owner before, ${name.slice(0, 8)}, ${each.title ?? "not readable"}: ${bad ? `${counted(each.findings.length)} Do not rely on it.` : said}`;
    inner.append(...lines(each.findings));
    if (bad) item.append(inner);
    yield item;
    yield* ownersIn(each);
  }
}

function tell(root, result) {
  const [verdict, list, owners] = ["#verdict", "#found", "#owners"].map((each) => root.querySelector(each));
  const inside = brokenInside(result);
  verdict.dataset.state = stateOf(result, inside);
  verdict.textContent = verdictOf(result, inside);
  list.replaceChildren(...lines(result.findings));
  list.hidden = result.findings.length === 0;
  owners.replaceChildren(...ownersIn(result));
  owners.hidden = result.earlier.length === 0;
}

// The reader's own photograph over one of the record's: read here, sent nowhere. No words stand in what is added, for the
// words of the page are held against the record.
function layOver(figure) {
  const image = figure.querySelector("img");
  if (!image) return;
  const [file, share, over] = ["input", "input", "canvas"].map((name) => document.createElement(name));
  Object.assign(file, { type: "file", accept: "image/*" });
  file.setAttribute("aria-label", "Lay a photograph of your own over this one");
  file.title = "Lay a photograph of your own over this one";
  Object.assign(share, { type: "range", min: "0", max: "100", value: "50", hidden: true });
  share.setAttribute("aria-label", "How much of your photograph is seen");
  Object.assign(over, { hidden: true, className: "over" });
  const show = () => { over.style.opacity = String(share.valueAsNumber / 100); };
  file.addEventListener("change", async () => {
    if (!file.files.length) return;
    let picture;
    try {
      picture = await createImageBitmap(file.files[0]);
    } catch {
      file.value = "";
      return;
    }
    [over.width, over.height] = [image.clientWidth, image.clientHeight];
    over.getContext("2d").drawImage(picture, 0, 0, over.width, over.height);
    over.hidden = share.hidden = false;
    show();
  });
  share.addEventListener("input", show);
  figure.append(over, file, share);
}

function start(root) {
  for (const figure of root.querySelectorAll("main figure")) layOver(figure);
  const form = root.querySelector("#check");
  form.hidden = false;
  const owners = document.createElement("ul");
  owners.id = "owners";
  form.before(owners);
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    const typed = form.querySelector("textarea").value.trim();
    root.querySelector("#verdict").textContent = "Checking …";
    setTimeout(() => tell(root, checkPage(root, typed ? typed.split(/\s+/) : [])), 20);
  });
  form.requestSubmit();
}
