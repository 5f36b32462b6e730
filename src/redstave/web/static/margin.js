// The margin: each note beside its stave, a line to it, and one note at a time in the light.

import { cursor, go } from "./cursor.js";
import { bracket, clear, light } from "./rings.js";
import { say } from "./say.js";
import { draw, geometry, isDrawn, onDrawn, sectionOf, sections } from "./systems.js";

const SVG = "http://www.w3.org/2000/svg";
const GAP = 4;
const LONGEST = 16; // bars: what goes on for longer has no line to a stave
const NARROW = matchMedia("(max-width: 1020px)");
const main = document.getElementById("main");
const count = document.getElementById("count");
const foot = document.querySelector(".readout");

// All notes in the order of reading: [name, bar, open].
const order = JSON.parse(main.dataset.notes || "[]").map(([name, bar, open]) => ({ name, bar, open }));
let current = null;
let remark = null; // name and id of the remark that was last in the light

export function lastRemark() {
  return remark;
}

export function currentNote() {
  return current && noteNamed(current);
}

export function noteNamed(name) {
  return document.querySelector(`.side[data-name="${CSS.escape(name)}"]:not(.again)`);
}

export function placesOf(note, section) {
  const all = JSON.parse(note.dataset.places || "[]");
  return all.filter((place) => place.first <= section.last && place.last >= section.first);
}

export function sectionHolding(element) {
  const holder = element.closest(".system");
  return sections.find((one) => one.element === holder);
}

// ---- beside the staves ------------------------------------------------------------------------

export function arrange(section) {
  if (!isDrawn(section)) return;
  const notes = [...section.element.querySelectorAll(".here > .side")];
  notes.forEach((note) => (note.style.marginTop = ""));
  if (!NARROW.matches) notes.forEach((note) => beside(section, note));
  threads(section, notes);
}

function beside(section, note) {
  const want = heightOf(section, placesOf(note, section)[0]);
  if (want === null) return;
  const is = note.getBoundingClientRect().top;
  if (want - 16 > is + GAP) note.style.marginTop = `${want - 16 - is}px`;
}

// The stave that a place means; what speaks of whole bars is told on the top one.
function staveOf({ staves }, { part, stave }) {
  if (!part) return staves[0];
  return staves.find(([name, number]) => name === part && number === stave) || staves.find(([name]) => name === part);
}

// Where a place lies on the screen: its height, and where the system ends to the right of it.
function heightOf(section, place) {
  const spot = spotOf(section, place);
  return spot && spot.y;
}

function spotOf(section, place) {
  const shape = geometry(section);
  if (!shape || !place) return null;
  const stave = staveOf(shape, place);
  if (!stave) return null;
  const drawing = section.element.querySelector("svg.score");
  const matrix = drawing.getScreenCTM();
  const at = new DOMPoint(shape.bars.at(-1)[2] + shape.shift[0], (stave[2] + stave[3]) / 2 + shape.shift[1]).matrixTransform(matrix);
  return { x: at.x, y: at.y };
}

function threads(section, notes) {
  const holder = section.element.querySelector(".drawn");
  holder.querySelector(".threads")?.remove();
  if (NARROW.matches) return;
  const origin = holder.getBoundingClientRect();
  const sheet = document.createElementNS(SVG, "svg");
  sheet.setAttribute("class", "threads");
  sheet.setAttribute("aria-hidden", "true");
  for (const note of notes) {
    const box = note.querySelector("article").getBoundingClientRect();
    const outline = thread(section, note, { x: box.left - origin.left + 3, y: box.top - origin.top + 15 }, origin);
    if (!outline) continue;
    const path = document.createElementNS(SVG, "path");
    path.setAttribute("d", outline);
    path.setAttribute("class", `${note.classList.contains("hand") ? "hand" : ""}${note.dataset.name === current ? " current" : ""}`);
    sheet.append(path);
  }
  holder.append(sheet);
}

// A quiet note is tied to the end of its stave; the one in the light to its very notes, along a line
// above the stave so that it crosses no music.
function thread(section, note, from, origin) {
  const [place] = placesOf(note, section);
  const spot = place && place.last - place.first < LONGEST && spotOf(section, place);
  if (!spot) return "";
  const edge = { x: spot.x - origin.left + 3, y: spot.y - origin.top };
  const ring = note.dataset.name === current && nearestRing(section);
  const y = ring ? ring.top - origin.top - 5 : edge.y;
  const middle = (from.x + edge.x) / 2;
  const gutter = `M${from.x} ${from.y}C${middle} ${from.y} ${middle} ${y} ${edge.x} ${y}`;
  if (!ring) return gutter;
  const x = ring.left + ring.width / 2 - origin.left;
  return `${gutter}H${x + 8}Q${x} ${y} ${x} ${y + 5}`;
}

function nearestRing(section) {
  const boxes = [...section.element.querySelectorAll(".marks .ring")].map((ring) => ring.getBoundingClientRect());
  return boxes.length ? boxes.reduce((best, one) => (one.right > best.right ? one : best)) : null;
}

