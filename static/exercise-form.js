// The form of an exercise shows what its method has a use for, and nothing else.
"use strict";

(() => {
  const method = document.getElementById("id_method");
  if (!method || !method.dataset.applies) return;
  const applies = JSON.parse(method.dataset.applies);
  const hideable = new Set(Object.values(applies).flatMap((one) => one.unused));
  const radios = [...document.querySelectorAll('input[name="judged_on"]')];
  const unit = document.querySelector("#div_id_tolerance .input-group-text");

  // What is not shown is not sent either: the server takes the first value for it.
  function show(box, inputs, shown) {
    if (box) box.hidden = !shown;
    for (const input of inputs) input.disabled = !shown;
  }

  function follow() {
    const now = applies[method.value] || applies[""];
    for (const name of hideable) {
      const box = document.getElementById(`div_id_${name}`);
      show(box, box ? box.querySelectorAll("input, select") : [], !now.unused.includes(name));
    }
    const group = !now.unused.includes("judged_on");
    for (const radio of radios) {
      show(radio.closest(".form-check"), [radio], group && radio.value in now.judged_on);
    }
    if (group && !radios.some((radio) => radio.checked && !radio.disabled)) {
      const first = Object.keys(now.judged_on)[0];
      for (const radio of radios) radio.checked = radio.value === first;
    }
    for (const fieldset of document.querySelectorAll("form fieldset")) {
      const boxes = [...fieldset.querySelectorAll('[id^="div_id_"]')];
      if (boxes.length) fieldset.hidden = boxes.every((box) => box.hidden);
    }
    const chosen = radios.find((radio) => radio.checked);
    const units = now.judged_on;
    if (unit) unit.textContent = units[chosen && chosen.value] || Object.values(units)[0];
  }

  method.addEventListener("change", follow);
  for (const radio of radios) radio.addEventListener("change", follow);
  follow();
})();
