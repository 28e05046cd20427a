// Small parts of pages: words with numbers in them, elements, times.

const WORDS = JSON.parse(document.querySelector("meta[name=field-words]").content);

export function say(name, values = {}) {
  const text = WORDS[name];
  if (text === undefined) throw new Error(`No words for ${name}.`);
  return text.replace(/\{(\w+)\}/g, (_whole, key) => String(values[key]));
}

export function sayCount(name, n, values = {}) {
  return say(n === 1 ? `${name}_one` : `${name}_many`, { n, ...values });
}

// h("button", {class: "x", onclick: f}, "text", another element, null)
export function h(tag, attributes = {}, ...inside) {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (value === null || value === undefined || value === false) continue;
    if (name.startsWith("on")) element.addEventListener(name.slice(2), value);
    else element.setAttribute(name, value === true ? "" : value);
  }
  element.append(...inside.flat().filter((part) => part !== null && part !== undefined && part !== false));
  return element;
}

export function timeOf(moment, zone, seconds = false) {
  return new Intl.DateTimeFormat("en-GB", {
    timeZone: zone, hour: "2-digit", minute: "2-digit", hourCycle: "h23",
    ...(seconds ? { second: "2-digit" } : {}),
  }).format(new Date(moment));
}

export function dateOf(moment, zone) {
  return new Intl.DateTimeFormat("en-CA", {
    timeZone: zone, year: "numeric", month: "2-digit", day: "2-digit",
  }).format(new Date(moment));
}

export const minutesBetween = (from, to) => Math.round((to - from) / 60_000);

export function saveFile(name, value) {
  const address = URL.createObjectURL(new Blob([JSON.stringify(value, null, 1)], { type: "application/json" }));
  const link = h("a", { href: address, download: name });
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(address), 10_000);
}

// A way into the manual, beside what is being written here; nothing where the device carries none.
export const helpLink = (help) => (help ? h("p", {}, h("a", { class: "field-link", href: help.address, target: "_blank", rel: "noopener" }, help.words)) : null);
