// The list of drills, one drill with its students, and the form of a result.

import * as forms from "./form.js";
import { h, say, sayCount, timeOf } from "./parts.js";
import { state } from "./queue.js";
import * as store from "./store.js";

export const drillOf = (seen, pk) => seen.day?.drills.find((drill) => drill.pk === pk) || null;

export function drillList(seen) {
  const { drills } = seen.day;
  const rows = (some) => h("ul", { class: "field-rows" }, some.map((drill) => {
    const waiting = seen.items.filter((item) => item.drill === drill.pk && item.state === "waiting").length;
    return h("li", {}, h("a", { class: "field-row", href: `/field/drills/${drill.pk}/` },
      h("strong", {}, drill.title),
      h("span", {}, `${drill.when} · ${drill.site}`),
      h("span", {}, drill.cohort),
      drill.cancelled ? h("span", { class: "field-warn" }, say("cancelled", { reason: drill.cancelled })) : null,
      waiting ? h("span", { class: "field-mark" }, sayCount("waits", waiting)) : null));
  }));
  const today = drills.filter((drill) => drill.is_today);
  const others = drills.filter((drill) => !drill.is_today);
  return [
    h("h1", {}, say("field_log")),
    drills.length ? null : h("p", { class: "empty" }, say("no_drills")),
    today.length ? [h("h2", {}, say("today")), rows(today)] : null,
    others.length ? [h("h2", {}, say("other_days")), rows(others)] : null,
    seen.day.notes ? h("p", {}, h("a", { class: "field-link", href: "/notes/" }, sayCount("notes", seen.day.notes))) : null,
    h("p", { class: "field-buttons" }, h("button", { type: "button", class: "btn btn-outline-primary", onclick: () => {
      store.leaving.start();
      seen.reload();
      seen.exchange();
    } }, `${say("leave")}: ${seen.day.person.name}`)),
  ].flat();
}

function scoreLine(item) {
  const score = item.answer?.score;
  if (item.state !== "stored" || !score) return h("span", { class: "field-mark" }, say("pending"));
  return h("span", { class: "field-score" },
    score.parts.map(([name, words]) => h("span", {}, `${name} `, h("b", {}, words))),
    score.verdict ? h("b", { class: `verdict-word verdict-${score.verdict_class}` }, score.verdict) : null,
    h("a", { class: "field-link", href: score.address }, say("see")));
}

export function drillPage(seen, drill) {
  const results = seen.items.filter((item) => item.kind === "results" && item.drill === drill.pk)
    .sort((a, b) => b.made_at.localeCompare(a.made_at));
  const of = (student) => results.filter((item) => item.student === student.pk && item.state !== "stored").length;
  return [
    h("p", { class: "field-trail" }, h("a", { class: "field-link", href: "/field/" }, say("back_to_list"))),
    h("h1", {}, drill.title),
    h("p", {}, `${drill.when} (${drill.zone}) · ${drill.site} · ${drill.cohort}`),
    h("p", { class: "field-kind" }, say(drill.assessed ? "assessed" : "practice")),
    drill.cancelled ? h("p", { class: "field-warn" }, say("cancelled", { reason: drill.cancelled })) : null,
    h("nav", { class: "field-buttons" },
      h("a", { class: "btn btn-outline-primary", href: "#out" }, say("out_and_back")),
      h("a", { class: "btn btn-outline-danger", href: "#lost" }, say("lost"))),
    h("h2", {}, say("whose")),
    drill.students.length ? null : h("p", { class: "empty" }, say("no_students")),
    h("ul", { class: "field-rows" }, drill.students.map((student) => {
      const waiting = of(student);
      const logged = student.logged ? sayCount("logged", student.logged) : say("none_logged");
      return h("li", {}, h("a", { class: "field-row field-name", href: `#student-${student.pk}` },
        h("strong", {}, student.name),
        h("span", {}, waiting ? `${logged} · ${say("and_waiting", { n: waiting })}` : logged)));
    })),
    results.length ? h("h2", {}, say("results_here")) : null,
    h("ul", { class: "field-rows" }, results.map((item) => h("li", { class: "field-line" },
      h("strong", {}, item.names.student),
      h("span", {}, timeOf(Date.parse(item.made_at) + (item.offset_ms || 0), drill.zone)),
      item.state === "refused" || item.state === "conflict"
        ? h("a", { class: "field-link field-warn", href: "#waiting" }, say(item.state)) : scoreLine(item)))),
    h("p", {}, drill.standard_words),
    h("p", {}, h("a", { class: "field-link", href: drill.desk }, say("desk"))),
  ];
}

