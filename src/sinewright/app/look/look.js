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
  const close = (but) => document.querySelectorAll("details.whence[open]").forEach((d) => { if (d !== but) d.open = false; });
  addEventListener("keydown", (e) => {
    if (e.key !== "Escape") return;
    const open = document.querySelector("details.whence[open]");
    if (open) { open.open = false; open.querySelector("summary").focus(); }
  });
  addEventListener("click", (e) => close(e.target.closest("details.whence")));
  addEventListener("toggle", (e) => {  // an open note stays inside the window
    const note = e.target.matches?.("details.whence[open]") && e.target.querySelector(".note");
    if (!note) return;
    note.style.left = note.style.right = "";
    const box = note.getBoundingClientRect(), room = document.documentElement.clientWidth - 8 - box.width;
    const left = Math.max(8, Math.min(box.left, room)) - e.target.getBoundingClientRect().left;
    Object.assign(note.style, { left: `${left}px`, right: "auto" });
  }, true);
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
