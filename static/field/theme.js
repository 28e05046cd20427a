// The light the page is read in, before anything is drawn: kept on the device, not with a person.
"use strict";

document.documentElement.dataset.light = localStorage.getItem("field-light") || "bright";
