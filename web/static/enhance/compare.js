/* Before and after: points are set by tapping, and the two laid over each other are seen in turn.

   data-points="b"     on a picture: a tap writes the point into the number fields b1x, b1y, then b2x, b2y, and so on, as
                       many as it has marks; a number typed or stepped with the arrow keys moves its mark
   data-over           slider and blink, hidden without a script; data-later is what they show more or less of
   data-blink          shows the later one and the earlier one in turn, once a second; where less motion is asked for,
                       each press changes to the other one and nothing moves by itself */

const BLINK_MS = 1000;
const STEP = 0.1;

function place(mark, x, y) {
  const isSet = [x, y].every((each) => each !== "" && Number(each) >= 0 && Number(each) <= 100);
  mark.setAttribute("visibility", isSet ? "visible" : "hidden");
  if (!isSet) return;
  mark.setAttribute("x", `${Number(x)}%`);
  mark.setAttribute("y", `${Number(y)}%`);
}

function setPoints(picture) {
  const side = picture.dataset.points;
  const field = (number, axis) => document.getElementById(`${side}${number}${axis}`);
  const plain = (input) => input.value.trim().replace(",", ".");
  const marks = [...picture.querySelectorAll("[data-point]")];
  const follow = (number) => place(marks[number - 1], plain(field(number, "x")), plain(field(number, "y")));
  let next = 1;

  for (let number = 1; number <= marks.length; number += 1) {
    for (const axis of ["x", "y"]) {
      const input = field(number, axis);
      input.addEventListener("focus", () => {
        next = number;
      });
      input.addEventListener("input", () => follow(number));
      input.addEventListener("keydown", (event) => {
        const way = { ArrowUp: STEP, ArrowDown: -STEP }[event.key];
        if (!way) return;
        event.preventDefault();
        const moved = Number(plain(input) || 0) + way * (event.shiftKey ? 10 : 1);
        input.value = Math.min(100, Math.max(0, moved)).toFixed(1);
        follow(number);
      });
    }
    follow(number);
  }

  picture.addEventListener("click", (event) => {
    const box = picture.getBoundingClientRect();
    field(next, "x").value = (((event.clientX - box.left) / box.width) * 100).toFixed(1);
    field(next, "y").value = (((event.clientY - box.top) / box.height) * 100).toFixed(1);
    follow(next);
    next = (next % marks.length) + 1;
  });
  picture.toggleAttribute("data-taps", true);
}

function lookInTurn(tools) {
  const later = document.querySelector("[data-later]");
  const slider = tools.querySelector("input");
  const blink = tools.querySelector("[data-blink]");
  const still = matchMedia("(prefers-reduced-motion: reduce)");
  let timer = 0;

  const show = (share) => later.setAttribute("opacity", String(share / 100));
  const swap = () => show(Number(later.getAttribute("opacity")) > 0.5 ? 0 : 100);
  const stop = () => {
    clearInterval(timer);
    timer = 0;
    blink.setAttribute("aria-pressed", "false");
  };

  slider.addEventListener("input", () => {
    stop();
    show(slider.valueAsNumber);
  });
  blink.addEventListener("click", () => {
    if (still.matches) {
      stop();
      swap();
    } else if (timer) {
      stop();
      show(slider.valueAsNumber);
    } else {
      blink.setAttribute("aria-pressed", "true");
      swap();
      timer = setInterval(swap, BLINK_MS);
    }
  });
  still.addEventListener("change", stop);
  tools.hidden = false;
}

if (document.querySelector("[data-points-form]")) {
  for (const picture of document.querySelectorAll("[data-points]")) setPoints(picture);
}
for (const tools of document.querySelectorAll("[data-over]")) lookInTurn(tools);
