// The light of all pages, before anything is drawn, and its change without loading the page anew:
// what is half filled in stays. Without scripts the server does both.
"use strict";

(() => {
  const LIGHTS = ["bright", "dark", "red"];
  const root = document.documentElement;
  // What the page starts in where nothing was chosen: the field log in bright, it is read in the sun.
  const start = root.dataset.start || "";

  function show() {
    const chosen = /(?:^|;\s*)light=(\w+)/.exec(document.cookie)?.[1] || "";
    const light = LIGHTS.includes(chosen) ? chosen : start;
    if (light) root.dataset.light = light;
    else delete root.dataset.light;
    for (const button of document.querySelectorAll("button[name=light]")) {
      button.setAttribute("aria-pressed", String(button.value === light));
    }
  }

  show();
  document.addEventListener("click", (event) => {
    const button = event.target.closest("button[name=light]");
    if (!button) return;
    event.preventDefault();
    const secure = location.protocol === "https:" ? "; secure" : "";
    document.cookie = `light=${button.value}; path=/; samesite=lax; max-age=${button.value ? 31536000 : 0}${secure}`;
    show();
  });
  // A page that the browser kept whole, and one left open beside another.
  window.addEventListener("pageshow", show);
  document.addEventListener("visibilitychange", show);
})();
