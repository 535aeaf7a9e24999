/* Shows how what is typed will be read.

   data-reading="money"      on a field (or "date"): asks /readings?kind=money&text=… and puts the answer into the
                             <output for="…"> of the field
   data-reading-with="NAME"  names another field of the form, such as the currency, whose value goes along under its name;
                             changing that one asks again

   The answer is JSON: {"sentence": "1,250.00 EUR", "read": true}. With read false the sentence says what would be right;
   it stays in the quiet voice, for a word half typed is not a fault. An empty field has no reading. */

const PAUSE_MS = 180;

function output(field) {
  return document.querySelector(`output[for="${CSS.escape(field.id)}"]`);
}

function companions(field) {
  const names = (field.dataset.readingWith ?? "").split(" ").filter(Boolean);
  return names.map((name) => field.form?.elements.namedItem(name)).filter(Boolean);
}

function address(field) {
  const query = new URLSearchParams({ kind: field.dataset.reading, text: field.value });
  for (const each of companions(field)) query.set(each.name, each.value);
  return `/readings?${query}`;
}

function watch(field) {
  const shown = output(field);
  if (!shown) return;
  let timer = 0;
  let asking = null;

  const show = (sentence, isRead) => {
    shown.textContent = sentence;
    shown.toggleAttribute("data-doubt", !isRead);
  };

  const ask = async () => {
    asking?.abort();
    if (!field.value.trim()) {
      show("", true);
      return;
    }
    asking = new AbortController();
    try {
      const answer = await fetch(address(field), { signal: asking.signal, headers: { Accept: "application/json" } });
      if (!answer.ok) return;
      const { sentence, read } = await answer.json();
      show(sentence, read);
    } catch {
      // given up for a later one, or no connection: the reading that stands is left
    }
  };

  const later = () => {
    clearTimeout(timer);
    timer = setTimeout(ask, PAUSE_MS);
  };

  field.addEventListener("input", later);
  for (const each of companions(field)) each.addEventListener("input", later);
  if (field.value.trim() && !shown.textContent.trim()) later();
}

for (const field of document.querySelectorAll("[data-reading]")) watch(field);
