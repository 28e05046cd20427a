// Puts the page together from what this device carries, and again whenever that changes.

import * as alarm from "./alarm.js";
import { isOverdue } from "./headcount.js";
import { allOut, outPage } from "./outings.js";
import { drillList, drillOf, drillPage, lostPage } from "./pages.js";
import { h, say } from "./parts.js";
import * as queue from "./queue.js";
import { resultPage } from "./result.js";
import * as store from "./store.js";
import { lights, top } from "./top.js";
import { waitingPage } from "./waiting.js";

const head = document.getElementById("field-top");
const body = document.getElementById("field-body");
const toast = document.getElementById("field-toast");
const seen = { person: null, day: null, items: [], tell, exchange, reload };
let shown = null;
// Until the server has been asked once, this page does not know who is signed in.
let asked = false;

function tell(text, isBad = false) {
  toast.textContent = text;
  toast.className = isBad ? "is-bad" : "";
  toast.hidden = false;
  clearTimeout(tell.timer);
  tell.timer = setTimeout(() => { toast.hidden = true; }, isBad ? 20_000 : 4_000);
}

function exchange() {
  return queue.exchangeNow(afterExchange);
}

async function afterExchange() {
  await reload();
}

async function load() {
  const person = store.holder.get();
  if (seen.person !== person) shown = null;
  seen.person = person;
  const row = person ? await store.day(person) : null;
  seen.day = row?.day || null;
  seen.items = person ? await store.items(person) : [];
  if (row && queue.state.heard === null) queue.state.heard = row.heard;
  if (row && queue.state.offset === null) queue.state.offset = row.offset;
}

function closed() {
  head.replaceChildren(lights());
  alarm.ring([]);
  if (!asked && navigator.onLine) {
    body.replaceChildren(h("h1", {}, say("field_log")), h("p", { role: "status" }, say("asking")));
    return;
  }
  body.replaceChildren(h("h1", {}, say("field_log")), h("p", {}, say("closed")), h("p", {}, say("closed_more")),
    queue.state.fault ? h("p", { class: "field-quiet" }, say(queue.state.fault === "unable" ? "unable" : "sign_in_later")) : "",
    h("p", {}, h("a", { class: "btn btn-primary field-keep", href: `/sign-in/?next=${encodeURIComponent(location.pathname)}` }, say("sign_in"))));
}

async function page() {
  const found = location.pathname.match(/^\/field\/drills\/(\d+)\/$/);
  const [name, ...rest] = location.hash.slice(1).split("-");
  const argument = rest.join("-");
  if (name === "waiting") return waitingPage(seen);
  if (!found) return drillList(seen);
  const drill = drillOf(seen, Number(found[1]));
  if (!drill) return [h("p", { class: "field-warn" }, say("not_here")), ...drillList(seen)];
  if (name === "out") return outPage(seen, drill);
  if (name === "lost") return lostPage(drill);
  const editing = name === "edit" ? seen.items.find((item) => item.key === argument && item.state === "refused") : null;
  const pk = editing ? editing.student : Number(name === "student" ? argument : NaN);
  const student = drill.students.find((one) => one.pk === pk);
  return student ? resultPage(seen, drill, student, editing) : drillPage(seen, drill);
}

// One at a time: two that overlap would both draw a form, the second over what was typed in the first.
let drawing = Promise.resolve();
function reload() {
  drawing = drawing.then(redraw, redraw);
  return drawing;
}

// A form that is being filled in is left alone; all else is drawn anew where it differs.
async function redraw() {
  await load();
  if (!seen.day) { shown = null; closed(); return; }
  head.replaceChildren(...top(seen).filter(Boolean));
  ringIfDue();
  const place = location.pathname + location.hash;
  const isForm = /#(student|edit)-/.test(location.hash);
  if (isForm && shown === place) return;
  const isNew = shown !== place;
  const typed = document.activeElement?.id === "counted" ? document.activeElement.value : null;
  const fresh = h("div", {}, (await page()).filter(Boolean));
  // Drawn the same again, a button would be taken from under the finger.
  if (!isNew && fresh.innerHTML === body.innerHTML) return;
  body.replaceChildren(...fresh.childNodes);
  shown = place;
  if (typed) { const field = document.getElementById("counted"); if (field) { field.value = typed; field.focus(); } }
  if (isNew) { window.scrollTo(0, 0); body.querySelector("h1")?.focus(); }
}

function ringIfDue() {
  const now = queue.clock();
  alarm.ring(seen.day ? allOut(seen).filter((one) => isOverdue(one, now)).map((one) => one.name) : []);
}

async function start() {
  window.addEventListener("hashchange", reload);
  window.addEventListener("online", exchange);
  let soon = null;
  store.onOtherTab(() => { clearTimeout(soon); soon = setTimeout(reload, 100); });
  // Signed out, or another person, in another tab.
  window.addEventListener("storage", (event) => { if (event.key === "field-holder") reload(); });
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState !== "visible") return;
    alarm.stayAwake();
    exchange();
  });
  document.addEventListener("pointerdown", () => { alarm.arm(); }, { once: true });
  setInterval(() => {
    if (!seen.day) return;
    head.replaceChildren(...top(seen).filter(Boolean));
    ringIfDue();
  }, 5_000);
  if ("serviceWorker" in navigator) {
    navigator.serviceWorker.register("/field/worker.js", { scope: "/field/" })
      .catch((fault) => console.info("Without a service worker this page needs signal to open.", fault));
  }
  navigator.storage?.persist?.();
  await reload();
  alarm.stayAwake();
  await exchange();
  asked = true;
  if (!seen.day) await reload();
}

start();
