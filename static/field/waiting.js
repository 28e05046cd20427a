// What waits on this device: always to be seen, saved by hand, and what came back resolved.

import { drillOf } from "./pages.js";
import { h, helpLink, say, sayCount, saveFile, timeOf } from "./parts.js";
import { clock } from "./queue.js";
import * as store from "./store.js";

const FORMAT = "plumbshadow field items";

export const waitingOf = (items) => items.filter((item) => item.state !== "stored");
export const toResolve = (items) => items.filter((item) => item.state === "refused" || item.state === "conflict");

const again = (item, change) => ({ ...item, ...change, state: "waiting", tries: 0, answer: null, revision: item.revision + 1 });

export function waitingPage(seen) {
  const items = waitingOf(seen.items).sort((a, b) => a.made_at.localeCompare(b.made_at));
  return [
    h("p", { class: "field-trail" }, h("a", { class: "field-link", href: "#" }, say("field_log"))),
    h("h1", {}, say("waiting_title")),
    items.length ? null : h("p", { class: "empty" }, say("waiting_none")),
    h("ul", { class: "field-rows" }, items.map((item) => itemBox(seen, item))),
    items.some((item) => item.kind === "results" && item.state === "waiting") ? h("p", { class: "field-quiet" }, say("slip")) : null,
    h("p", { class: "field-buttons" },
      items.length ? h("button", { type: "button", class: "btn btn-primary", onclick: seen.exchange }, say("send_now")) : null,
      items.length ? h("button", { type: "button", class: "btn btn-outline-primary", onclick: save }, say("save_file")) : null,
      h("label", { class: "btn btn-outline-primary" }, say("load_file"),
        h("input", { type: "file", accept: "application/json,.json", class: "visually-hidden", onchange: load }))),
    helpLink(seen.day.help),
  ];

  function save() {
    const moment = new Date(clock()).toISOString();
    saveFile(`field-log-${moment.slice(0, 16).replace(/\D/g, "")}.json`, { format: FORMAT, person: seen.person, saved_at: moment, items });
  }

  async function load(event) {
    let told = say("not_loaded");
    try {
      const file = JSON.parse(await event.target.files[0].text());
      if (file.format === FORMAT && file.person === seen.person && file.items.every(isItem)) {
        const known = new Set(seen.items.map((item) => item.key));
        const fresh = file.items.filter((item) => !known.has(item.key));
        await store.write("items", (rows) => fresh.forEach((item) => rows.put({ ...item, person: seen.person })));
        told = say("loaded", { n: fresh.length, m: file.items.length - fresh.length });
      }
    } catch (fault) {
      told = fault instanceof SyntaxError ? say("not_loaded") : say("not_kept", { fault: fault?.message || fault });
    }
    await seen.reload();
    seen.tell(told);
    seen.exchange();
  }
}

function isItem(item) {
  return typeof item.key === "string" && ["results", "headcounts", "notes"].includes(item.kind)
    && ["waiting", "refused", "conflict"].includes(item.state) && typeof item.made_at === "string"
    && typeof item.names === "object" && item.names !== null;
}

function itemBox(seen, item) {
  const drill = drillOf(seen, item.drill);
  const zone = drill?.zone || Intl.DateTimeFormat().resolvedOptions().timeZone;
  const title = { headcounts: say("headcount_item"), notes: say("note_waits"), results: "" }[item.kind];
  const about = [title, item.names.student, item.names.drill, timeOf(Date.parse(item.made_at) + (item.offset_ms || 0), zone)];
  const answer = item.answer || {};
  const isBack = item.state === "refused" || item.state === "conflict";
  const box = h("li", { class: `field-line${isBack ? " is-back" : ""}`, "data-key": item.key, "data-revision": item.revision },
    about.filter(Boolean).map((words) => h("strong", {}, words)),
    item.tries && !isBack ? h("span", {}, sayCount("tries", item.tries)) : null,
    isBack ? h("p", { class: "field-warn" }, say("said_of", { name: say(item.state), text: answer.sentence || "" })) : null,
    (answer.errors || []).map((error) => h("p", { class: "field-fault" }, error.label ? say("said_of", { name: error.label, text: error.sentence }) : error.sentence)),
    answer.address && isBack ? h("a", { class: "field-link", href: answer.address }, say("see")) : null,
    (item.said || []).length ? h("p", { class: "field-said" }, item.said.map(([label, text]) => h("span", {}, say("said_of", { name: label, text })))) : null);
  if (isBack) box.append(choices(seen, item, drill, answer));
  return box;
}

