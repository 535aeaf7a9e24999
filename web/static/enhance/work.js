/* Long work that goes on behind the page.

   data-work="BLOCK"    around what says how far it is: asks its own address again each second with the header
                        X-Slipsheet-Part: BLOCK and shows the answer
   data-working         in that answer, as long as the work goes on; when it is gone the page is loaded anew

   Without a script the page asks for itself again. While nobody looks at the page nothing is asked. */

const PAUSE_MS = 1000;
const PART = "X-Slipsheet-Part";

async function ask(place) {
  const answer = await fetch(location.pathname, { headers: { [PART]: place.dataset.work }, cache: "no-store" });
  if (!answer.ok || answer.redirected) throw new Error(String(answer.status));
  return answer.text();
}

function follow(place) {
  const again = () => setTimeout(look, PAUSE_MS);

  const look = async () => {
    if (document.hidden) {
      document.addEventListener("visibilitychange", look, { once: true });
      return;
    }
    try {
      const html = await ask(place);
      const shown = document.createElement("template");
      shown.innerHTML = html;
      if (shown.content.querySelector("[data-working]")) {
        place.replaceChildren(shown.content);
        again();
      } else {
        location.replace(location.pathname);
      }
    } catch {
      again(); // the program may be busy, or its connection lost for a while
    }
  };

  again();
}

for (const place of document.querySelectorAll("[data-work]")) follow(place);
