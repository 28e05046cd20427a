// The page of one result: its form, or the reason why there is none, kept on the device and sent.

import * as forms from "./form.js";
import { h, helpLink, say } from "./parts.js";
import { state } from "./queue.js";
import * as store from "./store.js";

// `editing` is a result that came back, to be mended.
export async function resultPage(seen, drill, student, editing) {
  const form = await store.form(seen.person, drill.pk);
  const trail = h("p", { class: "field-trail" },
    h("a", { class: "field-link", href: editing ? "#waiting" : "#" }, say(editing ? "waiting_title" : "another")));
  const head = [trail, h("h1", {}, student.name),
    h("p", { class: "field-kind" }, drill.title, h("br"), say(drill.assessed ? "assessed" : "practice"))];
  if (!form) return [...head, h("p", { class: "field-warn" }, say("not_carried"))];

  const draft = editing ? null : await store.draft(seen.person, drill.pk, student.pk);
  const last = await store.settings(seen.person, drill.pk);
  const start = { degrees_per_hand: student.degrees_per_hand, ...last?.values };
  const wasNone = editing?.fields.no_result;
  const values = wasNone ? start : editing?.fields || { ...start, ...draft?.fields };
  const box = h("div", { class: "field-fields" });
  const told = h("div", { role: "alert", class: "field-told" });
  const drawn = (check, taken) => forms.draw(box, form, check, taken, drill.zone);
  drawn(start.check || form.check, start);
  const untouched = forms.read(box);
  const differs = (name, value) => JSON.stringify(value) !== JSON.stringify(untouched[name]);
  // What was typed here; the rest is as the last result has it by the time the draft is taken up.
  const typed = () => Object.fromEntries(Object.entries(forms.read(box)).filter(([name, value]) => differs(name, value)));
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
      const row = { person: seen.person, drill: drill.pk, student: student.pk, fields: typed() };
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

  function keep(event) {
    event.preventDefault();
    const gaps = forms.missing(box);
    if (gaps.length) {
      forms.showFaults(box, gaps);
      box.querySelector(`[name="${gaps[0].field}"]`).focus();
      return undefined;
    }
    const fields = forms.read(box);
    const carried = Object.fromEntries(form.carried.filter((name) => name in fields).map((name) => [name, fields[name]]));
    return keepItem(fields, forms.said(box), carried);
  }

  async function keepItem(fields, said, carried) {
    clearTimeout(pause);
    const item = {
      key: editing?.key || crypto.randomUUID(), kind: "results", person: seen.person, state: "waiting",
      drill: drill.pk, method: drill.method, student: student.pk, fields, standard: drill.standard,
      accepted: editing?.accepted || [], made_at: editing?.made_at || new Date().toISOString(),
      offset_ms: editing ? editing.offset_ms : state.offset, said,
      names: { student: student.name, drill: drill.title }, tries: 0, revision: (editing?.revision || 0) + 1,
    };
    const buttons = [button, ...without.querySelectorAll("button")];
    buttons.forEach((one) => { one.disabled = true; });
    try {
      await store.keepResult(item, carried, Boolean(editing));
    } catch (fault) {
      const isFull = fault?.name === "QuotaExceededError";
      told.replaceChildren(h("p", { class: "field-warn" }, isFull ? say("full") : say("not_kept", { fault: fault?.message || fault })));
      told.scrollIntoView({ block: "center" });
      buttons.forEach((one) => { one.disabled = false; });
      return;
    }
    seen.tell(say("kept", { name: student.name }));
    location.hash = editing ? "#waiting" : "#";
    seen.exchange();
  }

  const button = h("button", { type: "submit", class: "btn btn-primary field-keep" }, say(editing ? "keep_again" : "keep"));
  const without = noResult(form, wasNone ? editing.fields : {}, (fields, said) => {
    // What was typed for a result is not kept beside none.
    const isTyped = !editing && Object.keys(typed()).length > 0;
    if (isTyped && !window.confirm(say("no_result_ask"))) return;
    keepItem(fields, said, null);
  });
  const element = h("form", { class: "field-form", novalidate: true, autocomplete: "off", onsubmit: keep, oninput: changed, onchange: changed },
    told, box, h("div", { class: "field-foot" }, button));
  return [...head, element, without, helpLink(drill.help)];
}

// Two taps: open it, and the reason.
function noResult(form, values, keep) {
  const words = h("input", { type: "text", class: "form-control", id: "none-words", maxlength: 300, value: values.remark || "" });
  const told = h("div", { role: "alert" });
  function chosen(reason, name) {
    const remark = words.value.trim();
    if (reason === "other" && !remark) {
      told.replaceChildren(h("p", { class: "field-fault" }, say("no_result_words_needed")));
      words.focus();
      return;
    }
    const said = [[say("no_result").replace("…", ""), name], ...(remark ? [[say("no_result_words"), remark]] : [])];
    keep({ no_result: reason, remark }, said);
  }
  return h("details", { class: "field-none", open: Boolean(values.no_result) },
    h("summary", { class: "btn btn-outline-primary field-keep" }, say("no_result")),
    h("p", {}, say("no_result_why")),
    h("div", { class: "field-reasons" }, (form.reasons || []).map(([reason, name]) => h("button", {
      type: "button", class: "btn btn-outline-primary", value: reason, onclick: () => chosen(reason, name),
    }, name))),
    h("label", { for: "none-words" }, say("no_result_words")), words, told);
}
