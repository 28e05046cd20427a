// Being loud when someone is overdue, as far as a browser lets a page be.

import { say } from "./parts.js";

let audio = null;
let wake = null;
let ringing = null;
const title = document.title;

export const isArmed = () => audio !== null && audio.state === "running";
export const isAwake = () => wake !== null && !wake.released;

// Browsers give a page its voice only at a tap.
export async function arm() {
  audio ??= new AudioContext();
  if (audio.state !== "running") await audio.resume();
  await stayAwake();
}

export function beep() {
  if (!isArmed()) return;
  const start = audio.currentTime;
  for (const [at, pitch] of [[0, 880], [0.25, 1175], [0.5, 880], [0.75, 1175]]) {
    const tone = audio.createOscillator();
    const level = audio.createGain();
    tone.type = "square";
    tone.frequency.value = pitch;
    level.gain.value = 0.4;
    tone.connect(level).connect(audio.destination);
    tone.start(start + at);
    tone.stop(start + at + 0.2);
  }
}

export async function stayAwake() {
  if (!("wakeLock" in navigator) || document.visibilityState !== "visible" || isAwake()) return;
  try {
    wake = await navigator.wakeLock.request("screen");
  } catch (fault) {
    // Refused on a low battery, say: the page shows that the screen may go dark.
    console.info(fault);
    wake = null;
  }
}

// `names` are those overdue now; an empty list is silence.
export function ring(names) {
  document.title = names.length ? say("said_of", { name: say("overdue_title"), text: names.join(", ") }) : title;
  document.documentElement.dataset.overdue = names.length ? "yes" : "no";
  if (!names.length) {
    clearInterval(ringing);
    ringing = null;
    return;
  }
  if (ringing) return;
  const loud = () => {
    beep();
    if (navigator.vibrate && navigator.userActivation?.hasBeenActive) navigator.vibrate([400, 150, 400, 150, 800]);
  };
  loud();
  ringing = setInterval(loud, 8_000);
}
