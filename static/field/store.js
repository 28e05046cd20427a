// What a device keeps. Every row belongs to one person; nothing is ever read for another one.

const NAME = "plumbshadow-field";
let opening = null;

export function device() {
  let key = localStorage.getItem("field-device");
  if (!key) {
    key = crypto.randomUUID();
    localStorage.setItem("field-device", key);
  }
  return key;
}

// The person whose data this device may show; nobody after signing out.
export const holder = {
  get: () => Number(localStorage.getItem("field-holder")) || null,
  set: (person) => localStorage.setItem("field-holder", String(person)),
  clear: () => localStorage.removeItem("field-holder"),
};

// Somebody signed out here, and the server may not know yet.
export const leaving = {
  is: () => localStorage.getItem("field-leaving") !== null,
  start: () => { localStorage.setItem("field-leaving", "yes"); holder.clear(); },
  done: () => localStorage.removeItem("field-leaving"),
};

function open() {
  opening ??= new Promise((resolve, reject) => {
    const request = indexedDB.open(NAME, 1);
    request.onupgradeneeded = () => {
      const base = request.result;
      base.createObjectStore("days", { keyPath: "person" });
      base.createObjectStore("forms", { keyPath: ["person", "drill"] });
      base.createObjectStore("settings", { keyPath: ["person", "drill"] });
      base.createObjectStore("drafts", { keyPath: ["person", "drill", "student"] });
      base.createObjectStore("items", { keyPath: "key" }).createIndex("person", "person");
    };
    request.onsuccess = () => {
      request.result.onversionchange = () => { request.result.close(); opening = null; };
      request.result.onclose = () => { opening = null; };
      resolve(request.result);
    };
    request.onerror = () => { opening = null; reject(request.error); };
    request.onblocked = () => { opening = null; reject(new Error("blocked")); };
  });
  return opening;
}

// Told whenever another tab changed what is kept.
const tabs = new BroadcastChannel(NAME);
export const onOtherTab = (call) => { tabs.onmessage = call; };

// Runs `work` in one transaction and resolves once it is on the disk, not before.
export async function write(names, work) {
  const base = await open();
  return new Promise((resolve, reject) => {
    const change = base.transaction(names, "readwrite", { durability: "strict" });
    let result;
    change.oncomplete = () => {
      if ([names].flat().includes("items")) tabs.postMessage("items");
      resolve(result);
    };
    change.onerror = () => reject(change.error);
    change.onabort = () => reject(change.error || new Error("aborted"));
    try {
      result = work(...[names].flat().map((name) => change.objectStore(name)));
    } catch (fault) {
      change.abort();
      reject(fault);
    }
  });
}

export async function read(name, ask) {
  const base = await open();
  return new Promise((resolve, reject) => {
    const request = ask(base.transaction(name).objectStore(name));
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
}

export const items = (person) => read("items", (rows) => rows.index("person").getAll(person));
export const day = (person) => read("days", (rows) => rows.get(person));
export const form = (person, drill) => read("forms", (rows) => rows.get([person, drill]));
export const settings = (person, drill) => read("settings", (rows) => rows.get([person, drill]));
export const draft = (person, drill, student) =>
  read("drafts", (rows) => rows.get([person, drill, student]));

export const keep = (...some) => write("items", (rows) => { some.forEach((item) => rows.put(item)); });
export const keepDraft = (row) => write("drafts", (rows) => { rows.put(row); });

// A result, with what the next one starts from (null leaves that as it is), and the draft it was:
// all or nothing.
export function keepResult(item, carried, editing) {
  return write(["items", "settings", "drafts"], (rows, settingRows, drafts) => {
    rows.put(item);
    if (carried) settingRows.put({ person: item.person, drill: item.drill, values: carried });
    if (!editing) drafts.delete([item.person, item.drill, item.student]);
  });
}

// Changes an item as it stands now; `change` returns the new one, null to delete, nothing to leave.
export function alter(key, change) {
  return write("items", (rows) => {
    const request = rows.get(key);
    request.onsuccess = () => {
      const next = request.result && change(request.result);
      if (next) rows.put(next);
      if (next === null) rows.delete(key);
    };
  });
}
