// Who is out, from what was noted on any device in any order. The server counts in the same way.

// Events are {key, outing, kind, students, due_at, number, noted_at}; the order does not matter.
export function whoIsOut(events) {
  const back = new Set();
  const due = new Map();
  const later = (a, b) => a.noted_ms - b.noted_ms || (a.key < b.key ? -1 : 1);
  const timed = events.map((event) => ({ ...event, noted_ms: Date.parse(event.noted_at) }));
  for (const event of timed) {
    if (event.kind === "back") event.students.forEach((one) => back.add(`${event.outing} ${one}`));
    if (event.kind === "out" || event.kind === "due") {
      const known = due.get(event.outing);
      if (!known || later(known, event) < 0) due.set(event.outing, event);
    }
  }
  const out = [];
  for (const event of timed) {
    if (event.kind !== "out") continue;
    for (const student of event.students) {
      if (back.has(`${event.outing} ${student}`)) continue;
      out.push({ student, outing: event.outing, since: event.noted_at, due_at: due.get(event.outing).due_at });
    }
  }
  return out.sort((a, b) => (Date.parse(a.due_at) || Infinity) - (Date.parse(b.due_at) || Infinity)
    || a.student - b.student);
}

export const isOverdue = (one, now) => one.due_at !== null && Date.parse(one.due_at) <= now;

export function lastCount(events) {
  return events.filter((event) => event.kind === "count")
    .sort((a, b) => Date.parse(b.noted_at) - Date.parse(a.noted_at))[0] || null;
}

// What the server told of a drill, and what this device noted and has not heard back about.
export function merged(drill, items) {
  const known = new Set(drill.events.map((event) => event.key));
  const own = items.filter((item) => item.kind === "headcounts" && item.drill === drill.pk
    && item.state !== "refused" && !known.has(item.key));
  return [...drill.events, ...own.map((item) => ({ ...item, kind: item.what }))];
}
