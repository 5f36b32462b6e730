// Reading: what each key and button does.

import { count } from "./clock.js";
import { cursor, go, heardIn, onMoved, step, stepStave } from "./cursor.js";
import { bind } from "./keys.js";
import { isPlaying, listen, stop } from "./listen.js";
import { choose, walk, watchMargin } from "./margin.js";
import { say } from "./say.js";
import { barNames, code, sectionOf, sections, watch } from "./systems.js";
import { act, remark, watchWriting } from "./write.js";

const view = document.getElementById("view");
const goto = document.getElementById("goto");
const letters = JSON.parse(document.body.dataset.letters || "[]");

// ---- going somewhere ---------------------------------------------------------------------------

function find(words) {
  const asked = words.trim().toLowerCase().replace(/^(bar|letter)\s+/, "");
  const letter = letters.find((one) => one.text.toLowerCase() === asked && !/^\d+$/.test(asked));
  if (letter) return letter.bar;
  const bar = barNames.indexOf(words.trim().replace(/^bar\s+/i, ""));
  return bar >= 0 ? bar : (letters.find((one) => one.text.toLowerCase() === asked)?.bar ?? -1);
}

function goThere() {
  const bar = find(goto.value);
  if (bar < 0) return say(`There is no bar or letter ${goto.value}; bars go from ${barNames[0]} to ${barNames.at(-1)}`);
  go(bar);
  return document.getElementById("cursor").focus({ preventScroll: true });
}

function goSystem(steps) {
  const here = sections.indexOf(sectionOf(cursor.bar));
  const to = sections[Math.max(0, Math.min(sections.length - 1, here + steps))];
  if (to) go(to.first);
}

goto?.addEventListener("keydown", (event) => {
  if (event.key === "Enter") {
    event.preventDefault();
    goThere();
  }
});
goto?.addEventListener("change", () => goto.value && goThere());
const section = document.getElementById("section");
section?.addEventListener("change", () => go(+section.value));
onMoved(({ bar }) => {
  const here = section && [...section.options].findLast((one) => +one.value <= bar);
  if (here) section.value = here.value;
});
document.getElementById("main").addEventListener("click", (event) => {
  const link = event.target.closest("[data-go]");
  if (!link) return;
  event.preventDefault();
  go(+link.dataset.go);
});

// ---- what is shown -----------------------------------------------------------------------------

view?.addEventListener("change", (event) => {
  if (!event.target.name && !event.target.classList.contains("family")) return;
  const families = [...view.querySelectorAll(".family:checked")].map((one) => one.value);
  view.elements.families.value = families.join(",");
  view.elements.bar.value = cursor.bar;
  view.submit();
});

// ---- hearing -----------------------------------------------------------------------------------

async function play() {
  if (isPlaying()) return stop();
  const bar = cursor.bar;
  const sound = await listen(code, bar, bar);
  const left = sound.left_out ? ` ${sound.left_out} tones cannot be judged and are silent.` : "";
  return say(`Bar ${barNames[bar]}: an estimate of the balance, not of the orchestra.${left}`);
}

const SIGNS = { heard: "●", doubtful: "◐", covered: "○", unknown: "–" };

async function showHeard() {
  const rows = (await heardIn(sectionOf(cursor.bar))).filter((one) => one.bar === cursor.bar);
  const lines = new Map(rows.flatMap((one) => one.lines).map((one) => [one.line, one]));
  const table = document.createElement("table");
  table.innerHTML = "<thead><tr><th scope=col>Line</th><th scope=col>Heard</th><th scope=col>Margin</th><th scope=col>What sounds with it</th></tr></thead>";
  const body = table.createTBody();
  for (const line of lines.values()) {
    const row = body.insertRow();
    const margin = line.margin_db === null ? "" : `${line.margin_db.toFixed(1)} ± ${line.sd_db.toFixed(1)} dB`.replace("-", "−");
    const state = line.state === "unknown" ? "not judged" : line.state;
    [line.line, `${SIGNS[line.state]} ${state}`, margin, line.words.split("; ")[1] || ""].forEach((words) => (row.insertCell().textContent = words));
  }
  document.getElementById("heard-title").textContent = `Heard in bar ${barNames[cursor.bar]}`;
  document.getElementById("heard-table").replaceChildren(rows.length ? table : "Everybody rests here.");
  document.getElementById("heard-here").showModal();
}

// ---- keys --------------------------------------------------------------------------------------

function elsewhere(page) {
  location.assign(`/entries/${code}/${page}?bar=${cursor.bar}&part=${encodeURIComponent(cursor.part)}`);
}

const deeds = {
  next: () => walk(1),
  back: () => walk(-1),
  heard: showHeard,
  listen: play,
  remark: () => remark("way-out"),
  praise: () => remark("praise"),
  try: () => elsewhere("trial"),
};

bind([
  ["n", "Next open finding", deeds.next],
  ["b", "Back to the one before", deeds.back],
  ["N", "Next note of any kind (Shift)", () => walk(1, true)],
  ["B", "The note before, of any kind (Shift)", () => walk(-1, true)],
  ["a", "Accept the finding", () => act("accept")],
  ["r", "Reword it, or your remark", () => act("reword")],
  ["d", "Dismiss it, with a reason", () => act("dismiss")],
  ["j", "Join the finding to the remark chosen last", () => act("join")],
  ["u", "Undo: take the decision or the remark back", () => act("undo")],
  ["i", "Important: make it a main point, or not", () => act("main")],
  ["w", "Write a remark here", deeds.remark],
  ["g", "Good: praise here", deeds.praise],
  ["l", "Listen to this bar, or stop", deeds.listen],
  ["h", "Who is heard here, in figures", deeds.heard],
  ["t", "Try a change here", deeds.try],
  ["m", "Marks: grade this entry", () => elsewhere("grades")],
  ["f", "Find a bar or letter", () => goto.select()],
  ["ArrowLeft", "One bar back", () => step(-1)],
  ["ArrowRight", "One bar on", () => step(1)],
  ["ArrowUp", "The stave above", () => stepStave(-1)],
  ["ArrowDown", "The stave below", () => stepStave(1)],
  ["[", "The system before", () => goSystem(-1)],
  ["]", "The next system", () => goSystem(1)],
  ["Escape", "Back to the reading cursor; stop the sound", () => {
    stop();
    document.getElementById("cursor").focus({ preventScroll: true });
  }],
]);

document.querySelector(".deeds")?.addEventListener("click", (event) => {
  const deed = event.target.closest("[data-deed]")?.dataset.deed;
  if (deed) Promise.resolve(deeds[deed]()).catch((error) => say(error.message));
});

// ---- begin -------------------------------------------------------------------------------------

watch();
watchMargin();
watchWriting();
count(code);
const wished = location.hash.match(/^#note-(.+)$/);
if (wished) choose(decodeURIComponent(wished[1]));
else if (sections.length) go(cursor.bar, undefined, undefined, { scroll: cursor.bar > 0, aloud: false });
