/* Shows the page that an address leads to, and finds words and short codes in all of them. */
"use strict";

(() => {
  const leaves = [...document.querySelectorAll(".leaf")];
  const box = document.querySelector("#find");
  const found = document.querySelector("#found");
  const first = leaves[0];
  const MOST = 60;

  /* ---- one page at a time ---- */

  const show = (leaf) => {
    for (const each of leaves) each.classList.toggle("shown", each === leaf);
    leaf.dispatchEvent(new Event("shown"));
  };
  const follow = () => {
    const id = decodeURIComponent(location.hash.slice(1));
    const target = id && document.getElementById(id);
    show((target && target.closest(".leaf")) || first);
    /* A page is shown from its top, with what stands above its heading. */
    if (target && target.localName !== "h1") target.scrollIntoView();
    else scrollTo(0, 0);
    close();
  };

  /* ---- what can be found ---- */

  const { fold, read, worth: share, missing } = window.installgenQuery;
  const words = (element) => element.textContent.replace(/\s+/g, " ").trim();
  const SKIPPED = ".screens, .drawing-tables, .drawing-pan, .turn, thead";
  const WANTED = "h1, h2, h3, p, li, dt, dd, tr, figcaption, details.working";

  let entries = null;
  const collected = () => {
    if (entries) return entries;
    entries = [];
    for (const leaf of leaves) {
      const page = words(leaf.querySelector("h1"));
      let section = { id: leaf.querySelector("h1").id, title: page, page, text: "" };
      entries.push(section);
      for (const part of leaf.querySelectorAll(WANTED)) {
        if (part.closest(SKIPPED) || part.parentElement.closest("tr, details.working")) continue;
        const own = part.matches("tr[id], details.working[id]");
        if (/^H[123]$/.test(part.tagName)) {
          if (part.tagName === "H1") continue;
          section = { id: part.id, title: words(part), page, text: "" };
          entries.push(section);
        } else if (own) {
          const name = part.matches("tr") ? part.cells[0] : part.querySelector("summary");
          const text = part.matches("tr") ? [...part.cells].slice(1).map(words).join(" · ") : "";
          const code = part.querySelector("th .short-code");
          entries.push({ id: part.id, title: words(name), page, text, code: code && words(code) });
        } else if (part.matches("tr")) {
          section.text += ` ${[...part.cells].map(words).join(" · ")}`;
        } else {
          section.text += ` ${words(part)}`;
        }
      }
    }
    for (const row of document.querySelectorAll("#codes ~ .table-scroll tbody tr")) {
      const code = words(row.cells[0]);
      const name = words(row.cells[1]);
      for (const link of row.querySelectorAll("td a")) {
        const id = decodeURIComponent(link.hash.slice(1));
        entries.push({ id, title: `${code} ${name}`, page: words(link), text: "", code, listed: true });
      }
    }
    for (const entry of entries) {
      entry.inTitle = fold(entry.title);
      entry.inText = fold(`${entry.title} ${entry.text} ${entry.page}`);
    }
    return entries;
  };

  const worth = (entry, query, terms) => {
    if (entry.code && fold(entry.code) === query) return entry.listed ? 1000 : 900;
    if (entry.inTitle === query) return 500;
    const starts = ` ${entry.inTitle}`.includes(` ${query}`);
    return (starts ? 200 : 0) + 100 * share(terms, entry.inTitle, entry.inText) + 1;
  };

  const look = (text) => {
    const query = fold(text);
    const { terms } = read(text);
    if (!terms.length) return [];
    /* Of three words or more one may be missing; of fewer only where nothing has them all. */
    const lacks = new Map(collected().map((entry) => [entry, missing(terms, entry.inText)]));
    const least = Math.min(...lacks.values());
    const allowed = Math.max(terms.length > 2 ? 1 : 0, Math.min(least, terms.length - 1));
    const seen = new Set();
    return collected()
      .map((entry, order) => ({ entry, order }))
      .filter(({ entry }) => lacks.get(entry) <= allowed)
      .map((one) => ({ ...one, worth: worth(one.entry, query, terms) }))
      .sort((a, b) => b.worth - a.worth || a.order - b.order)
      .filter(({ entry }) => !seen.has(entry.id) && seen.add(entry.id))
      .map(({ entry }) => entry);
  };

  /* The text around the first thing looked for that stands in it. */
  const snippet = (entry, query) => {
    const folded = fold(entry.text);
    const places = read(query).terms.map(({ within }) => folded.search(within));
    const [place = 0] = places.filter((one) => one >= 0).sort((a, b) => a - b);
    const at = Math.max(0, place - 40);
    const text = entry.text.slice(at, at + 140).trim();
    return text ? ` · ${at ? "… " : ""}${text}` : "";
  };

  /* ---- the list ---- */

  const close = () => {
    found.hidden = true;
  };
  const list = () => {
    const query = box.value;
    if (!query.trim()) return close();
    const hits = look(query);
    const heading = found.querySelector("p");
    heading.textContent =
      hits.length === 0
        ? found.dataset.none
        : hits.length > MOST
          ? found.dataset.many.replace("#", MOST).replace("#", hits.length)
          : found.dataset.some.replace("#", hits.length);
    found.querySelector("ol").replaceChildren(
      ...hits.slice(0, MOST).map((entry) => {
        const item = document.createElement("li");
        const link = document.createElement("a");
        const where = document.createElement("span");
        link.href = `#${encodeURIComponent(entry.id)}`;
        link.append(entry.title, where);
        where.className = "found-where";
        where.textContent = entry.page + snippet(entry, query);
        item.append(link);
        return item;
      }),
    );
    found.hidden = false;
    scrollTo(0, 0);
  };

  let waiting = 0;
  box.addEventListener("input", () => {
    clearTimeout(waiting);
    waiting = setTimeout(list, 120);
  });
  box.addEventListener("keydown", (event) => {
    if (event.key === "Escape") {
      box.value = "";
      close();
    } else if (event.key === "Enter") {
      clearTimeout(waiting);
      list();
      const link = found.querySelector("a");
      if (link && !found.hidden) link.click();
    }
  });
  /* A link to where one already is changes no address. */
  found.addEventListener("click", (event) => {
    if (event.target.closest("a")) setTimeout(follow);
  });
  document.addEventListener("keydown", (event) => {
    if (event.key !== "/" || event.target.matches("input")) return;
    event.preventDefault();
    box.focus();
  });

  box.hidden = false;
  addEventListener("hashchange", follow);
  follow();
})();
