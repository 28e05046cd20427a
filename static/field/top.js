// What stands on top of every field page: who is out, what waits, as of when, and the light.

import { h, say, sayCount, timeOf } from "./parts.js";
import { isOverdue } from "./headcount.js";
import { allOut, dueWords } from "./outings.js";
import { clock, state } from "./queue.js";
import { toResolve, waitingOf } from "./waiting.js";

const LIGHTS = ["bright", "dark", "red"];
const localZone = () => Intl.DateTimeFormat().resolvedOptions().timeZone;

export function zoneOf(seen) {
  return seen.day?.drills.find((drill) => drill.is_today)?.zone || localZone();
}

function outStrip(seen) {
  // Whoever carries no drill is told nothing of who is out: not even that nobody is.
  if (!seen.day.drills.length) return null;
  const out = allOut(seen);
  if (!out.length) return h("p", { class: "out-strip" }, `${say("nobody_out")}, ${asOf(seen)}`);
  const now = clock();
  return h("div", { class: `out-strip has-out${out.some((one) => isOverdue(one, now)) ? " is-overdue" : ""}` },
    h("p", {}, h("b", {}, say("out_n", { n: out.length })), ` · ${asOf(seen)}`),
    h("ul", {}, out.map((one) => h("li", { class: isOverdue(one, now) ? "is-late" : null },
      h("a", { href: `/field/drills/${one.drill.pk}/#out` }, h("b", {}, one.name), ` ${dueWords(one, one.drill.zone)}`)))));
}

function asOf(seen) {
  return state.heard ? say("as_of", { time: timeOf(state.heard, zoneOf(seen)) }) : say("never_heard");
}

export function lights() {
  return h("div", { class: "lights", role: "group", "aria-label": say("light") }, LIGHTS.map((light) => h("button", {
    type: "button", class: "light", name: "light", value: light,
    "aria-pressed": String(document.documentElement.dataset.light === light),
  }, say(light))));
}

// Nobody has to look for signal where the server was heard and can store nothing.
const OF_SERVER = { silent: "no_signal", unable: "unable" };

function faultLine() {
  if (!state.fault) return null;
  const words = OF_SERVER[state.fault];
  return words ? h("p", { class: "field-quiet" }, say(words)) : h("p", { class: "field-warn" }, say("fault", { fault: state.fault }));
}

export function top(seen) {
  const waiting = waitingOf(seen.items);
  const back = toResolve(seen.items).length;
  const words = [
    waiting.length - back ? sayCount("waits", waiting.length - back) : null, back ? sayCount("resolve", back) : null,
  ].filter(Boolean).join(", ") || say("nothing_waits");
  const offset = state.offset ?? 0;
  const seconds = Math.round(Math.abs(offset) / 1000);
  return [
    outStrip(seen),
    h("div", { class: "field-state" },
      h("a", { href: "/field/", class: "field-link" }, say("field_log")),
      h("a", { href: "#waiting", class: `field-link waiting${waiting.length ? " has-some" : ""}` }, words),
      lights()),
    state.signedOut ? h("p", { class: "field-warn" }, say("signed_out"), " ",
      h("a", { class: "btn btn-primary", href: `/sign-in/?next=${encodeURIComponent(location.pathname)}` }, say("sign_in"))) : null,
    faultLine(),
    Math.abs(offset) > 2000 ? h("p", { class: "field-quiet" }, say("clock_off", {
      span: say("minutes_seconds", { m: Math.floor(seconds / 60), s: seconds % 60 }), side: say(offset < 0 ? "fast" : "slow"),
    })) : null,
  ];
}

