/* Puts what the theme's search finds in the order of a reader aboard one vessel: the more of what
   was asked for, the sooner; values as they are printed; the vessel being read before others. */
"use strict";

(() => {
  const QUERY = 2;
  const RESULT = 3;
  /* Weighs less than all words in a title, more than all words in a text. */
  const OWN = 1.5;
  const { fold, read, worth } = window.installgenQuery;

  const folder = () => {
    const inSite = location.pathname.slice(window.__md_scope.pathname.length);
    return /^vessels\/[^/]+\//.exec(inSite)?.[0];
  };
  const words = (html) => fold(html.replace(/<\/?mark[^>]*>/g, "").replace(/<[^>]*>/g, " "));

  const rank = (groups, terms) => {
    const vessel = folder();
    const top = Math.max(1, ...groups.flat().map((item) => item.score));
    for (const item of groups.flat()) {
      /* A page that is there only to hold its parts keeps nothing. */
      if (!item.score) continue;
      const own = vessel && item.location.startsWith(vessel) ? OWN : 0;
      const found = worth(terms, words(item.title), words(item.text));
      item.score = 1000 * (found + own) + (999 * item.score) / top;
    }
    for (const group of groups) group.sort((a, b) => b.score - a.score);
    groups.sort(([a], [b]) => b.score - a.score);
  };

  window.Worker = class RankingWorker extends window.Worker {
    constructor(address) {
      super(address);
      this.terms = [];
      this.addEventListener("message", ({ data }) => {
        if (data.type === RESULT) rank(data.data.items, this.terms);
      });
    }

    postMessage(message) {
      if (message.type !== QUERY) return super.postMessage(message);
      const { terms, plain } = read(message.data);
      this.terms = terms;
      super.postMessage({ ...message, data: plain });
    }
  };
})();