async function apply(seen, item, change) {
  try {
    await store.alter(item.key, (now) => (now.revision === item.revision ? change(now) : undefined));
  } catch (fault) {
    seen.tell(fault?.name === "QuotaExceededError" ? say("full") : say("not_kept", { fault: fault?.message || fault }), true);
    return;
  }
  await seen.reload();
  seen.exchange();
}

function choices(seen, item, drill, answer) {
  const button = (words, onclick, look = "outline-primary") => h("button", { type: "button", class: `btn btn-${look}`, onclick }, words);
  const row = h("div", { class: "field-buttons" });
  if (item.kind === "results") {
    const isHere = drill && drill.students.some((student) => student.pk === item.student);
    if (item.state === "refused" && isHere) row.append(h("a", { class: "btn btn-primary", href: `/field/drills/${item.drill}/#edit-${item.key}` }, say("edit")));
    if (answer.problem === "cancelled") {
      row.append(button(say("send_anyway"), () => apply(seen, item, (now) => again(now, { accepted: [...now.accepted, "cancelled"] }))));
    } else if (answer.problem === "standard") {
      row.append(button(say("send_new_standard"), () => apply(seen, item, (now) => again(now, { accepted: [...now.accepted, answer.standard] }))));
    } else if (item.state === "conflict") {
      // Put back into the cohort, say: then it goes through.
      row.append(button(say("send_now"), () => apply(seen, item, (now) => again(now, {}))));
    }
    row.append(giving(seen, item));
    row.append(button(say("as_note"), () => apply(seen, item, (now) => again(now, {
      kind: "notes", about: `${now.names.student}, ${now.names.drill}`.slice(0, 300), reason: answer.sentence || "",
    }))));
  }
  const word = say("discard_word");
  row.append(button(say("discard"), () => {
    const typed = window.prompt(say("discard_ask", { word }));
    if (typed === null) return undefined;
    if (typed.trim().toLowerCase() !== word) { seen.tell(say("discard_not"), true); return undefined; }
    return apply(seen, item, () => null);
  }, "outline-danger"));
  return row;
}

function giving(seen, item) {
  // Only to drills of the same method: the fields are that method's.
  const method = item.method || drillOf(seen, item.drill)?.method;
  const drills = seen.day.drills.filter((drill) => !method || drill.method === method);
  const select = h("select", { class: "form-select", "aria-label": say("give") }, h("option", { value: "" }, say("give_choose")),
    drills.map((drill) => h("optgroup", { label: `${drill.title}, ${drill.when}` },
      drill.students.map((student) => h("option", { value: `${drill.pk} ${student.pk}` }, student.name)))));
  const give = () => {
    const [drillPk, studentPk] = select.value.split(" ").map(Number);
    const drill = drillOf(seen, drillPk);
    if (!drill) { select.focus(); return; }
    const student = drill.students.find((one) => one.pk === studentPk);
    apply(seen, item, (now) => again(now, {
      drill: drill.pk, student: student.pk, standard: drill.standard,
      names: { student: student.name, drill: drill.title },
    }));
  };
  return h("span", { class: "field-give" }, select, h("button", { type: "button", class: "btn btn-outline-primary", onclick: give }, say("give")));
}
