// Who is out and back: sending out, noting back, counting, and which devices were heard.

import * as alarm from "./alarm.js";
import { isOverdue, lastCount, merged, whoIsOut } from "./headcount.js";
import { h, minutesBetween, say, timeOf } from "./parts.js";
import { groupsOf } from "./pages.js";
import { clock, state } from "./queue.js";
import * as store from "./store.js";

const FRESH_MS = 120_000;
const SILENT_MS = 300_000;
const SPANS = [15, 30, 45, 60, 90, 120];
let span = 30;
let chosen = new Set();

export function nameOf(drill, pk) {
  return drill.students.find((student) => student.pk === pk)?.name || drill.others[pk] || `#${pk}`;
}

// Everyone who is out at any drill that this device carries, those due first standing first.
export function allOut(seen) {
  return seen.day.drills.flatMap((drill) => whoIsOut(merged(drill, seen.items))
    .map((one) => ({ ...one, drill, name: nameOf(drill, one.student) })))
    .sort((a, b) => (Date.parse(a.due_at) || Infinity) - (Date.parse(b.due_at) || Infinity));
}

export function dueWords(one, zone) {
  if (one.due_at === null) return say("no_due");
  const now = clock();
  if (isOverdue(one, now)) return say("overdue", { n: minutesBetween(Date.parse(one.due_at), now) });
  return say("due", { time: timeOf(one.due_at, zone) });
}

// Notes one thing, or several at once: all of them are kept, or none.
async function note(seen, drill, ...several) {
  const items = several.map((values) => ({
    key: crypto.randomUUID(), kind: "headcounts", person: seen.person, state: "waiting", drill: drill.pk,
    outing: null, students: [], due_at: null, number: null, by: seen.day.person.name, tries: 0, revision: 1,
    made_at: new Date().toISOString(), noted_at: new Date(clock()).toISOString(), ...values,
    names: { drill: drill.title, student: (values.students || []).map((pk) => nameOf(drill, pk)).join(", ") },
  }));
  try {
    await store.keep(...items);
  } catch (fault) {
    seen.tell(fault?.name === "QuotaExceededError" ? say("full") : say("not_kept", { fault: fault?.message || fault }), true);
    return false;
  }
  await seen.reload();
  seen.exchange();
  return true;
}

export function outPage(seen, drill) {
  const events = merged(drill, seen.items);
  const out = whoIsOut(events);
  const outings = [...new Set(out.map((one) => one.outing))];
  const away = new Set(out.map((one) => one.student));
  const here = drill.students.filter((student) => !away.has(student.pk));
  chosen = new Set([...chosen].filter((pk) => here.some((student) => student.pk === pk)));
  const count = lastCount(events);
  return [
    h("p", { class: "field-trail" }, h("a", { class: "field-link", href: "#" }, drill.title)),
    h("h1", {}, say("out_and_back")),
    allIn(seen, drill, out),
    h("p", { class: "field-care" }, say("own_count"), " ", say("silent_phone"), " ", say(alarm.isAwake() ? "awake" : "not_awake")),
    h("p", { class: "field-buttons" }, h("button", { type: "button", class: "btn btn-outline-primary", onclick: sound },
      say(alarm.isArmed() ? "sound_test" : "sound_on")),
    h("a", { class: "btn btn-outline-danger", href: "#lost" }, say("lost"))),
    backGroups(seen, drill, out),
    outings.map((outing) => outingBox(seen, drill, outing, out.filter((one) => one.outing === outing))),
    h("h2", {}, say("send_out")),
    here.length ? sendForm(seen, drill, here) : h("p", {}, say("nobody_left")),
    h("h2", {}, say("count")),
    h("p", {}, count ? say("count_said", { n: count.number, time: timeOf(count.noted_at, drill.zone), by: count.by }) : say("count_none"),
      " ", say("count_expected", { here: here.filter(isTaken).length, all: drill.students.filter(isTaken).length })),
    countForm(seen, drill),
    h("p", {}, h("a", { class: "field-link", href: drill.headcount_sheet }, say("paper_count"))),
    devices(drill),
  ].flat();

  async function sound() {
    await alarm.arm();
    alarm.beep();
    await seen.reload();
  }
}

const isTaken = (student) => student.taken !== false;

// A group that went out in pairs comes back at one tap: a note for each outing.
function backGroups(seen, drill, out) {
  const groups = (drill.groups || []).map((group) => [group, out.filter((one) => group.students.includes(one.student))])
    .filter(([, away]) => away.length > 1);
  if (!groups.length) return null;
  const back = (away) => note(seen, drill, ...[...new Set(away.map((one) => one.outing))].map((outing) => ({
    what: "back", outing, students: away.filter((one) => one.outing === outing).map((one) => one.student),
  })));
  return h("p", { class: "field-buttons" }, groups.map(([group, away]) => h("button", {
    type: "button", class: "btn btn-primary", onclick: () => back(away),
  }, say("group_back", { name: group.name, n: away.length }))));
}

function outingBox(seen, drill, outing, out) {
  const overdue = isOverdue(out[0], clock());
  const back = (students) => note(seen, drill, { what: "back", outing, students });
  const later = (minutes) => {
    const from = Math.max(Date.parse(out[0].due_at) || 0, clock());
    return note(seen, drill, { what: "due", outing, due_at: new Date(from + minutes * 60_000).toISOString() });
  };
  return h("section", { class: `field-outing${overdue ? " is-overdue" : ""}` },
    h("p", { class: "field-due" }, `${say("out")} ${timeOf(out[0].since, drill.zone)} · `, h("b", {}, dueWords(out[0], drill.zone))),
    out.map((one) => h("p", { class: "field-away" }, h("strong", {}, nameOf(drill, one.student)),
      h("button", { type: "button", class: "btn btn-primary", "aria-label": say("said_of", { name: say("back"), text: nameOf(drill, one.student) }),
        onclick: () => back([one.student]) }, say("back")))),
    h("p", { class: "field-buttons" },
      out.length > 1 ? h("button", { type: "button", class: "btn btn-primary", onclick: () => back(out.map((one) => one.student)) }, say("back_all")) : null,
      [10, 30].map((minutes) => h("button", { type: "button", class: "btn btn-outline-primary", onclick: () => later(minutes) },
        say("later", { n: minutes })))));
}

