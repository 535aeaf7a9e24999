/* A list that follows what is typed and ticked.

   data-search="ID"     on a form with method get: whenever a field of it changes, its own address is asked again with the
                        header X-Slipsheet-Part: rows, and the answer replaces what is in the element of that id
   data-said="…"        on an element in the answer: how many were found, in words; said aloud by [data-says="ID"], a
                        role="status" outside the list, and shown there
   data-search-send     on the form's button: hidden, for nothing needs to be sent by hand any more

   The address of the page follows, so that going back and sharing work. Without a connection the form is sent plainly. */

const PAUSE_MS = 140;
const PART = "X-Slipsheet-Part";

function address(form) {
  const url = new URL(form.action, location.href);
  const given = [...new FormData(form)].filter(([, value]) => typeof value === "string" && value !== "");
  url.search = new URLSearchParams(given).toString();
  return url;
}

function follow(form) {
  const list = document.getElementById(form.dataset.search);
  if (!list) return;
  const says = document.querySelector(`[data-says="${CSS.escape(list.id)}"]`);
  let timer = 0;
  let asking = null;

  const put = (html, url) => {
    list.innerHTML = html;
    list.removeAttribute("aria-busy");
    history.replaceState(history.state, "", url);
    const said = list.querySelector("[data-said]")?.dataset.said;
    if (says && said) says.textContent = said;
  };

  const ask = async () => {
    asking?.abort();
    const mine = new AbortController();
    asking = mine;
    const url = address(form);
    list.setAttribute("aria-busy", "true");
    try {
      const answer = await fetch(url, { signal: mine.signal, headers: { [PART]: "rows" } });
      if (!answer.ok || answer.redirected) throw new Error(String(answer.status));
      const html = await answer.text();
      if (asking === mine) put(html, url);
    } catch {
      if (mine.signal.aborted) return;
      form.submit();
    }
  };

  const later = (pause) => {
    clearTimeout(timer);
    timer = setTimeout(ask, pause);
  };

  form.addEventListener("input", (event) => later(event.target.type === "checkbox" ? 0 : PAUSE_MS));
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    later(0);
  });
  for (const button of form.querySelectorAll("[data-search-send]")) button.hidden = true;
}

for (const form of document.querySelectorAll("form[data-search]")) follow(form);