// ---- one note at a time -----------------------------------------------------------------------

export async function choose(name, { focus = true, scroll = true } = {}) {
  current = name;
  const known = order.find((one) => one.name === name);
  if (known) await draw(sectionOf(known.bar));
  if (current !== name) return; // another was chosen meanwhile
  unmark();
  const note = currentNote();
  if (!note) return;
  if (note.dataset.remark) remark = { name, id: note.dataset.remark };
  document.querySelectorAll("details.whole").forEach((one) => (one.open = one.contains(note)));
  document.querySelectorAll(`.side[data-name="${CSS.escape(name)}"]`).forEach((one) => one.classList.add("current"));
  sections.filter(isDrawn).forEach((one) => lightUp(one, note));
  const section = sectionHolding(note);
  const place = placesOf(note, section)[0];
  if (place && !note.closest(".whole")) go(Math.max(place.first, section.first), place.part, place.stave, { scroll: false, aloud: false });
  sections.filter(isDrawn).forEach(arrange);
  if (scroll) bringIntoView(section, note);
  if (focus) note.querySelector("article").focus({ preventScroll: true });
  tally();
}

function unmark() {
  document.querySelectorAll(".side.current").forEach((one) => one.classList.remove("current"));
  sections.filter(isDrawn).forEach((one) => {
    const drawing = one.element.querySelector("svg.score");
    if (drawing) clear(drawing);
  });
}

// Both the note in the margin and what it speaks of should be seen.
function bringIntoView(section, note) {
  const rings = [...section.element.querySelectorAll(".marks .ring")].map((one) => one.getBoundingClientRect());
  const boxes = [note.querySelector("article").getBoundingClientRect(), ...rings.slice(0, 1)];
  const top = Math.min(...boxes.map((one) => one.top));
  const bottom = Math.max(...boxes.map((one) => one.bottom));
  const [high, low] = [58, innerHeight - foot.getBoundingClientRect().height - 8];
  if (top >= high && bottom <= low) return;
  const room = low - high - (bottom - top);
  if (room >= 0) scrollBy({ top: top - high - Math.max(4, room / 2) });
  else scrollBy({ top: Math.min(boxes[0].top - high, boxes[0].bottom - low) }); // the words first
}

function lightUp(section, note) {
  const drawing = section.element.querySelector("svg.score");
  if (!drawing) return;
  if (note.closest(".whole")) return;
  for (const place of placesOf(note, section)) {
    if (light(drawing, place.notes)) continue;
    const shape = geometry(section);
    const stave = shape && staveOf(shape, place);
    const bars = shape?.bars.filter(([bar]) => bar >= place.first && bar <= place.last);
    if (stave && bars.length) bracket(drawing, bars[0][1], bars.at(-1)[2], stave[2]);
  }
}

// The next note in the order of reading; only those not yet decided on, unless `all`.
export function walk(steps, all = false) {
  const here = order.findIndex((one) => one.name === current);
  const from = here >= 0 ? here : order.findIndex((one) => one.bar >= cursor.bar) - (steps > 0 ? 1 : 0);
  for (let at = from + steps; at >= 0 && at < order.length; at += steps) {
    if (all || order[at].open) return choose(order[at].name);
  }
  say(all ? "No further note this way" : "No further open finding this way");
  return undefined;
}

export function decided(name, open) {
  const known = order.find((one) => one.name === name);
  if (known) known.open = open;
  tally();
}

export function added(name, bar) {
  const at = order.findIndex((one) => one.bar > bar);
  order.splice(at < 0 ? order.length : at, 0, { name, bar, open: false });
}

export function gone(name) {
  if (remark?.name === name) remark = null;
  const at = order.findIndex((one) => one.name === name);
  if (at >= 0) order.splice(at, 1);
}

function tally() {
  if (count) count.textContent = `${order.filter((one) => one.open).length} open`;
}

export function watchMargin() {
  onDrawn((section) => {
    const note = currentNote();
    if (note) lightUp(section, note);
    arrange(section);
    document.fonts.ready.then(() => arrange(section));
  });
  let waiting = 0;
  addEventListener("resize", () => {
    clearTimeout(waiting);
    waiting = setTimeout(() => sections.filter(isDrawn).forEach(arrange), 120);
  });
  main.addEventListener("toggle", (event) => event.target.closest(".margin") && arrange(sectionHolding(event.target)), true);
  main.addEventListener("focusin", (event) => {
    const note = event.target.closest(".side:not(.again)");
    if (note && note.dataset.name !== current) choose(note.dataset.name, { focus: false, scroll: false });
  });
  main.addEventListener("click", (event) => {
    const short = event.target.closest(".side.again a");
    const note = event.target.closest(".side:not(.again)");
    if (short) {
      event.preventDefault();
      choose(short.closest(".side").dataset.name);
    } else if (note && note.dataset.name !== current) {
      choose(note.dataset.name, { focus: !event.target.closest("button, a, summary, textarea, input"), scroll: false });
    }
  });
  tally();
}
