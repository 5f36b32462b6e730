// The whole piece: a brush over its bars, by mouse or by keys, and what is heard under it.

import { get } from "./ask.js";
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

const brush = { from: 0, to: 0, row: 0 }; // `to` is the bar at hand, `from` where choosing began
let waiting = 0;
let asked = null;

// ---- what is shown -----------------------------------------------------------------------------

function range() {
  return [Math.min(brush.from, brush.to), Math.max(brush.from, brush.to)];
}

function place() {
  const [first, last] = range();
  return first === last ? `Bar ${bars[first]}` : `Bars ${bars[first]} to ${bars[last]}`;
}

function tally() {
  const found = { h: 0, d: 0, c: 0 };
  for (const [name, cells] of rows) if (name !== "The tune" && cells[brush.to] in found) found[cells[brush.to]] += 1;
  const several = [`${Math.round(lines[brush.to] * 10) / 10} lines at once`];
  if (found.d) several.push(`${found.d} doubtful`);
  if (found.c) several.push(`${found.c} covered`);
  return several.join(", ");
}

function words() {
  const [name, cells] = rows[brush.row];
  return `${name}: ${names[cells[brush.to]]}; ${tally()}`;
}

function show(aloud = true) {
  const [first, last] = range();
  document.getElementById("place").textContent = place();
  document.getElementById("heard").textContent = words();
  piece.setAttribute("aria-valuenow", brush.to);
  if (aloud) piece.setAttribute("aria-valuetext", `${place()}. ${words()}`);
  document.getElementById("read").href = `/entries/${code}/reading?bar=${first}`;
  document.getElementById("try").href = `/entries/${code}/trial?bar=${first}&last=${last}`;
  panels.forEach((panel) => lay(panel, first, last));
  covered.forEach((one) => one.classList.toggle("now", +one.dataset.first <= brush.to && brush.to <= +one.dataset.last));
  clearTimeout(waiting);
  waiting = setTimeout(() => strands().catch((error) => error.name === "AbortError" || say(error.message)), PAUSE_MS);
}

function lay(panel, first, last) {
  const { first: begins, last: ends, left, bar } = panel.dataset;
  const from = Math.max(first, +begins);
  const to = Math.min(last, +ends);
  let mark = panel.querySelector(".brush");
  if (from > to) return mark?.remove();
  if (!mark) {
    mark = document.createElement("div");
    mark.className = "brush";
    panel.append(mark);
  }
  mark.style.left = `${100 * (+left + (from - begins) * bar)}%`;
  mark.style.width = `max(3px, ${100 * (to - from + 1) * bar}%)`;
  return mark;
}

function markRow() {
  for (const panel of panels) {
    panel.querySelectorAll(".ribbons .name").forEach((name, at) => name.classList.toggle("here", at === brush.row));
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

function go(bar, { extend = false } = {}) {
  brush.to = Math.max(0, Math.min(bars.length - 1, bar));
  if (!extend) brush.from = brush.to;
  show();
}

function section(steps) {
  const here = sections.findLastIndex((first) => first <= brush.to);
  const wish = steps < 0 && brush.to > sections[here] ? here : here + steps;
  return sections[Math.max(0, Math.min(sections.length - 1, wish))] ?? 0;
}

function row(steps) {
  brush.row = Math.max(0, Math.min(rows.length - 1, brush.row + steps));
  markRow();
  show();
}

function walk(steps) {
  const there = steps > 0 ? covered.find((one) => +one.dataset.first > brush.to) : covered.findLast((one) => +one.dataset.last < brush.to);
  if (!there) return say(steps > 0 ? "No further covered tune" : "No covered tune before this");
  brush.from = +there.dataset.first;
  brush.to = +there.dataset.first;
  show();
  return say(there.textContent.replace(/\s+/g, " ").trim());
}

function read() {
  location.assign(document.getElementById("read").href);
}

function barAt(event) {
  const panel = event.target.closest(".panel");
  if (!panel) return null;
  const box = panel.getBoundingClientRect();
  const { first, last, left, bar } = panel.dataset;
  const at = Math.floor(((event.clientX - box.left) / box.width - left) / bar);
  return at < 0 ? null : Math.min(+last, +first + at);
}

if (piece) {
  let held = null;
  let dragged = false;
  piece.addEventListener("pointerdown", (event) => {
    const bar = barAt(event);
    if (bar === null || event.button) return;
    held = bar;
    dragged = false;
    go(bar);
  });
  piece.addEventListener("pointermove", (event) => {
    const bar = barAt(event);
    if (bar === null || bar === brush.to) return;
    if (held !== null) {
      dragged = true;
      brush.from = held;
      go(bar, { extend: true });
    } else if (event.pointerType === "mouse" && brush.from === brush.to) {
      go(bar);
    }
  });
  addEventListener("pointerup", () => {
    if (held !== null && !dragged && matchMedia("(hover: hover)").matches) read();
    held = null;
  });
  piece.addEventListener("keydown", (event) => {
    const extend = event.shiftKey;
    const deeds = {
      ArrowLeft: () => go(brush.to - 1, { extend }),
      ArrowRight: () => go(brush.to + 1, { extend }),
      ArrowUp: () => row(-1),
      ArrowDown: () => row(1),
      PageUp: () => go(section(-1), { extend }),
      PageDown: () => go(section(1), { extend }),
      Home: () => go(0, { extend }),
      End: () => go(bars.length - 1, { extend }),
      Enter: read,
    };
    if (!(event.key in deeds) || event.altKey || event.ctrlKey || event.metaKey) return;
    event.preventDefault();
    deeds[event.key]();
  });
  document.getElementById("next").addEventListener("click", () => walk(1));
  document.getElementById("back").addEventListener("click", () => walk(-1));
  bind([
    ["n", "Next place where the tune is covered", () => walk(1)],
    ["b", "Back to the one before", () => walk(-1)],
    ["r", "Read at the bar at hand", read],
    ["t", "Try a change in the bars at hand", () => location.assign(document.getElementById("try").href)],
    ["ArrowLeft", "One bar back (Shift: choose)", () => piece.focus()],
    ["ArrowRight", "One bar on (Shift: choose)", () => piece.focus()],
    ["ArrowUp", "The row above", () => piece.focus()],
    ["ArrowDown", "The row below", () => piece.focus()],
    ["Enter", "Read there", () => piece.focus()],
  ]);
  const wished = +(new URLSearchParams(location.search).get("bar") ?? 0);
  markRow();
  go(Number.isFinite(wished) ? wished : 0);
}
count(code);