function sendForm(seen, drill, here) {
  const told = h("p", { role: "alert" });
  async function send(event) {
    event.preventDefault();
    if (!chosen.size) { told.textContent = say("choose_someone"); return; }
    const students = [...chosen];
    const kept = await note(seen, drill, {
      what: "out", outing: crypto.randomUUID(), students,
      due_at: new Date(clock() + span * 60_000).toISOString(),
    });
    if (kept) { chosen.clear(); await seen.reload(); }
  }
  const boxes = new Map();
  const pick = (student) => {
    const box = h("input", { type: "checkbox", value: student.pk, checked: chosen.has(student.pk),
      onchange: () => { (box.checked ? chosen.add(student.pk) : chosen.delete(student.pk)); press(); } });
    boxes.set(student.pk, box);
    const group = groupsOf(drill, student.pk);
    return h("label", { class: "field-pick" }, box, h("span", {}, student.name, group ? h("small", { class: "field-group" }, group) : null));
  };
  const groups = (drill.groups || []).map((group) => [group, here.filter((student) => group.students.includes(student.pk))])
    .filter(([, members]) => members.length);
  const isWhole = (members) => members.every((student) => chosen.has(student.pk));
  const buttons = groups.map(([group, members]) => h("button", { type: "button", class: "btn btn-outline-primary field-whole", onclick: () => {
    const change = isWhole(members) ? "delete" : "add";
    members.forEach((student) => { chosen[change](student.pk); boxes.get(student.pk).checked = chosen.has(student.pk); });
    press();
  } }, say("group_here", { name: group.name, n: members.length })));
  const press = () => {
    // As a page drawn anew would have them.
    boxes.forEach((box) => box.toggleAttribute("checked", box.checked));
    buttons.forEach((button, n) => button.setAttribute("aria-pressed", String(isWhole(groups[n][1]))));
  };
  const others = here.filter((student) => !isTaken(student));
  const picks = (some) => h("div", { class: "field-picks" }, some.map(pick));
  const form = h("form", { onsubmit: send, class: "field-out-form" },
    groups.length ? h("fieldset", {}, h("legend", {}, say("whole_group")), h("div", { class: "field-buttons" }, buttons)) : null,
    h("fieldset", {}, h("legend", {}, say("who_goes")), picks(here.filter(isTaken)),
      others.length ? [h("p", { class: "field-quiet" }, say("not_taken")), picks(others)] : null),
    h("fieldset", {}, h("legend", {}, say("due_in")), h("div", { class: "field-picks" }, SPANS.map((minutes) => h("label", { class: "field-pick" },
      h("input", { type: "radio", name: "span", value: minutes, checked: minutes === span, onchange: () => { span = minutes; } }),
      say("minutes", { n: minutes }))))),
    told, h("button", { type: "submit", class: "btn btn-primary field-keep" }, say("send_out")));
  press();
  return form;
}

function countForm(seen, drill) {
  const number = h("input", { type: "text", inputmode: "numeric", pattern: "[0-9]{1,3}", class: "form-control", id: "counted", autocomplete: "off" });
  const keep = (event) => {
    event.preventDefault();
    if (/^\d{1,3}$/.test(number.value.trim())) note(seen, drill, { what: "count", number: Number(number.value) });
    else number.focus();
  };
  return h("form", { class: "field-count", onsubmit: keep }, h("label", { for: "counted" }, say("count_of")),
    number, h("button", { type: "submit", class: "btn btn-outline-primary" }, say("count_keep")));
}

// Never 'all in' from what only this device knows.
function allIn(seen, drill, out) {
  if (out.length) return null;
  const isFresh = state.heard !== null && clock() - state.heard < FRESH_MS && !state.signedOut;
  const isSent = !seen.items.some((item) => item.kind === "headcounts" && item.drill === drill.pk && item.state === "waiting");
  const silent = drill.devices.filter((device) => clock() - Date.parse(device.heard_at) > SILENT_MS);
  if (!isFresh || !isSent) {
    const asOf = state.heard ? say("as_of", { time: timeOf(state.heard, drill.zone) }) : say("never_heard");
    return h("p", { class: "field-warn" }, say("all_in_not", { as_of: asOf }));
  }
  return h("p", { class: silent.length ? "field-warn" : "field-good" }, say("all_in", { time: timeOf(state.heard, drill.zone) }),
    silent.length ? ` ${say("devices_warning")} ${silent.map((device) => say("not_heard", { name: device.name, time: timeOf(device.heard_at, drill.zone) })).join(" ")}` : "");
}

function devices(drill) {
  const rows = drill.devices.map((device) => {
    const isSilent = clock() - Date.parse(device.heard_at) > SILENT_MS;
    const words = say(isSilent ? "not_heard" : "heard", { name: device.name, time: timeOf(device.heard_at, drill.zone) });
    return h("li", { class: isSilent ? "field-warn" : null }, device.waiting ? `${words} · ${say("device_waits", { n: device.waiting })}` : words);
  });
  return [h("h2", {}, say("devices")), rows.length ? h("ul", { class: "field-rows" }, rows) : h("p", {}, say("devices_none")),
    h("p", {}, say("devices_warning"))];
}
