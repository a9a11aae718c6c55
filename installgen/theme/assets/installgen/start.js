/* What Material's bundle expects to find defined, as a file instead of an inline script. */
"use strict";

window.__md_scope = new URL(document.currentScript.dataset.base, location);

window.__md_hash = (text) =>
  [...text].reduce((sum, letter) => (sum << 5) - sum + letter.charCodeAt(0), 0);

/* A browser may refuse storage to a page opened as a file: then nothing is remembered. */
window.__md_get = (key, storage, scope = window.__md_scope) => {
  try {
    return JSON.parse((storage || localStorage).getItem(`${scope.pathname}.${key}`));
  } catch {
    return null;
  }
};

window.__md_set = (key, value, storage, scope = window.__md_scope) => {
  try {
    (storage || localStorage).setItem(`${scope.pathname}.${key}`, JSON.stringify(value));
  } catch {
    /* not remembered */
  }
};
