// Light or dark as the system says, unless chosen here; Escape closes an open note; notes close when left. A page that is
// asked for says so at once, and can be stopped, until it is there.
(() => {
  const root = document.documentElement;
  const chosen = () => { try { return localStorage.getItem("sinewright-look"); } catch { return null; } };
  const dark = () => matchMedia("(prefers-color-scheme: dark)").matches;
  const show = () => { root.dataset.look = chosen() || (dark() ? "dark" : "light"); };
  show();
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", show);
  window.sinewrightLook = () => {
    const next = root.dataset.look === "dark" ? "light" : "dark";
    try { localStorage.setItem("sinewright-look", next); } catch { /* stays for this page */ }
    root.dataset.look = next;
  };
  const close = (but) => document.querySelectorAll("details.source-note[open]").forEach((d) => { if (d !== but) d.open = false; });
  addEventListener("keydown", (e) => {
    if (e.key !== "Escape") return;
    const open = document.querySelector("details.source-note[open]");
    if (open) { open.open = false; open.querySelector("summary").focus(); }
  });
  addEventListener("click", (e) => close(e.target.closest("details.source-note")));
  addEventListener("toggle", (e) => {  // an open note stays inside the window
    const note = e.target.matches?.("details.source-note[open]") && e.target.querySelector(".note");
    if (!note) return;
    note.style.left = note.style.right = "";
    const box = note.getBoundingClientRect(), room = document.documentElement.clientWidth - 8 - box.width;
    const left = Math.max(8, Math.min(box.left, room)) - e.target.getBoundingClientRect().left;
    Object.assign(note.style, { left: `${left}px`, right: "auto" });
  }, true);
  // What has the focus keeps it when a list is put in another order or drawn anew: the same element, else its like, else
  // the first thing in what is left of its surroundings.
  const likeness = (el) => [el.tagName, el.type || "", el.id, el.getAttribute("aria-label") || (el.labels && el.labels[0] ? el.labels[0] : el).innerText].join("|");
  const around = (el) => { const up = []; for (let at = el.parentElement; at && at.tagName !== "MAIN"; at = at.parentElement) up.push(at); return up; };
  const first = (place) => place && [...place.querySelectorAll("a, button, input, select, summary")].find((el) => el.getClientRects().length);
  let held = null;
  addEventListener("focusin", ({ target: el }) => { held = el === document.body ? null : { el, like: likeness(el), up: around(el) }; });
  addEventListener("pointerdown", () => { held = null; }, true);
  new MutationObserver(() => {
    const at = document.activeElement;
    if (!held || !document.hasFocus() || (at && at !== document.body)) return;
    const again = held.el.isConnected ? held.el : [...document.querySelectorAll(held.el.tagName)].find((el) => likeness(el) === held.like)
      || first(held.up.find((place) => place.isConnected));
    if (again) again.focus({ preventScroll: true });
  }).observe(root, { childList: true, subtree: true });
  // A link that leads to a part of a page: pages are built after they are loaded, so the part is looked for until it is there.
  const part = location.hash.slice(1);
  if (part) {
    const looked = new MutationObserver(() => {
      const place = document.getElementById(part);
      if (!place || !place.getClientRects().length) return;
      looked.disconnect();
      place.scrollIntoView();
      place.focus({ preventScroll: true });
    });
    looked.observe(root, { childList: true, subtree: true });
  }
  const opening = document.createElement("div");
  opening.className = "opening";
  opening.setAttribute("role", "status");
  const shut = () => opening.remove();
  addEventListener("click", (e) => {
    const way = e.target.closest("a[href]");
    if (!way || e.defaultPrevented || e.button || e.ctrlKey || e.metaKey || e.shiftKey || e.altKey) return;
    if (way.target || way.hasAttribute("download") || way.origin !== location.origin || way.hash || /\.\w+$/.test(way.pathname)) return;
    const words = document.createElement("span"), bar = document.createElement("progress"), stop = document.createElement("button");
    words.textContent = "Opening " + way.innerText.trim();
    bar.setAttribute("aria-label", words.textContent);
    Object.assign(stop, { type: "button", className: "button quiet", textContent: "Stop" });
    stop.addEventListener("click", () => { window.stop(); shut(); way.focus(); });
    opening.replaceChildren(words, bar, stop);
    document.body.append(opening);
  });
  addEventListener("pageshow", shut);
  addEventListener("keydown", (e) => { if (e.key === "Escape") shut(); });
})();
