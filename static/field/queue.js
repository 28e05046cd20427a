// Sends what waits. A result has its key from the start, so sending it again is no harm: whatever
// is not answered stays and is sent again. Only an answer of the server takes it from the waiting.

import * as store from "./store.js";

const BATCH = 20;
const FIRST_WAIT_MS = 4_000;
const LONGEST_WAIT_MS = 300_000;
const PATIENCE_MS = 30_000;
const KEPT_MS = 3 * 24 * 3600 * 1000;

let token = null;
let failures = 0;
let onesAtATime = false;
let timer = null;
let wantedAgain = false;
let running = null;
export const state = { offset: null, heard: null, signedOut: false, other: null, fault: null };

// `isServed`: the server was reached and could not take it.
export class Silent extends Error {
  constructor(words, isServed = false) {
    super(words);
    this.isServed = isServed;
  }
}

// The time by the server's clock as far as it is known, milliseconds.
export const clock = () => {
  const offset = state.offset ?? 0;
  return Date.now() + (Math.abs(offset) > 2000 ? offset : 0);
};

function cookie() {
  const found = document.cookie.match(/(?:^|;\s*)csrftoken=([^;]+)/);
  return found ? found[1] : token;
}

async function ask(address, options = {}) {
  const started = Date.now();
  let answer;
  try {
    const headers = { "X-Field-Device": store.device(), Accept: "application/json", ...options.headers };
    answer = await fetch(address, {
      ...options, headers, credentials: "same-origin", redirect: "error", cache: "no-store",
      signal: AbortSignal.timeout(PATIENCE_MS),
    });
    if (answer.status >= 500 || answer.status === 429) throw new Silent(String(answer.status), true);
    const body = answer.status === 403 ? {} : await answer.json();
    const ended = Date.now();
    if (body.now && ended - started < 10_000) {
      state.offset = Math.round(Date.parse(body.now) - (started + ended) / 2);
    }
    return { status: answer.status, body };
  } catch (fault) {
    // No signal, a proxy's own page instead of an answer, or a server that stopped half way.
    throw fault instanceof Silent ? fault : new Silent(String(fault));
  }
}

function wanted(item) {
  const { person, state: _state, tries, answer, said, names, revision, ...sent } = item;
  return sent;
}

async function post(person, batch, waiting, again = true) {
  const body = { person, device: store.device(), clock: new Date().toISOString(), waiting };
  for (const kind of ["results", "headcounts", "notes"]) {
    body[kind] = batch.filter((item) => item.kind === kind)
      .map((item) => (kind === "notes" ? { ...wanted(item), said: item.said } : wanted(item)));
  }
  const answer = await ask("/field/send/", {
    method: "POST",
    headers: { "Content-Type": "application/json", "X-CSRFToken": cookie() || "" },
    body: JSON.stringify(body),
  });
  if (answer.status === 403 && again) {
    // The token went with the session; a fresh one comes with the day.
    await fetchDay(person);
    return state.signedOut || state.other ? null : post(person, batch, waiting, false);
  }
  if (answer.status === 401) { state.signedOut = true; return null; }
  if (answer.status === 409) { state.other = answer.body.person; return null; }
  if (answer.status !== 200) throw new Silent(answer.body.sentence || String(answer.status));
  state.signedOut = false;
  state.other = null;
  return answer.body.answers;
}

async function settle(batch, answers) {
  for (const item of batch) {
    const answer = answers[item.key];
    await store.alter(item.key, (now) => {
      // Edited in another tab while it was on its way: the newer one is still to be sent.
      if (now.revision !== item.revision) return undefined;
      if (!answer) return { ...now, tries: (now.tries || 0) + 1 };
      const next = answer.state === "already" ? "stored" : answer.state;
      return { ...now, state: next, answer, answered_at: Date.now() };
    });
  }
}

async function unsent(person) {
  const rows = await store.items(person);
  return rows.filter((item) => item.state === "waiting")
    .sort((a, b) => (a.tries || 0) - (b.tries || 0) || a.made_at.localeCompare(b.made_at));
}

