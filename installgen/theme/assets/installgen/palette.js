/* Sets light or dark before the page is painted: the reader's choice, else the system's. */
"use strict";

(() => {
  const chosen = window.__md_get("__palette");
  const bySystem = !chosen || !chosen.color || chosen.color.media === "(prefers-color-scheme)";
  let color = bySystem ? null : chosen.color;
  if (bySystem) {
    const scheme = matchMedia("(prefers-color-scheme: dark)").matches ? "dark" : "light";
    const option = document.querySelector(
      `[data-md-color-media='(prefers-color-scheme: ${scheme})']`,
    );
    color = option && {
      media: option.dataset.mdColorMedia,
      scheme: option.dataset.mdColorScheme,
      primary: option.dataset.mdColorPrimary,
      accent: option.dataset.mdColorAccent,
    };
  }
  for (const [key, value] of Object.entries(color || {})) {
    document.body.setAttribute(`data-md-color-${key}`, value);
  }
})();
