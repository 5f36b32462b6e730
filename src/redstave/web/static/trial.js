// Trying: wishes on the left, what is heard before and after on the right, then a remark.

import { get, send } from "./ask.js";
import { chooseText } from "./clash.js";
import { count } from "./clock.js";
import { Kept } from "./keep.js";
import { bind } from "./keys.js";
import { say, tellSaved } from "./say.js";

const PAUSE_MS = 40;
const body = document.body;
const code = body.dataset.code;
const url = `/entries/${code}/trial`;
const bars = document.getElementById("bars");
const list = document.getElementById("changes");
const tried = document.getElementById("tried");
const trouble = document.getElementById("trouble");
const ways = document.getElementById("ways");
const helped = document.getElementById("helped");
let waiting = 0;
let asked = null;

// ---- wishes ------------------------------------------------------------------------------------

function add(wish = {}, focus = false) {
  const made = document.getElementById("wish").content.firstElementChild.cloneNode(true);
  list.append(made);
  made.querySelector(".name").value = wish.who || "";
  const what = ["level", "players", "octave", "as", "technique", "without"].find((one) => wish[one]) || "softer";
  const softer = what === "level" && /^[+-]/.test(wish.level);
  made.querySelector(".what").value = softer ? "softer" : what;
  choose(made);
  const field = made.querySelector(".value:not([hidden]) :is(select, input)");
  if (field && what in wish) put(field, String(wish[what]));
  made.dataset.bars = wish.bars || "";
  made.dataset.rest = JSON.stringify({ players: what === "as" ? wish.players : undefined, octave: what === "as" ? wish.octave : undefined });
  if (focus) made.querySelector(".name").focus();
  return made;
}

// A value that the list does not offer yet is added to it.
function put(field, value) {
  if (field.tagName === "SELECT" && ![...field.options].some((one) => one.value === value)) field.add(new Option(value, value));
  field.value = value;
}

function choose(wish) {
  const what = wish.querySelector(".what").value;
  for (const one of wish.querySelectorAll(".value")) one.hidden = !one.classList.contains(what);
}

function read(wish) {
  const what = wish.querySelector(".what").value;
  const field = wish.querySelector(`.value.${what} :is(select, input)`);
  const value = field?.value.trim();
  const who = wish.querySelector(".name").value.trim();
  if (!who || (field && !value)) return null;
  const found = { who, bars: wish.dataset.bars || bars.value.trim(), ...JSON.parse(wish.dataset.rest || "{}") };
  if (what === "softer") found.level = value;
  else if (what === "without") found.without = true;
  else found[what] = ["players", "octave"].includes(what) ? +value : value;
  return found;
}

function wishes() {
  return [...list.children].map(read).filter(Boolean);
}

// ---- hearing -----------------------------------------------------------------------------------

async function hear(aloud = false) {
  asked?.abort();
  asked = new AbortController();
  const query = new URLSearchParams({ bars: bars.value.trim(), wishes: JSON.stringify(wishes()) });
  tried.classList.add("waiting");
  try {
    tried.innerHTML = await get(`${url}/heard?${query}`, asked.signal); // made by the desk, words escaped
    trouble.textContent = "";
    tried.classList.remove("waiting");
    const sum = document.getElementById("sum");
    if (aloud && sum) say(sum.textContent);
  } catch (error) {
    if (error.name === "AbortError") return;
    trouble.textContent = error.message;
  }
}

function soon() {
  clearTimeout(waiting);
  waiting = setTimeout(() => hear(true), PAUSE_MS);
}

async function find() {
  if (!helped.value) return say("Choose the line that is to be heard");
  ways.innerHTML = "<p>Trying …</p>";
  try {
    ways.innerHTML = await get(`${url}/ways?${new URLSearchParams({ bars: bars.value.trim(), who: helped.value })}`);
  } catch (error) {
    ways.replaceChildren(Object.assign(document.createElement("p"), { textContent: error.message }));
  }
  return undefined;
}

