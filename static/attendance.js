// Fills in "present" for everyone who is not marked yet; nothing is saved before the form is sent.
"use strict";

const offer = document.querySelector("[data-mark-rest]");

if (offer) {
  offer.hidden = false;
  offer.querySelector("button").addEventListener("click", () => {
    for (const row of document.querySelectorAll(".attendance-row")) {
      if (!row.querySelector("input:checked")) {
        row.querySelector("input[value='present']").checked = true;
      }
    }
  });
}