// Sends all that waits of a person, batch by batch; throws Silent where the server is not heard.
export async function flush(person) {
  const size = onesAtATime ? 1 : BATCH;
  for (let round = 0; ; round += 1) {
    const waiting = await unsent(person);
    const batch = waiting.slice(0, size);
    if (!batch.length && round) { onesAtATime = false; return; }
    try {
      const answers = await post(person, batch, waiting.length);
      if (answers === null) return;
      await settle(batch, answers);
      state.heard = clock();
    } catch (fault) {
      // One that the server cannot take goes behind the others, so that it holds up none.
      onesAtATime = Boolean(fault.isServed);
      await settle(batch, {});
      throw fault;
    }
    if (!batch.length) return;
  }
}

// What this person carries, fetched anew; returns it, or null where they are not signed in.
export async function fetchDay(person) {
  const answer = await ask("/field/day.json");
  if (answer.status !== 200) { state.signedOut = true; return null; }
  token = answer.body.token;
  const day = answer.body;
  if (person && day.person.id !== person) { state.other = day.person.id; return day; }
  state.signedOut = false;
  state.other = null;
  return day;
}

export async function keepDay(day) {
  const person = day.person.id;
  const row = { person, day, offset: state.offset, heard: clock() };
  await store.write("days", (rows) => { rows.put(row); });
  state.heard = row.heard;
  for (const drill of day.drills) {
    const kept = await store.form(person, drill.pk);
    if (kept && kept.tag === drill.form_tag) continue;
    const answer = await ask(`/field/drills/${drill.pk}/form.json`);
    if (answer.status === 200) {
      const form = { person, drill: drill.pk, tag: drill.form_tag, ...answer.body };
      await store.write("forms", (rows) => { rows.put(form); });
    }
  }
  await forgetOld(person);
}

// What the server has stored is shown for some days and then goes; what it has not, never goes.
async function forgetOld(person) {
  const limit = Date.now() - KEPT_MS;
  for (const item of await store.items(person)) {
    if (item.state === "stored" && item.answered_at < limit) await store.alter(item.key, () => null);
  }
}

// One exchange at a time over all tabs. Where the browser has no locks, two may send the same: the
// server stores it once all the same.
function alone(work) {
  return navigator.locks ? navigator.locks.request("plumbshadow-field-send", work) : work();
}

// Signing out without signal closes the page at once; the server is told as soon as it is heard.
async function finishLeaving() {
  const answer = await fetch("/sign-out/", {
    method: "POST", headers: { "X-CSRFToken": cookie() || "" }, credentials: "same-origin",
    signal: AbortSignal.timeout(PATIENCE_MS),
  });
  if (answer.status >= 500) throw new Silent(String(answer.status));
  store.leaving.done();
}

async function exchange(onChange) {
  const person = store.holder.get();
  try {
    if (!person && store.leaving.is()) await finishLeaving();
    if (!person) {
      const day = await fetchDay(null);
      if (day) {
        store.holder.set(day.person.id);
        state.other = null;
        await keepDay(day);
        // Whoever signs in again has waited long enough.
        await alone(() => flush(day.person.id));
      }
    } else {
      await alone(() => flush(person));
      if (!state.signedOut) {
        const day = await fetchDay(person);
        if (day) {
          // Somebody else signed in on this device: theirs is shown from now on, and the first
          // one's is left where it is until they come back.
          store.holder.set(day.person.id);
          if (state.other) state.fault = null;
          await keepDay(day);
          if (state.other) { state.other = null; await alone(() => flush(day.person.id)); }
        }
      }
    }
    failures = 0;
    state.fault = null;
  } catch (fault) {
    failures += 1;
    state.fault = fault instanceof Silent ? (fault.isServed ? "unable" : "silent") : String(fault);
    if (!(fault instanceof Silent)) console.warn(fault);
  }
  await onChange();
}

const pauseMs = () => {
  const longest = Math.min(LONGEST_WAIT_MS, FIRST_WAIT_MS * 2 ** (failures - 1));
  return longest * (0.5 + Math.random() / 2);
};

// Now, and again and again: soon after a failure, later after many.
export function exchangeNow(onChange, restMs = 30_000) {
  clearTimeout(timer);
  if (running) {
    // What was kept since the running one began may not be in it: one more follows it.
    wantedAgain = true;
    return running;
  }
  running = exchange(onChange).finally(() => {
    running = null;
    clearTimeout(timer);
    const rest = wantedAgain ? 250 : failures ? pauseMs() : restMs;
    wantedAgain = false;
    timer = setTimeout(() => exchangeNow(onChange, restMs), rest);
  });
  return running;
}
