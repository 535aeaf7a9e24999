/* Copies a text that is on the page.

   data-copy="ID"       on a button, hidden without a script: puts the text of that element on the clipboard
   data-copied="…"      what the button says afterwards, for a moment */

const SAID_MS = 2500;

for (const button of document.querySelectorAll("[data-copy]")) {
  const source = document.getElementById(button.dataset.copy);
  if (!source || !navigator.clipboard) continue;
  const words = button.textContent;
  button.setAttribute("aria-live", "polite");
  button.addEventListener("click", async () => {
    try {
      await navigator.clipboard.writeText(source.textContent);
    } catch {
      getSelection()?.selectAllChildren(source); // not allowed here: it is marked, and copied by hand
      return;
    }
    button.textContent = button.dataset.copied;
    setTimeout(() => {
      button.textContent = words;
    }, SAID_MS);
  });
  button.hidden = false;
}
