// The whole piece: a brush over its bars, by mouse or by keys, and what is heard under it.

import { get } from "./ask.js";
import { Brush } from "./brush.js";
import { count } from "./clock.js";
import { bind } from "./keys.js";
import { say } from "./say.js";

const PAUSE_MS = 140;
const body = document.body;
const code = body.dataset.code;
const bars = JSON.parse(body.dataset.bars);
const rows = JSON.parse(body.dataset.rows);
const lines = JSON.parse(body.dataset.lines);
const sections = JSON.parse(body.dataset.sections);
const piece = document.getElementById("piece");
const panels = [...document.querySelectorAll(".panel")];
const covered = [...document.querySelectorAll(".buried li")];
const names = { h: "heard", d: "doubtful", c: "covered", u: "not judged", s: "silent" };

let chosen = 0; // the row at hand
let brush = null;
let waiting = 0;
let asked = null;

// ---- what is shown -----------------------------------------------------------------------------

function tally() {
  const found = { h: 0, d: 0, c: 0 };
  for (const [name, cells] of rows) if (name !== "The tune" && cells[brush.to] in found) found[cells[brush.to]] += 1;
  const several = [`${Math.round(lines[brush.to] * 10) / 10} lines at once`];
  if (found.d) several.push(`${found.d} doubtful`);
  if (found.c) several.push(`${found.c} covered`);
  return several.join(", ");
}

function words() {
  const [name, cells] = rows[chosen];
  return `${name}: ${names[cells[brush.to]]}; ${tally()}`;
}

function moved() {
  const [first, last] = brush.range;
  document.getElementById("place").textContent = brush.words;
  document.getElementById("heard").textContent = words();
  piece.setAttribute("aria-valuetext", `${brush.words}. ${words()}`);
  document.getElementById("read").href = `/entries/${code}/reading?bar=${first}`;
  document.dispatchEvent(new CustomEvent("bars", { detail: [first, last] })); // what word.js speaks of
  document.getElementById("try").href = `/entries/${code}/trial?bar=${first}&last=${last}`;
  covered.forEach((one) => one.classList.toggle("now", +one.dataset.first <= brush.to && brush.to <= +one.dataset.last));
  clearTimeout(waiting);
  waiting = setTimeout(() => strands().catch((error) => error.name === "AbortError" || say(error.message)), PAUSE_MS);
}

function markRow() {
  for (const panel of panels) {
    panel.querySelectorAll(".ribbons .name").forEach((name, at) => name.classList.toggle("here", at === chosen));
  }
}

async function strands() {
  asked?.abort();
  asked = new AbortController();
  const bar = brush.to;
  const found = await get(`/entries/${code}/hearing/${bar}`, asked.signal);
  document.getElementById("strands").innerHTML = found; // made by the desk, words escaped
}

// ---- going somewhere ---------------------------------------------------------------------------

function row(steps) {
  chosen = Math.max(0, Math.min(rows.length - 1, chosen + steps));
  markRow();
  brush.show();
}

function walk(steps) {
  const there = steps > 0 ? covered.find((one) => +one.dataset.first > brush.to) : covered.findLast((one) => +one.dataset.last < brush.to);
  if (!there) return say(steps > 0 ? "No further covered tune" : "No covered tune before this");
  brush.go(+there.dataset.first);
  return say(there.textContent.replace(/\s+/g, " ").trim());
}

function read() {
  location.assign(document.getElementById("read").href);
}

if (piece) {
  brush = new Brush({
    bars,
    sections,
    onMove: moved,
    onPick: (dragged) => dragged || read(),
    keys: { ArrowUp: () => row(-1), ArrowDown: () => row(1) },
  });
  brush.follows = true;
  document.getElementById("next").addEventListener("click", () => walk(1));
  document.getElementById("back").addEventListener("click", () => walk(-1));
  bind([
    ["n", "Next place where the tune is covered", () => walk(1)],
    ["b", "Back to the one before", () => walk(-1)],
    ["r", "Read at the bar at hand", read],
    ["t", "Try a change in the bars at hand", () => location.assign(document.getElementById("try").href)],
    ["y", "Your word on the bars at hand", () => document.querySelector("#your-word select")?.focus()],
    ["ArrowLeft", "One bar back (Shift: choose)"],
    ["ArrowRight", "One bar on (Shift: choose)"],
    ["ArrowUp", "The row above"],
    ["ArrowDown", "The row below"],
    ["Enter", "Read there"],
  ]);
  const query = new URLSearchParams(location.search);
  const wished = +(query.get("bar") ?? 0);
  markRow();
  brush.go(Number.isFinite(wished) ? wished : 0);
  if (query.get("last")) brush.go(+query.get("last") || 0, { extend: true });
}
count(code);
