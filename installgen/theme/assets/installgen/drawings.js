/* Zoom for drawings, and the whole window for one of them. Without this script a drawing stands
   at its own size and is panned. */
"use strict";

(() => {
  const STEP = 1.25;
  const READABLE = 0.92; /* of its own size; below it the lettering is too small */

  const button = (bar, sign, name, act) => {
    const made = document.createElement("button");
    made.type = "button";
    made.textContent = sign;
    made.title = name;
    made.setAttribute("aria-label", name);
    made.addEventListener("click", act);
    bar.append(made);
    return made;
  };

  const dress = (figure) => {
    const pan = figure.querySelector(".drawing-pan");
    const svg = pan && pan.querySelector("svg");
    if (!svg) return;
    const own = svg.width.baseVal.value;
    let width = own;

    const show = (wanted) => {
      width = Math.max(160, Math.min(wanted, own * 6));
      svg.style.width = `${width}px`;
      svg.style.height = "auto";
    };
    const room = () => pan.clientWidth - 2 * parseFloat(getComputedStyle(pan).paddingLeft);
    const readable = () => {
      show(Math.min(own, Math.max(room(), own * READABLE)));
      const first = svg.querySelector(".drawing-node");
      if (!first) return;
      const [node, box] = [first.getBoundingClientRect(), pan.getBoundingClientRect()];
      pan.scrollLeft += node.left + node.width / 2 - box.left - box.width / 2;
    };
    const fill = (on) => {
      figure.classList.toggle("drawing-full", on);
      document.documentElement.classList.toggle("drawing-over", on);
      window_.setAttribute("aria-pressed", String(on));
      readable();
    };

    const bar = document.createElement("div");
    bar.className = "drawing-zoom";
    button(bar, "−", "Smaller", () => show(width / STEP));
    button(bar, "+", "Larger", () => show(width * STEP));
    button(bar, "Whole", "Show the whole drawing", () => show(Math.min(own, room())));
    const window_ = button(bar, "Window", "Fill the window with the drawing", () =>
      fill(!figure.classList.contains("drawing-full")),
    );
    window_.setAttribute("aria-pressed", "false");
    figure.addEventListener("keydown", (event) => {
      if (event.key === "Escape" && figure.classList.contains("drawing-full")) fill(false);
    });
    figure.insertBefore(bar, pan);
    readable();
  };

  document.querySelectorAll("figure.drawing").forEach(dress);
})();
