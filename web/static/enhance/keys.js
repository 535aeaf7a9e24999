/* Single keys.

   data-key="n"         on a link or button: the key presses it; on a field: the key goes there. A field on the page comes
                        before a link of the same key, so "/" stays on a page that has its own search.
   data-keys-switch     around a button with data-turn-off and data-turn-on, its two faces: turns single keys off and on
                        again, kept in this browser. WCAG 2.2, 2.1.4 asks for such a switch.

   While something is typed no key acts but Esc, which leaves the field; what was typed stays. Elsewhere Esc presses
   data-key="Escape" if there is one. A key with Ctrl, Alt or Meta is the browser's. */

const OFF = "slipsheet.keys.off";
const FIELDS = "input:not([type=checkbox], [type=radio], [type=button], [type=submit]), textarea, select";

const isOff = () => read(OFF) !== null;

function read(name) {
  try {
    return localStorage.getItem(name);
  } catch {
    return null; // storage may be closed to pages; keys then stay on
  }
}

function isTyping(element) {
  return element instanceof Element && (element.matches(FIELDS) || element.isContentEditable);
}

function isShown(element) {
  return element.getClientRects().length > 0 && !element.disabled;
}

function target(key) {
  const found = [...document.querySelectorAll(`[data-key="${CSS.escape(key)}"]`)].filter(isShown);
  return found.find((each) => each.matches(FIELDS)) ?? found[0];
}

function press(element) {
  if (element.matches(FIELDS)) {
    element.focus();
    element.select?.();
  } else {
    element.click();
  }
}

/* A field for searching would be emptied by the browser itself. */
function leave(event) {
  if (event.target.type === "search") event.preventDefault();
  event.target.blur();
}

document.addEventListener("keydown", (event) => {
  if (event.defaultPrevented || event.isComposing || event.ctrlKey || event.altKey || event.metaKey) return;
  if (isTyping(event.target)) {
    if (event.key === "Escape") leave(event);
    return;
  }
  if (event.repeat || document.querySelector("dialog[open]")) return;
  if (event.key.length === 1 && isOff()) return;
  const element = target(event.key);
  if (!element) return;
  event.preventDefault();
  press(element);
});

for (const place of document.querySelectorAll("[data-keys-switch]")) {
  const button = place.querySelector("button");
  const show = () => {
    button.textContent = isOff() ? button.dataset.turnOn : button.dataset.turnOff;
  };
  button.addEventListener("click", () => {
    try {
      if (isOff()) localStorage.removeItem(OFF);
      else localStorage.setItem(OFF, "1");
    } catch {
      return;
    }
    show();
  });
  show();
  place.hidden = false;
}
