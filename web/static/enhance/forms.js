/* A form is sent once.

   data-once            on a form: while it is being sent, sending it again does nothing; the form is aria-busy, and its
                        [data-draft-line] says so in the words of data-sending. The key in the form makes sure of the same
                        behind the page, so this only spares a wait.
   data-leave-guard     on a form without data-draft: asks before leaving when something was typed and not sent

   It comes after drafts.js in the page: a form that is held back there is not being sent.

   Coming back to the page (from the browser's memory too) frees the form again. */

function say(form, words) {
  const line = form.querySelector("[data-draft-line]");
  if (!line || !words) return;
  line.querySelector("span").textContent = words;
  line.hidden = false;
}

function free(form) {
  form.removeAttribute("aria-busy");
}

for (const form of document.querySelectorAll("form[data-once]")) {
  form.addEventListener("submit", (event) => {
    if (event.defaultPrevented) return;
    if (form.getAttribute("aria-busy") === "true") {
      event.preventDefault();
      return;
    }
    form.setAttribute("aria-busy", "true");
    say(form, form.querySelector("[data-draft-line]")?.dataset.sending);
  });
}

for (const form of document.querySelectorAll("form[data-leave-guard]")) {
  let changed = false;
  form.addEventListener("input", () => {
    changed = true;
  });
  form.addEventListener("submit", () => {
    changed = false;
  });
  window.addEventListener("beforeunload", (event) => {
    if (changed) event.preventDefault();
  });
}

window.addEventListener("pageshow", () => {
  for (const form of document.querySelectorAll("form[data-once]")) free(form);
});

// A form that came back begins at its first fault.
document.querySelector(".faults")?.closest("form")?.querySelector("[aria-invalid=true]")?.focus();
