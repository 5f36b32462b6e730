// The letter: typed on the left, shown on the right as it goes out.

import { Refused, get, inTurn, send } from "./ask.js";
import { chooseText } from "./clash.js";
import { count } from "./clock.js";
import { editable } from "./edit.js";
import { Kept } from "./keep.js";
import { bind } from "./keys.js";
import { say, tellSaved } from "./say.js";

const PAUSE_MS = 900;
const code = document.body.dataset.code;
const guest = document.body.dataset.guest !== undefined;
const url = `/entries/${code}`;
const frame = document.getElementById("preview");
const remarks = document.getElementById("remarks");
let waiting = 0;

// ---- shown as it goes out ----------------------------------------------------------------------

function soon() {
  clearTimeout(waiting);
  waiting = setTimeout(() => show().catch(told), PAUSE_MS);
}

// The letter is loaded anew and stays where it was being looked at.
async function show() {
  const at = frame.contentWindow?.scrollY ?? 0;
  frame.addEventListener("load", () => frame.contentWindow.scrollTo({ top: at, behavior: "instant" }), { once: true });
  frame.src = `${url}/letter/preview?${Date.now()}`;
  const { counts, notes } = await get(`${url}/letter/counts`);
  document.getElementById("counts").textContent = `${counts.words} words · ${counts.remarks} remarks: ${counts.strengths} strengths, ${counts.main} main, ${counts.smaller} smaller`;
  document.getElementById("notes").replaceChildren(...notes.map((words) => Object.assign(document.createElement("li"), { textContent: words })));
}

function lookAt(number) {
  frame.contentDocument?.getElementById(`remark-${number}`)?.scrollIntoView({ block: "start", behavior: "smooth" });
}

function told(error) {
  say(error.message);
  tellSaved(error.message, true);
}

// ---- the letter's own texts --------------------------------------------------------------------

// What is typed here is the text itself: saved at every pause, shown at the next.
function ownText(area) {
  const kept = new Kept(area, code, area.dataset.field, { onClash: (theirs, revision) => clash(area, kept, theirs, revision) });
  const put = kept.put.bind(kept);
  kept.put = async (...asked) => {
    await put(...asked);
    if (!kept.dirty) soon();
  };
  kept.restore().catch(told);
  const hint = area.parentElement.querySelector(".suggested");
  const hide = () => hint && (hint.hidden = area.value.trim() !== "");
  area.addEventListener("input", hide);
  hint?.querySelector(".use")?.addEventListener("click", (event) => {
    area.value = event.target.dataset.words;
    area.dispatchEvent(new Event("input"));
    area.focus();
  });
  hide();
}

function clash(area, kept, theirs, revision) {
  chooseText(area, theirs, (text) => {
    area.value = text;
    kept.revision = revision;
    kept.changed();
    area.focus();
  });
}

// ---- remarks -----------------------------------------------------------------------------------

function change(item, given) {
  return inTurn(() => put(item, given));
}

async function put(item, given) {
  const note = await send("PUT", `${url}/remarks/${item.dataset.id}`, { revision: +item.dataset.revision, ...given });
  const found = /data-revision="(\d+)"/.exec(note);
  item.dataset.revision = found ? found[1] : +item.dataset.revision + 1;
  tellSaved("Saved");
  soon();
}

function remark(item) {
  for (const area of item.querySelectorAll("textarea")) {
    const commit = (text) => change(item, { [area.dataset.what]: text });
    commit.over = (revision, text) => {
      item.dataset.revision = revision;
      return change(item, { [area.dataset.what]: text }).catch(told);
    };
    editable(area, code, area.dataset.field, commit);
    area.addEventListener("focus", () => lookAt(item.dataset.number));
  }
  for (const select of item.querySelectorAll("select")) {
    select.addEventListener("change", () => change(item, { [select.dataset.what]: select.value }).then(again).catch(stale));
  }
}

function stale(error) {
  if (error instanceof Refused && error.status === 409) {
    tellSaved("This remark was changed in another tab; it is shown as it stands there", true);
    return again();
  }
  return told(error);
}

async function again(held = document.activeElement?.id) {
  remarks.innerHTML = await get(`${url}/letter/remarks`); // made by the desk, words escaped
  remarks.querySelectorAll(".remark").forEach(remark);
  if (held) document.getElementById(held)?.focus();
  soon();
}

async function move(item, steps) {
  const all = [...remarks.querySelectorAll(".remark")];
  const group = [...item.parentElement.children];
  const other = group[group.indexOf(item) + steps];
  if (!other) return;
  const ids = all.map((one) => one.dataset.id);
  const [here, there] = [ids.indexOf(item.dataset.id), ids.indexOf(other.dataset.id)];
  [ids[here], ids[there]] = [ids[there], ids[here]];
  await send("PUT", `${url}/letter/order`, { ids });
  await again();
  const moved = document.getElementById(`remark-${item.dataset.id}`);
  moved?.querySelector(`[data-act="${steps < 0 ? "up" : "down"}"]:not(:disabled), [data-act="up"]:not(:disabled), [data-act="down"]`)?.focus();
  say(`Now remark ${moved?.dataset.number}`);
}

const acts = {
  weight: (item, button) => change(item, { weight: button.dataset.to }).then(() => again()),
  up: (item) => move(item, -1),
  down: (item) => move(item, 1),
  back: async (item) => {
    const next = item.nextElementSibling || item.previousElementSibling;
    await send("DELETE", `${url}/remarks/${item.dataset.id}`, { revision: +item.dataset.revision });
    say("Taken out of the letter; it is kept in the season");
    await again(next?.querySelector("textarea")?.id);
  },
};

remarks.addEventListener("click", (event) => {
  const button = event.target.closest("[data-act]");
  if (button) acts[button.dataset.act](button.closest(".remark"), button).catch(stale);
});

// ---- begin -------------------------------------------------------------------------------------

if (!guest) {
  document.querySelectorAll(".typed :is(textarea, input)").forEach(ownText);
  remarks.querySelectorAll(".remark").forEach(remark);
  for (const choice of document.querySelectorAll('[name="state"]')) {
    const put = () => send("PUT", `${url}/state`, { state: choice.value });
    choice.addEventListener("change", () => inTurn(put).then(() => tellSaved(`The letter is ${choice.value}`), told));
  }
  bind([
    ["o", "Write the opening", () => document.getElementById("text-opening").focus()],
    ["n", "Write the next step", () => document.getElementById("text-next-step").focus()],
    ["c", "Write the closing words", () => document.getElementById("text-closing").focus()],
    ["p", "Go into the letter as it goes out", () => frame.focus()],
  ]);
  count(code);
}
