/* What is typed, drawn as it is typed.

   data-preview="ID"    on a form: some time after a change its fields are sent to its own address with do=show and the
                        header X-Slipsheet-Part: seen, and the answer replaces what is in the element of that id

   Nothing is written by that. Without a script, or without a connection, a button asks for the same. */

const PART = "X-Slipsheet-Part";
const PAUSE_MS = 350;

function follow(form) {
  const place = document.getElementById(form.dataset.preview);
  if (!place) return;
  let timer = 0;
  let asking = null;

  const ask = async () => {
    asking?.abort();
    const mine = new AbortController();
    asking = mine;
    const sent = new URLSearchParams([...new FormData(form)].filter(([, value]) => typeof value === "string"));
    sent.set("do", "show");
    try {
      const answer = await fetch(form.action, { method: "POST", body: sent, signal: mine.signal, headers: { [PART]: "seen" } });
      if (!answer.ok || answer.redirected) return;
      const html = await answer.text();
      if (asking === mine) place.innerHTML = html;
    } catch {
      // the button does the same, once the connection is back
    }
  };

  form.addEventListener("input", () => {
    clearTimeout(timer);
    timer = setTimeout(ask, PAUSE_MS);
  });
}

for (const form of document.querySelectorAll("form[data-preview]")) follow(form);
