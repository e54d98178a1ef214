// Light or dark as the system says, unless chosen here; Escape closes an open note; notes close when left.
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
})();
