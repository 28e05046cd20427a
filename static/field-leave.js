// Signing out closes the field log on this device at once. What waits there stays, unseen, for
// whoever noted it.
"use strict";

document.addEventListener("submit", (event) => {
  if (event.target.matches("form[data-leave]")) {
    localStorage.removeItem("field-holder");
    localStorage.setItem("field-leaving", "yes");
  }
});
if (document.documentElement.querySelector("[data-signed-out]")) {
  localStorage.removeItem("field-leaving");
  // Whoever comes here from the field log has a session that ran out, and goes on with it.
  const next = new URLSearchParams(location.search).get("next") || "";
  if (!next.startsWith("/field/")) localStorage.removeItem("field-holder");
}