// `editing` is a result that came back, to be mended.
export async function resultPage(seen, drill, student, editing) {
  const form = await store.form(seen.person, drill.pk);
  const trail = h("p", { class: "field-trail" },
    h("a", { class: "field-link", href: editing ? "#waiting" : "#" }, say(editing ? "waiting_title" : "another")));
  const head = [trail, h("h1", {}, student.name),
    h("p", { class: "field-kind" }, `${drill.title} · ${say(drill.assessed ? "assessed" : "practice")}`)];
  if (!form) return [...head, h("p", { class: "field-warn" }, say("not_carried"))];

  const draft = editing ? null : await store.draft(seen.person, drill.pk, student.pk);
  const last = await store.settings(seen.person, drill.pk);
  const start = { degrees_per_hand: student.degrees_per_hand, ...last?.values };
  const values = editing?.fields || { ...start, ...draft?.fields };
  const box = h("div", { class: "field-fields" });
  const told = h("div", { role: "alert", class: "field-told" });
  const drawn = (check, taken) => forms.draw(box, form, check, taken, drill.zone);
  drawn(values.check || form.check, values);
  if (draft) told.append(h("p", {}, say("restored"), " ",
    h("button", { type: "button", class: "btn btn-outline-primary", onclick: clear }, say("clear_draft"))));
  if (editing) forms.showFaults(box, editing.answer?.errors || []).forEach((one) => told.append(h("p", {}, one)));

  async function clear() {
    await store.write("drafts", (rows) => { rows.delete([seen.person, drill.pk, student.pk]); });
    told.replaceChildren();
    drawn(start.check || form.check, start);
  }

  let pause = null;
  function keepDraft() {
    if (editing) return;
    clearTimeout(pause);
    pause = setTimeout(() => {
      const row = { person: seen.person, drill: drill.pk, student: student.pk, fields: forms.read(box) };
      // A draft that finds no room is no loss yet: the form still has it, and keeping it says so.
      store.keepDraft(row).catch((fault) => console.info(fault));
    }, 250);
  }

  function changed(event) {
    if (event.target.name === "check" && event.type === "change") {
      drawn(event.target.value, forms.read(box));
    }
    keepDraft();
  }

  async function keep(event) {
    event.preventDefault();
    const gaps = forms.missing(box);
    if (gaps.length) {
      forms.showFaults(box, gaps);
      box.querySelector(`[name="${gaps[0].field}"]`).focus();
      return;
    }
    clearTimeout(pause);
    const fields = forms.read(box);
    const names = { student: student.name, drill: drill.title };
    const item = {
      key: editing?.key || crypto.randomUUID(), kind: "results", person: seen.person, state: "waiting",
      drill: drill.pk, method: drill.method, student: student.pk, fields, standard: drill.standard,
      accepted: editing?.accepted || [], made_at: editing?.made_at || new Date().toISOString(),
      offset_ms: editing ? editing.offset_ms : state.offset, said: forms.said(box), names,
      tries: 0, revision: (editing?.revision || 0) + 1,
    };
    const carried = Object.fromEntries(form.carried.filter((name) => name in fields).map((name) => [name, fields[name]]));
    button.disabled = true;
    try {
      await store.keepResult(item, carried, Boolean(editing));
    } catch (fault) {
      const isFull = fault?.name === "QuotaExceededError";
      told.replaceChildren(h("p", { class: "field-warn" }, isFull ? say("full") : say("not_kept", { fault: fault?.message || fault })));
      told.scrollIntoView({ block: "center" });
      button.disabled = false;
      return;
    }
    seen.tell(say("kept", { name: student.name }));
    location.hash = editing ? "#waiting" : "#";
    seen.exchange();
  }

  const button = h("button", { type: "submit", class: "btn btn-primary field-keep" }, say(editing ? "keep_again" : "keep"));
  const element = h("form", { class: "field-form", novalidate: true, autocomplete: "off", onsubmit: keep, oninput: changed, onchange: changed },
    told, box, h("div", { class: "field-foot" }, button));
  return [...head, element];
}

export function lostPage(drill) {
  return [
    h("p", { class: "field-trail" }, h("a", { class: "field-link", href: "#" }, drill.title)),
    h("h1", {}, say("lost")),
    drill.lost_steps.length ? h("ol", { class: "field-steps" }, drill.lost_steps.map((step) => h("li", {}, step)))
      : h("p", { class: "field-warn" }, say("lost_none")),
    drill.rally || drill.rally_position
      ? [h("h2", {}, say("rally")), h("p", {}, drill.rally), h("p", {}, h("b", {}, drill.rally_position))] : null,
    drill.safe_heading ? [h("h2", {}, say("safe_heading")), h("p", {}, drill.safe_heading)] : null,
    drill.emergency ? [h("h2", {}, say("emergency")), h("p", { class: "field-lines" }, drill.emergency)] : null,
    h("p", {}, say("local_rules")),
  ].flat();
}

