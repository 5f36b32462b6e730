// Versions: what holds of the earlier one is taken along to the newest.

import { send } from "./ask.js";
import { count } from "./clock.js";
import { bind } from "./keys.js";

const code = document.body.dataset.code;
const button = document.getElementById("along");
const told = document.getElementById("along-told");

async function along() {
  button.disabled = true;
  try {
    const { unsaid } = await send("POST", `/entries/${code}/versions/along`);
    const left = unsaid.length ? ` This could not be said of the new version: ${unsaid.join("; ")}.` : "";
    told.replaceChildren(`Taken along.${left} `, Object.assign(document.createElement("a"), { href: `/entries/${code}/reading`, textContent: "Read on" }));
  } catch (error) {
    told.textContent = error.message;
    button.disabled = false;
  }
}

if (button) {
  button.addEventListener("click", along);
  bind([["a", "Take along what holds", () => button.disabled || along()]]);
}
bind([["r", "Read the newest version", () => location.assign(`/entries/${code}/reading`)]]);
count(code);
