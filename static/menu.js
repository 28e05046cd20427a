/* The lists of the menu close by Escape, and by a tap anywhere else. */
"use strict";

function closeAll(except) {
  for (const open of document.querySelectorAll(".menu-more[open]")) {
    if (open !== except) open.open = false;
  }
}

document.addEventListener("click", (event) => closeAll(event.target.closest(".menu-more")));

document.addEventListener("keydown", (event) => {
  const open = event.key === "Escape" && document.querySelector(".menu-more[open]");
  if (!open) return;
  open.open = false;
  open.querySelector("summary").focus();
});
