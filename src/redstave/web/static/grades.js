// Grades: points and notes, each saved over the revision that was seen.

import { Refused, inTurn, send } from "./ask.js";
import { showBoth } from "./clash.js";
import { count } from "./clock.js";
import { editable } from "./edit.js";
import { bind } from "./keys.js";
import { say, tellSaved } from "./say.js";

const PAUSE_MS = 450;
const code = document.body.dataset.code;
const reason = document.getElementById("reason");
const criteria = [...document.querySelectorAll(".criterion")].map(known);

function known(section) {
  const points = section.querySelector(".points input");
  const note = section.querySelector("textarea");
  return { section, points, note, key: section.dataset.key, timer: 0 };
}

// ---- giving ------------------------------------------------------------------------------------

// In turn: each answer tells the total, and the last to come must be the newest.
function give(one) {
  clearTimeout(one.timer);
  return inTurn(() => put(one)).catch((error) => told(one, error));
}

async function put(one) {
  const text = one.points.value.trim();
  if (!one.points.validity.valid) throw new Error(`Write points from 0 to ${one.points.max}.`);
  const note = one.note.value.trim();
  if (text === "" && note) return; // a note waits, as a draft, for the points it goes with
  const asked = { points: text === "" ? null : +text, note, revision: +one.section.dataset.revision, reason: reason?.value || "" };
  const done = await send("PUT", `/entries/${code}/grades/${one.key}`, asked);
  one.section.dataset.revision = done.revision;
  show(one, done);
  tellSaved("Saved");
}

function show(one, done) {
  one.section.querySelector(".band").textContent = done.band;
  one.section.querySelector(".scaled").innerHTML = done.scale; // drawn by the desk
  one.section.querySelector(".trouble").textContent = "";
  for (const button of one.section.querySelectorAll(".reach")) {
    button.setAttribute("aria-pressed", String(button.querySelector("b").textContent === done.band));
  }
  const total = document.getElementById("total");
  total.replaceChildren();
  if (done.total !== null) total.append(Object.assign(document.createElement("b"), { textContent: done.total.toFixed(1) }), " of 100");
  const wait = done.missing.length === 1 ? "waits" : "wait";
  document.getElementById("missing").textContent = done.missing.length ? `${done.missing.join(", ")} ${wait} for points` : "";
  const lock = document.getElementById("lock");
  if (lock) lock.disabled = done.missing.length > 0;
  say(`${one.section.querySelector("h3").firstChild.textContent.trim()}: ${one.points.value || "no"} points${done.band ? `, ${done.band}` : ""}${done.total === null ? "" : `; ${done.total} of 100 in all`}`);
}

function told(one, error) {
  const box = one.section.querySelector(".trouble");
  if (error instanceof Refused && error.status === 409) {
    chooseGrade(one, error.said);
  } else {
    box.textContent = error.message;
    if (/locked/.test(error.message)) reason?.focus();
  }
  tellSaved("Not saved", true);
}

// Two tabs gave one grade: what the teacher chooses is given over what stands on disk.
function chooseGrade(one, { theirs, revision }) {
  const settle = (points, note) => {
    one.points.value = points;
    one.note.value = note;
    one.section.dataset.revision = revision;
    give(one);
    one.points.focus();
  };
  const [points, ...note] = theirs.split(" ");
  const mine = [one.points.value, one.note.value];
  const deeds = [
    ["Keep mine", () => settle(...mine)],
    ["Take that one", () => settle(points === "none" ? "" : points, note.join(" "))],
  ];
  showBoth(one.section.querySelector(".points"), theirs, deeds, "Another tab has given here since:");
}

for (const one of criteria) {
  one.points.addEventListener("input", () => {
    clearTimeout(one.timer);
    one.timer = setTimeout(() => give(one), PAUSE_MS);
  });
  one.points.addEventListener("keydown", (event) => {
    if (event.key !== "Enter") return;
    event.preventDefault();
    give(one);
    step(event.shiftKey ? -1 : 1);
  });
  const commit = () =>
    inTurn(() => put(one)).catch((error) => {
      told(one, error);
      throw new Error("The note is kept as a draft");
    });
  if (one.points.value !== one.points.defaultValue) give(one); // typed before the page was ready
  editable(one.note, code, one.note.dataset.field, commit, () => one.points.value !== "");
  one.section.addEventListener("click", (event) => {
    const button = event.target.closest(".reach");
    if (!button) return;
    one.points.value = button.dataset.points;
    give(one);
    one.points.focus();
  });
}

// ---- keys and the lock -------------------------------------------------------------------------

function step(steps) {
  const here = criteria.findIndex((one) => one.section.contains(document.activeElement));
  const to = criteria[Math.max(0, Math.min(criteria.length - 1, here + steps))];
  to?.points.focus();
  to?.points.select();
  to?.section.scrollIntoView({ block: "nearest" });
}

document.getElementById("lock")?.addEventListener("click", () =>
  send("POST", `/entries/${code}/grades/lock`).then(() => location.reload(), (error) => say(error.message)),
);
document.getElementById("unlock")?.addEventListener("click", () =>
  send("DELETE", `/entries/${code}/grades/lock`, { reason: reason.value }).then(
    () => location.reload(),
    (error) => {
      tellSaved(error.message, true);
      say(error.message);
      reason.focus();
    },
  ),
);
document.getElementById("locked")?.addEventListener("submit", (event) => event.preventDefault());

bind([
  ["n", "Next criterion", () => step(1)],
  ["b", "Back to the one before", () => step(-1)],
  ["Enter", "In the points: on to the next criterion (Shift: back)"],
  ["ArrowUp", "In the points: half a point more"],
  ["ArrowDown", "In the points: half a point less"],
]);
count(code);
