{% autoescape off %}// Keeps the page, scripts and stylesheets of the field log for where there is no signal.
// Nothing personal is kept here: what belongs to a person is in the database of the page.
"use strict";

const NAME = "plumbshadow-field-{{ version }}";
const FILES = [{% for file in files %}"{{ file|escapejs }}"{% if not forloop.last %}, {% endif %}{% endfor %}];
const SHELL = FILES[0];
const MESSAGES = /\.json$|\/send\/$|\/worker\.js$/;

self.addEventListener("install", (event) => {
  // Fetched past the browser's own cache: one old file among new ones would not fit.
  const requests = FILES.map((file) => new Request(file, { cache: "reload" }));
  event.waitUntil(caches.open(NAME).then((cache) => cache.addAll(requests)).then(() => self.skipWaiting()));
});

self.addEventListener("activate", (event) => {
  event.waitUntil((async () => {
    for (const name of await caches.keys()) {
      if (name.startsWith("plumbshadow-field-") && name !== NAME) await caches.delete(name);
    }
    await self.clients.claim();
  })());
});

self.addEventListener("fetch", (event) => {
  const address = new URL(event.request.url);
  if (event.request.method !== "GET" || address.origin !== self.location.origin) return;
  if (MESSAGES.test(address.pathname)) return;
  const isPage = event.request.mode === "navigate" && address.pathname.startsWith(SHELL);
  if (!isPage && !FILES.includes(address.pathname)) return;
  event.respondWith((async () => {
    const cache = await caches.open(NAME);
    return (await cache.match(isPage ? SHELL : address.pathname)) || fetch(event.request);
  })());
});
{% endautoescape %}
