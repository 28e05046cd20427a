// The list of drills, one drill with its students, and what to do when someone is lost.

import { h, helpLink, say, sayCount, timeOf } from "./parts.js";
import { state } from "./queue.js";
import * as store from "./store.js";

export const drillOf = (seen, pk) => seen.day?.drills.find((drill) => drill.pk === pk) || null;

export const groupsOf = (drill, pk) => (drill.groups || []).filter((group) => group.students.includes(pk))
  .map((group) => group.name).join(", ");

export function drillList(seen) {
  const { drills } = seen.day;
  const rows = (some) => h("ul", { class: "field-rows" }, some.map((drill) => {
    const waiting = seen.items.filter((item) => item.drill === drill.pk && item.state === "waiting").length;
    return h("li", {}, h("a", { class: "field-row", href: `/field/drills/${drill.pk}/` },
      h("strong", {}, drill.title),
      [drill.when, drill.site, drill.cohort].map((words) => h("span", {}, words)),
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
    helpLink(seen.day.help),
    h("p", { class: "field-buttons" }, h("button", { type: "button", class: "btn btn-outline-primary", onclick: () => {
      if (state.fault && !window.confirm(say("leave_ask"))) return;
      store.leaving.start();
      seen.reload();
      seen.exchange();
    } }, say("said_of", { name: say("leave"), text: seen.day.person.name }))),
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
  const others = drill.students.filter((student) => student.taken === false);
  const rows = (some) => h("ul", { class: "field-rows" }, some.map((student) => {
    const waiting = of(student);
    const logged = student.logged ? sayCount("logged", student.logged) : say("none_logged");
    const group = groupsOf(drill, student.pk);
    return h("li", {}, h("a", { class: "field-row field-name", href: `#student-${student.pk}` },
      h("strong", {}, student.name, group ? h("small", { class: "field-group" }, group) : null),
      h("span", {}, waiting ? `${logged} · ${say("and_waiting", { n: waiting })}` : logged)));
  }));
  return [
    h("p", { class: "field-trail" }, h("a", { class: "field-link", href: "/field/" }, say("back_to_list"))),
    h("h1", {}, drill.title),
    h("p", { class: "field-about" }, [`${drill.when} (${drill.zone})`, drill.site, drill.cohort].map((words) => h("span", {}, words))),
    h("p", { class: "field-kind" }, say(drill.assessed ? "assessed" : "practice")),
    drill.cancelled ? h("p", { class: "field-warn" }, say("cancelled", { reason: drill.cancelled })) : null,
    h("nav", { class: "field-buttons" },
      h("a", { class: "btn btn-outline-primary", href: "#out" }, say("out_and_back")),
      h("a", { class: "btn btn-outline-danger", href: "#lost" }, say("lost"))),
    h("h2", {}, say("whose")),
    drill.students.length ? null : h("p", { class: "empty" }, say("no_students")),
    rows(drill.students.filter((student) => student.taken !== false)),
    others.length ? [h("h3", {}, say("not_taken")), rows(others)] : null,
    results.length ? h("h2", {}, say("results_here")) : null,
    h("ul", { class: "field-rows" }, results.map((item) => h("li", { class: "field-line" },
      h("strong", {}, item.names.student),
      h("span", {}, timeOf(Date.parse(item.made_at) + (item.offset_ms || 0), drill.zone)),
      item.state === "refused" || item.state === "conflict"
        ? h("a", { class: "field-link field-warn", href: "#waiting" }, say(item.state)) : scoreLine(item)))),
    h("p", {}, drill.standard_words),
    helpLink(drill.help),
    h("p", {}, h("a", { class: "field-link", href: drill.desk }, say("desk"))),
  ].flat();
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

