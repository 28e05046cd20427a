// How many results wait on this device, for the person who is signed in and nobody else.
import { holder, read } from "./field/store.js";

const box = document.getElementById("waits-here");
const person = Number(box.dataset.person);

try {
  const items = holder.get() === person ? await read("items", (rows) => rows.index("person").getAll(person)) : [];
  const waiting = items.filter((item) => item.state !== "stored").length;
  const words = waiting === 0 ? box.dataset.none : waiting === 1 ? box.dataset.one : box.dataset.many.replace("{n}", waiting);
  box.querySelector("span").textContent = words;
  box.classList.toggle("notice-warning", waiting > 0);
} catch (fault) {
  box.querySelector("span").textContent = `${box.dataset.unknown} (${fault.name})`;
}
box.hidden = false;
