"""Devices that log through a bad connection: real scripts in real pages, the faults around them.

Messages get lost, come late, twice or not at all, answers too or only half of them; the server
is busy, the device has no room, pages are loaded anew in the midst of a send.
"""

import random
from collections import Counter
from dataclasses import dataclass, field

from assessments.models import Attempt
from tests.assessments.field.hand import kept, log, opened, until

FAULTS = """
(() => {
    const tally = (name, n) =>
        localStorage.setItem(name, Number(localStorage.getItem(name) || 0) + n);
    const pick = (weights) => {
        let left = Math.random() * Object.values(weights).reduce((a, b) => a + b);
        return Object.keys(weights).find((name) => (left -= weights[name]) < 0);
    };
    const isBad = () => localStorage.getItem("bad") === "yes";
    const real = window.fetch.bind(window);
    window.fetch = async (address, options) => {
        const isSend = String(address).endsWith("/field/send/");
        const number = isSend ? JSON.parse(options.body).results.length : 0;
        if (!number) return real(address, options);
        const happens = isBad() ? pick({
            answered: 30, "answer lost": 20, "half an answer": 10, "never arrives": 15,
            "arrives twice": 10, late: 10, "server busy": 5,
        }) : "answered";
        tally(`happened ${happens}`, 1);
        const send = async () => {
            tally("sent", number);
            const answer = await real(address, { ...options, signal: undefined });
            return new Response(await answer.text(), { status: answer.status });
        };
        if (happens === "answered") return send();
        if (happens === "server busy") return new Response("", { status: 503 });
        if (happens === "arrives twice") return (await Promise.all([send(), send()]))[1];
        if (happens === "late") setTimeout(send, Math.random() * 300);
        if (happens === "never arrives" || happens === "late") throw new TypeError("no route");
        const whole = await (await send()).text();
        if (happens === "half an answer") return new Response(whole.slice(0, whole.length / 2));
        throw new TypeError("connection reset");
    };
    const put = IDBObjectStore.prototype.put;
    IDBObjectStore.prototype.put = function (...row) {
        if (isBad() && this.name === "items" && Math.random() < 0.03) {
            tally("happened no room", 1);
            throw new DOMException("", "QuotaExceededError");
        }
        return put.apply(this, row);
    };
})();
"""
STEP = """async ([pattern, number]) => {
    const store = await import("/static/field/store.js");
    const queue = await import("/static/field/queue.js");
    const keys = [];
    for (let n = 0; n < number; n += 1) {
        const made = { key: crypto.randomUUID(), made_at: new Date().toISOString() };
        const item = { ...pattern, ...made, state: "waiting", tries: 0, answer: null };
        try {
            await store.keepResult(item, {}, false);
            keys.push(item.key);
        } catch (fault) {
            if (fault.name !== "QuotaExceededError") throw fault;
            // Said to the hand that logs: it is not counted as logged.
        }
    }
    queue.flush(pattern.person).catch(() => {});
    await new Promise((done) => setTimeout(done, Math.random() * 60));
    return keys;
}"""
WAITING = """async (person) => {
    const store = await import("/static/field/store.js");
    return (await store.items(person)).filter((item) => item.state !== "stored").length;
}"""
FLUSH = (
    """async (person) => (await import("/static/field/queue.js")).flush(person).catch(() => {})"""
)


@dataclass
class Season:
    """What became of it, counted."""

    logged: int
    sent: int
    stored: int
    doubled: int
    lost: int
    happened: Counter = field(default_factory=Counter)


def season(contexts, drill, *, results: int, seed: int) -> Season:
    """Log so many results on the signed-in devices `contexts` and count what the server has."""
    chance = random.Random(seed)
    pages, patterns, keys = [], [], []
    for context in contexts:
        context.add_init_script(FAULTS)
        page = opened(context, drill)
        log(page)
        until(page, lambda page=page: [row["state"] for row in kept(page, "items")] == ["stored"])
        pattern = kept(page, "items")[0]
        keys.append(pattern["key"])
        page.evaluate("localStorage.setItem('bad', 'yes')")
        pages.append(page)
        patterns.append(pattern)
    while len(keys) < results:
        which = chance.randrange(len(pages))
        keys += pages[which].evaluate(STEP, [patterns[which], chance.randint(0, 3)])
        if chance.random() < 0.08:
            pages[which].reload(wait_until="commit")
            pages[which].wait_for_selector(".waiting")
    for page, pattern in zip(pages, patterns, strict=True):
        page.evaluate("localStorage.setItem('bad', 'no')")
        page.evaluate(FLUSH, pattern["person"])
        until(page, lambda page=page, by=pattern["person"]: page.evaluate(WAITING, by) == 0)
    return _counted(pages, keys)


def _counted(pages, keys) -> Season:
    happened = Counter()
    for page in pages:
        for name, number in page.evaluate("Object.entries(localStorage)"):
            if name == "sent" or name.startswith("happened "):
                happened[name.removeprefix("happened ")] += int(number)
    stored = [str(key) for key in Attempt.objects.values_list("key", flat=True)]
    return Season(
        logged=len(keys),
        sent=happened.pop("sent"),
        stored=len(stored),
        # A key is stored once by a rule of the table, so that a double would have another key.
        doubled=len(stored) - len(set(stored) & set(keys)),
        lost=len(set(keys) - set(stored)),
        happened=happened,
    )
