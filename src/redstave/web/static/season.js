// The season: files are added by dropping or choosing them, computing is watched, thresholds moved.

import { get, send } from "./ask.js";
import { say, tellSaved } from "./say.js";

const EVERY_MS = 600;
const entries = document.getElementById("entries");
const checks = document.getElementById("checks");
const form = document.getElementById("add");
const came = document.getElementById("came");
const again = document.getElementById("again");
let watching = 0;
let adding = 0; // calls that still send files

// ---- what is shown -----------------------------------------------------------------------------

async function refresh() {
  entries.innerHTML = await get("/entries"); // made by the desk, words escaped
  const known = new Set([...again.options].map((one) => one.value));
  for (const code of entries.querySelectorAll(".entries .code")) {
    const name = code.textContent;
    if (!known.has(name)) again.append(new Option(`a further version of ${name}`, name));
  }
}

function told(error) {
  say(error.message);
  tellSaved(error.message, true);
}

// ---- computing ---------------------------------------------------------------------------------

async function watch() {
  clearTimeout(watching);
  const now = await get("/computing");
  const bar = entries.querySelector("progress");
  const busy = bar ? +bar.value : -1;
  if (now.running !== Boolean(bar) || (now.running && now.finished !== busy)) {
    const held = document.activeElement?.id;
    await refresh();
    if (held) document.getElementById(held)?.focus();
    if (!now.running) say(now.failed.length ? `Computing has ended; ${now.failed.length} failed` : "Everything is computed");
  }
  const step = document.getElementById("step");
  if (step) step.textContent = `${now.code || "Beginning"}: ${now.step || "…"} (${Math.min(now.finished + 1, now.of)} of ${now.of})`;
  if (now.running) watching = setTimeout(() => watch().catch(told), EVERY_MS);
}

entries.addEventListener("click", async (event) => {
  try {
    if (event.target.id === "compute") await send("POST", "/computing", {});
    else if (event.target.id === "stop") await send("DELETE", "/computing");
    else return;
    await refresh();
    await watch();
  } catch (error) {
    told(error);
  }
});

// ---- adding ------------------------------------------------------------------------------------

async function add(files) {
  adding += 1;
  const good = await sent(files).finally(() => (adding -= 1));
  await refresh();
  if (good) await watch();
}

// Whoever leaves while files are being sent is asked first: the rest of them would be left behind.
addEventListener("beforeunload", (event) => adding && event.preventDefault());

async function sent(files) {
  came.replaceChildren();
  const as = again.value;
  let good = 0;
  for (const [at, file] of [...files].entries()) {
    const line = document.createElement("li");
    const which = files.length === 1 ? "The file" : `File ${at + 1} of ${files.length}`;
    line.textContent = `${which} is being read …`;
    came.append(line);
    const body = new FormData();
    body.append("file", file);
    if (as) body.append("again", as);
    try {
      const { code } = await send("POST", "/files", body);
      good += 1;
      line.textContent = as ? `${which} is a further version of ${code}.` : `${which} is ${code}.`;
    } catch (error) {
      line.className = "wrong";
      line.textContent = `${which} was not added: ${error.message}`;
    }
  }
  again.value = "";
  form.reset();
  return good;
}

form.addEventListener("submit", (event) => event.preventDefault());
document.getElementById("files").addEventListener("change", (event) => event.target.files.length && add([...event.target.files]).catch(told));

for (const kind of ["dragenter", "dragover"]) {
  document.addEventListener(kind, (event) => {
    if (!event.dataTransfer?.types.includes("Files")) return;
    event.preventDefault();
    form.classList.add("over");
  });
}
document.addEventListener("dragleave", (event) => !event.relatedTarget && form.classList.remove("over"));
document.addEventListener("drop", (event) => {
  if (!event.dataTransfer?.files.length) return;
  event.preventDefault();
  form.classList.remove("over");
  add([...event.dataTransfer.files]).catch(told);
});

// ---- thresholds --------------------------------------------------------------------------------

async function put(url, body, words) {
  const opened = new Set([...checks.querySelectorAll("details[open] .slug")].map((one) => one.textContent));
  checks.innerHTML = await send("PUT", url, body);
  for (const one of checks.querySelectorAll("details")) one.open ||= opened.has(one.querySelector(".slug").textContent);
  await refresh();
  tellSaved(words);
  say(words);
}

function move(line, value) {
  return put(`/checks/${line.dataset.slug}/${line.dataset.name}`, { value }, value === null ? "Put back" : "Moved");
}

checks.addEventListener("submit", (event) => {
  event.preventDefault();
  const value = event.target.elements.value.valueAsNumber;
  if (Number.isNaN(value)) return say("Write a number");
  return move(event.target, value).catch(told);
});
checks.addEventListener("click", (event) => {
  const line = event.target.closest(".move");
  if (event.target.classList.contains("back")) move(line, null).catch(told);
  if (event.target.classList.contains("switch")) {
    const on = event.target.dataset.on === "true";
    put(`/checks/${event.target.dataset.slug}`, { on }, on ? "Taken in again" : "Left out").catch(told);
  }
});

// ---- the seal ----------------------------------------------------------------------------------

const sure = document.getElementById("sure");
const open = document.getElementById("open");
sure?.addEventListener("change", () => (open.disabled = !sure.checked));
open?.addEventListener("click", () => send("POST", "/names").then(() => location.reload(), told));

if (entries.querySelector("progress")) watch().catch(told);
