// The result form: one more mark without asking the server, and the time of the clock at a tap.
"use strict";

(() => {
  const form = document.getElementById("attempt-form");
  if (!form) return;

  const zone = form.dataset.zone;
  const clock = new Intl.DateTimeFormat("en-GB", {
    timeZone: zone, hour: "2-digit", minute: "2-digit", second: "2-digit", hourCycle: "h23",
  });
  const calendar = new Intl.DateTimeFormat("en-CA", {
    timeZone: zone, year: "numeric", month: "2-digit", day: "2-digit",
  });

  function addNowButton(input) {
    if (input.closest(".now-row")) return;
    const button = document.createElement("button");
    button.type = "button";
    button.className = "btn btn-outline-primary now";
    button.textContent = form.dataset.now;
    button.setAttribute("aria-describedby", input.id);
    button.addEventListener("click", () => {
      const moment = new Date();
      const today = calendar.format(moment);
      const date = form.elements.namedItem("date");
      // The date is put first where it is not the one that the form has.
      const prefix = date && date.value !== today ? `${today} ` : "";
      input.value = prefix + clock.format(moment);
      input.focus();
    });
    const row = document.createElement("div");
    row.className = "now-row";
    input.replaceWith(row);
    row.append(input, button);
  }

  function addNowButtons() {
    form.querySelectorAll("input[data-clock]").forEach(addNowButton);
  }

  function addMark(button) {
    const count = form.elements.namedItem("mark_count");
    const next = Number(count.value) + 1;
    if (next > Number(button.dataset.most)) return;
    const rows = document.getElementById("marks");
    const row = rows.lastElementChild.cloneNode(true);
    const input = row.querySelector("input");
    const label = row.querySelector("label");
    row.querySelectorAll(".now-row").forEach((old) => old.replaceWith(input));
    row.querySelectorAll(".invalid-feedback, .asteriskField").forEach((old) => old.remove());
    input.name = `mark_${next}`;
    input.id = `id_mark_${next}`;
    input.value = "";
    input.required = false;
    input.classList.remove("is-invalid");
    ["aria-invalid", "aria-describedby"].forEach((name) => input.removeAttribute(name));
    label.htmlFor = input.id;
    label.textContent = `${button.dataset.label} ${next}`;
    row.querySelectorAll("[id^='div_id_']").forEach((box) => { box.id = `div_id_mark_${next}`; });
    rows.append(row);
    count.value = next;
    addNowButton(input);
    input.focus();
    if (next >= Number(button.dataset.most)) button.hidden = true;
  }

  form.addEventListener("click", (event) => {
    const button = event.target.closest(".add-mark");
    if (!button) return;
    event.preventDefault();
    addMark(button);
  });
  document.body.addEventListener("htmx:afterSettle", addNowButtons);
  addNowButtons();
})();
