"use strict";
// The search and the opening of entries. Without this the handbook still reads: entries open by hand or key.
(() => {
  const at = (id) => document.getElementById(id);
  const fold = (text) => text.toLowerCase().normalize("NFKD").replace(/[\u0300-\u036f]/g, "").replace(/[\s_\u2010-\u2015-]+/g, " ");
  const find = at("find"), found = at("found"), named = at("named"), nothing = at("nothing");
  const entries = [...document.querySelectorAll("details.entry")].map((box) => {
    const name = box.querySelector("h4").textContent.trim();
    return { box, name, label: fold(name), called: fold(name + " " + box.dataset.also), text: fold(box.textContent + " " + box.dataset.also) };
  });
  const holds = (text, words) => words.every((word) => text.includes(word));
  const shownIn = (place) => [...place.querySelectorAll("details.entry")].some((box) => !box.hidden);

  function search() {
    const words = fold(find.value).trim().split(" ").filter(Boolean);
    const called = [];
    let count = 0;
    for (const entry of entries) {
      entry.box.hidden = words.length > 0 && !holds(entry.text, words);
      if (words.length && !entry.box.hidden) {
        count += 1;
        if (holds(entry.called, words)) called.push(entry);
      }
    }
    for (const place of document.querySelectorAll(".part, .chapter")) place.hidden = words.length > 0 && !shownIn(place);
    document.querySelector(".intro").hidden = words.length > 0;
    nothing.hidden = words.length === 0 || count > 0;
    found.textContent = words.length ? `${count} of ${entries.length} entries` : "";
    named.replaceChildren();
    named.hidden = called.length === 0;
    if (called.length) {
      // First what begins with the words, then what has them in its name, then what is also called so.
      const rank = ({ label }) => (label.startsWith(words.join(" ")) ? 0 : holds(label, words) ? 1 : 2);
      called.sort((one, two) => rank(one) - rank(two));
      const list = document.createElement("ul");
      for (const entry of called.slice(0, 12)) {
        const item = document.createElement("li"), link = document.createElement("a");
        link.href = "#" + entry.box.id;
        link.textContent = entry.name;
        item.append(link);
        list.append(item);
      }
      const head = document.createElement("h2");
      head.textContent = called.length > 12 ? `Called so: the first 12 of ${called.length}` : "Called so";
      named.append(head, list);
    }
  }

  // A link into a closed or filtered entry opens it and shows it.
  function reveal() {
    const target = at(decodeURIComponent(location.hash.slice(1)));
    const box = target && target.closest("details.entry");
    if (!target) return;
    if (find.value && (!box || box.hidden || target.closest("[hidden]"))) { find.value = ""; search(); }
    if (box) box.open = true;
    target.scrollIntoView();
    if (box) box.querySelector("summary").focus({ preventScroll: true });
  }

  const openAll = (open) => { for (const { box } of entries) if (!box.hidden) box.open = open; };
  find.addEventListener("input", search);
  at("open-all").addEventListener("click", () => openAll(true));
  at("close-all").addEventListener("click", () => openAll(false));
  addEventListener("hashchange", reveal);
  document.addEventListener("click", (event) => {
    const link = event.target.closest('a[href^="#"]');
    if (link && link.hash === location.hash) reveal();
  });
  document.addEventListener("keydown", (event) => {
    const typing = event.target === find;
    if (event.key === "/" && !typing && !event.ctrlKey && !event.metaKey && !event.altKey) { event.preventDefault(); find.focus(); find.select(); }
    if (event.key === "Escape" && (typing || find.value)) { find.value = ""; search(); }
  });
  // Paper has no closed entries.
  let closed = [];
  addEventListener("beforeprint", () => {
    closed = [...document.querySelectorAll("details:not([open])")].filter((box) => !box.closest("[hidden]"));
    for (const box of closed) box.open = true;
  });
  addEventListener("afterprint", () => { for (const box of closed) box.open = false; });
  for (const box of document.querySelectorAll(".search, .tools, .keys")) box.hidden = false;
  if (find.value) search();
  if (location.hash) reveal();
})();
