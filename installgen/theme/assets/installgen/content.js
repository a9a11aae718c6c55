/* Runs once the page's content is there and before Material's bundle. */
"use strict";

(() => {
  /* Some browsers restore a check box on reload, which would reopen the menu. */
  for (const toggle of document.querySelectorAll("input.md-toggle")) toggle.autocomplete = "off";

  /* A link into a folded working unfolds it. */
  const unfold = () => {
    const id = decodeURIComponent(location.hash.slice(1));
    const target = id && document.getElementById(id);
    let wasFolded = false;
    for (let part = target; part; part = part.parentElement) {
      if (part.localName === "details" && !part.open) wasFolded = part.open = true;
    }
    if (wasFolded) target.scrollIntoView();
  };
  addEventListener("hashchange", unfold);
  unfold();

  /* Paper shows everything. */
  let folded = [];
  addEventListener("beforeprint", () => {
    folded = [...document.querySelectorAll("details:not([open])")];
    for (const details of folded) details.open = true;
  });
  addEventListener("afterprint", () => {
    for (const details of folded) details.open = false;
  });
})();
