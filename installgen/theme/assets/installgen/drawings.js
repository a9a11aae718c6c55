/* Zoom for drawings. Without this script a drawing stands at its own size and is panned. */
"use strict";

(() => {
  const STEP = 1.25;
  const READABLE = 0.8; /* below this share of its own size the lettering is too small */

  for (const figure of document.querySelectorAll("figure.drawing")) {
    const pan = figure.querySelector(".drawing-pan");
    const svg = pan && pan.querySelector("svg");
    if (!svg || !svg.viewBox.baseVal) continue;
    const own = svg.width.baseVal.unitType === 2 /* per cent: none given */
      ? svg.viewBox.baseVal.width * (4 / 3)
      : svg.width.baseVal.value;
    let width = own;

    const show = (wanted) => {
      width = Math.max(160, Math.min(wanted, own * 6));
      svg.style.width = `${width}px`;
      svg.style.height = "auto";
    };
    const room = () => pan.clientWidth - 2 * parseFloat(getComputedStyle(pan).paddingLeft);
    const whole = () => show(Math.min(own, room()));

    const bar = document.createElement("div");
    bar.className = "drawing-zoom";
    const button = (sign, name, act) => {
      const made = document.createElement("button");
      made.type = "button";
      made.textContent = sign;
      made.setAttribute("aria-label", name);
      made.title = name;
      made.addEventListener("click", act);
      bar.append(made);
    };
    button("−", "Smaller", () => show(width / STEP));
    button("+", "Larger", () => show(width * STEP));
    button("Whole", "Show the whole drawing", whole);
    figure.insertBefore(bar, pan);

    show(Math.min(own, Math.max(room(), own * READABLE)));
  }
})();