function take(text) {
  list.replaceChildren();
  JSON.parse(text).forEach((one) => add(one));
  hear(true);
}

list.addEventListener("input", soon);
list.addEventListener("change", (event) => {
  if (event.target.classList.contains("what")) choose(event.target.closest(".wish"));
  soon();
});
list.addEventListener("click", (event) => {
  if (!event.target.classList.contains("remove")) return;
  const wish = event.target.closest(".wish");
  const next = wish.nextElementSibling || wish.previousElementSibling;
  wish.remove();
  if (!list.children.length) add({}, true);
  else next.querySelector(".name").focus();
  soon();
});
bars.addEventListener("input", () => {
  for (const wish of list.children) wish.dataset.bars = "";
  soon();
});
document.getElementById("another").addEventListener("click", () => add({}, true));
document.getElementById("clear").addEventListener("click", () => {
  list.replaceChildren();
  add({}, true);
  hear();
});
document.getElementById("find").addEventListener("click", find);
document.getElementById("wishes").addEventListener("submit", (event) => event.preventDefault());
ways.addEventListener("click", (event) => event.target.classList.contains("take") && take(event.target.dataset.wishes));
tried.addEventListener("click", (event) => {
  const name = event.target.closest(".line")?.dataset.name;
  if (!name) return;
  const last = list.lastElementChild;
  const field = last.querySelector(".name");
  const names = field.value.split(",").map((one) => one.trim()).filter(Boolean);
  field.value = names.includes(name) ? names.filter((one) => one !== name).join(", ") : [...names, name].join(", ");
  soon();
});

// ---- the remark --------------------------------------------------------------------------------

const keep = document.getElementById("keep");
if (keep) {
  const text = document.getElementById("text");
  const beside = document.getElementById("beside");
  const made = document.getElementById("made");
  const keepText = () => new Kept(text, code, text.dataset.field, { onClash: clash });
  let kept = keepText();
  kept.restore().catch((error) => tellSaved(error.message, true));
  beside?.addEventListener("change", () => {
    document.getElementById("own").hidden = Boolean(beside.value);
    keep.querySelector('[type="submit"]').textContent = beside.value ? "Put it there" : "Make the remark";
  });
  const settle = async () => {
    const asked = wishes();
    if (!asked.length) return say("Try something first");
    const remark = beside?.value || "";
    try {
      await kept.save();
      const body = { wishes: asked, kind: document.getElementById("kind").value, text: text.value, remark };
      const done = await send("POST", `${url}/remark`, body);
      if (!remark) {
        await kept.done();
        text.value = "";
        kept = keepText();
        await kept.restore();
      }
      made.replaceChildren(`It is in the letter now: ${done.place || "the whole piece"}. `, link("Letter", `/entries/${code}/letter#remark-${done.id}`));
      return say("The remark is in the letter");
    } catch (error) {
      made.textContent = error.message;
      return say(error.message);
    }
  };
  keep.addEventListener("submit", (event) => {
    event.preventDefault();
    settle();
  });
  text.addEventListener("keydown", (event) => {
    if (event.key === "Enter" && (event.ctrlKey || event.metaKey)) settle();
  });
  function clash(theirs, revision) {
    chooseText(text, theirs, (words) => {
      text.value = words;
      kept.revision = revision;
      kept.changed();
      text.focus();
    });
  }
}

function link(words, href) {
  return Object.assign(document.createElement("a"), { textContent: words, href });
}

// ---- begin -------------------------------------------------------------------------------------

bind([
  ["n", "New: another change", () => add({}, true)],
  ["s", "Smallest change that helps", find],
  ["w", "Write the remark", () => document.getElementById("text")?.focus()],
  ["r", "Read here", () => history.back()],
]);
add({ who: body.dataset.who });
hear();
if ("helps" in body.dataset) {
  list.replaceChildren();
  add();
  find();
}
count(code);
