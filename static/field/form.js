// The form of one result: the server's own fields, filled, read, and made quick.

import { h, say, timeOf, dateOf } from "./parts.js";
import { clock } from "./queue.js";

function fieldsOf(box) {
  return [...box.querySelectorAll("input[name], select[name], textarea[name]")];
}

export function read(box) {
  const values = {};
  for (const field of fieldsOf(box)) {
    if (field.type === "checkbox") {
      values[field.name] ??= [];
      if (field.checked) values[field.name].push(field.value);
    } else if (field.type === "radio") {
      if (field.checked) values[field.name] = field.value;
    } else {
      values[field.name] = field.value;
    }
  }
  return values;
}

export function fill(box, values) {
  const marks = Number(values.mark_count || 0);
  const add = box.querySelector(".add-mark");
  while (add && box.querySelectorAll("#marks input").length < marks) addMark(box, add);
  for (const field of fieldsOf(box)) {
    if (!(field.name in values)) continue;
    const value = values[field.name];
    if (field.type === "checkbox") field.checked = value.includes(field.value);
    else if (field.type === "radio") field.checked = field.value === value;
    else if (field.tagName !== "SELECT" || [...field.options].some((one) => one.value === value)) field.value = value;
  }
  for (const folded of box.querySelectorAll("details")) {
    const inside = fieldsOf(folded);
    const isTouched = inside.some((field) => (field.type === "checkbox" ? field.checked : field.value !== field.defaultValue
      && field.tagName !== "SELECT"));
    if (isTouched) folded.open = true;
  }
}

// Label and text of what was entered, for a person to read later.
export function said(box) {
  const pairs = [];
  for (const field of fieldsOf(box)) {
    // A side stands behind the number that it belongs to, and says nothing where there is none.
    if (field.name.endsWith("_side")) {
      const about = box.querySelector(`[name="${CSS.escape(field.name.slice(0, -5))}"]`);
      if (about) {
        if (about.value) pairs.at(-1)[1] += ` ${field.selectedOptions[0].textContent.trim()}`;
        continue;
      }
    }
    if (field.type === "hidden" || ((field.type === "checkbox" || field.type === "radio") && !field.checked)) continue;
    const text = field.tagName === "SELECT" ? field.selectedOptions[0]?.textContent : field.value;
    if (!text) continue;
    const label = field.labels?.[0]?.textContent.replace("*", "").trim() || field.name;
    if (field.type === "radio" || field.type === "checkbox") {
      const legend = field.closest("fieldset, .mb-3, div[id^=div_id_]")?.querySelector("legend, label")?.textContent;
      pairs.push([(legend || field.name).replace("*", "").trim(), label]);
    } else {
      const unit = field.closest(".input-group")?.querySelector(".input-group-text")?.textContent.trim() ?? "";
      pairs.push([label, text.trim() + (!unit || unit === "°" ? unit : `\u00a0${unit}`)]);
    }
  }
  return pairs;
}

function nowText(box, zone) {
  const moment = clock();
  const date = box.querySelector("[name=date]");
  const today = dateOf(moment, zone);
  const prefix = date && date.value !== today ? `${today} ` : "";
  return prefix + timeOf(moment, zone, true);
}

function addNow(box, input, zone) {
  if (input.closest(".now-row")) return;
  const button = h("button", { type: "button", class: "btn btn-outline-primary now" }, say("now"));
  // The form may not be part of the page yet, so `labels` would be empty.
  const label = box.querySelector(`label[for="${CSS.escape(input.id)}"]`);
  button.setAttribute("aria-label", `${say("now")}: ${label.textContent.replace("*", "").trim()}`);
  button.addEventListener("click", () => {
    input.value = nowText(box, zone);
    input.dispatchEvent(new Event("input", { bubbles: true }));
  });
  const row = h("div", { class: "now-row" });
  input.replaceWith(row);
  row.append(input, button);
}

function addMark(box, button) {
  const rows = box.querySelector("#marks");
  const next = rows.querySelectorAll("input").length + 1;
  if (next > Number(button.dataset.most)) return;
  const row = rows.lastElementChild.cloneNode(true);
  const input = row.querySelector("input");
  const label = row.querySelector("label");
  row.querySelectorAll(".now-row").forEach((old) => old.replaceWith(input));
  row.querySelectorAll(".field-fault, .asteriskField").forEach((old) => old.remove());
  Object.assign(input, { name: `mark_${next}`, id: `id_mark_${next}`, value: "", required: false });
  label.htmlFor = input.id;
  label.textContent = `${button.dataset.label} ${next}`;
  row.querySelectorAll("[id^='div_id_']").forEach((part) => { part.id = `div_id_mark_${next}`; });
  rows.append(row);
  box.querySelector("[name=mark_count]").value = next;
  box.dispatchEvent(new CustomEvent("fields"));
  if (next >= Number(button.dataset.most)) button.hidden = true;
}

// Shows the form for a check in `box` with the values that it takes over.
export function draw(box, form, check, values, zone) {
  const html = form.checks[check] ?? Object.values(form.checks)[0];
  // Made by our own server with its escaping, and kept by this person's device.
  box.innerHTML = html;
  box.querySelectorAll("noscript").forEach((part) => part.remove());
  const equip = () => box.querySelectorAll("input[data-clock]").forEach((input) => addNow(box, input, zone));
  box.onclick = (event) => {
    const button = event.target.closest(".add-mark");
    if (!button) return;
    event.preventDefault();
    addMark(box, button);
  };
  box.addEventListener("fields", equip);
  fill(box, { ...values, ...(check ? { check } : {}) });
  equip();
}

export function showFaults(box, errors) {
  box.querySelectorAll(".field-fault").forEach((old) => old.remove());
  const loose = [];
  for (const error of errors) {
    const field = error.field && box.querySelector(`[name="${CSS.escape(error.field)}"]`);
    if (!field) { loose.push(error.sentence); continue; }
    field.setAttribute("aria-invalid", "true");
    field.closest("details")?.setAttribute("open", "");
    (field.closest("div[id^=div_id_]") || field.parentElement)
      .append(h("p", { class: "field-fault" }, error.sentence));
  }
  return loose;
}

// What has to be there before a result can be kept; all else the server judges.
export function missing(box) {
  const empty = fieldsOf(box).filter((field) => field.required && field.type !== "radio"
    && field.type !== "checkbox" && !field.value.trim());
  return empty.map((field) => ({ field: field.name, sentence: say("needed") }));
}
