// The form of a site: the zone found from the position, as long as nobody typed another one.
"use strict";

(() => {
  const zone = document.getElementById("id_zone");
  const forms = document.getElementById("id_position-forms");
  if (!zone || !forms) return;
  // A zone that is the place's own counts as filled in, so that it follows the position.
  let filled = zoneThere();

  function zoneThere() {
    const texts = forms.querySelector("[data-zone]");
    return texts ? texts.dataset.zone : "";
  }

  function fill() {
    const found = zoneThere();
    if (!found || (zone.value.trim() !== "" && zone.value !== filled)) return;
    zone.value = found;
    filled = found;
  }

  document.body.addEventListener("htmx:afterSettle", (event) => {
    if (forms.contains(event.target)) fill();
  });
  fill();
})();
