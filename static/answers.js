/* A part of a page that was asked for and did not come: said on top, until the next one comes. */
"use strict";

const notice = document.getElementById("no-answer");

document.body.addEventListener("htmx:afterRequest", (event) => {
  const { successful, xhr, requestConfig } = event.detail;
  notice.hidden = successful;
  if (successful) return;
  notice.querySelector("[data-busy]").hidden = xhr.status !== 503;
  notice.querySelector("[data-lost]").hidden = xhr.status === 503;
  // What a page asks for by itself while someone types must not take them away from there.
  if (requestConfig.verb !== "get") notice.scrollIntoView({ block: "nearest" });
});
