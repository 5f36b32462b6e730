// The reading cursor: one bar of one stave. The line at the foot says what is heard there.

import { get } from "./ask.js";
import { say } from "./say.js";
import { barNames, code, draw, geometry, isDrawn, onDrawn, partNames, sectionOf } from "./systems.js";

const SVG = "http://www.w3.org/2000/svg";
const place = document.getElementById("place");
const words = document.getElementById("heard");
const known = new Map(); // what is heard, by system
const moved = new Set();
const foot = document.querySelector(".readout");

const wished = new URLSearchParams(location.search).get("bar");

export const cursor = { bar: Math.min(+wished || 0, Math.max(0, barNames.length - 1)), part: "", stave: 1 };

export function onMoved(listener) {
  moved.add(listener);
}

// Go to a bar, and to a stave where one is named; `aloud` tells a screen reader too.
export async function go(bar, part, stave, { scroll = true, aloud = true } = {}) {
  if (!barNames.length) return;
  cursor.bar = Math.max(0, Math.min(bar, barNames.length - 1));
  const section = sectionOf(cursor.bar);
  if (scroll && !isDrawn(section)) section.element.scrollIntoView({ block: "start", behavior: "instant" });
  await draw(section);
  settle(section, part, stave);
  mark();
  if (scroll) show(section);
  moved.forEach((listener) => listener(cursor));
  await tell(cursor, aloud);
}

function settle(section, part = cursor.part, stave = cursor.stave) {
  const staves = geometry(section)?.staves || [];
  const found = staves.find(([name, number]) => name === part && number === stave) || staves.find(([name]) => name === part) || staves[0];
  [cursor.part, cursor.stave] = found ? [found[0], found[1]] : ["", 1];
}

export function step(bars) {
  return go(cursor.bar + bars);
}

export function stepStave(staves) {
  const all = geometry(sectionOf(cursor.bar))?.staves || [];
  const at = all.findIndex(([part, stave]) => part === cursor.part && stave === cursor.stave);
  const to = all[Math.max(0, Math.min(all.length - 1, at + staves))];
  return to ? go(cursor.bar, to[0], to[1]) : undefined;
}

function boxOf(section, at) {
  const shape = geometry(section);
  const bar = shape?.bars.find(([index]) => index === at.bar);
  const stave = shape?.staves.find(([part, number]) => part === at.part && number === at.stave);
  return bar && { left: bar[1], right: bar[2], top: stave?.[2], bottom: stave?.[3], all: shape.staves };
}

function mark() {
  document.querySelectorAll(".marks rect").forEach((one) => one.remove());
  const section = sectionOf(cursor.bar);
  const box = isDrawn(section) && boxOf(section, cursor);
  if (!box) return;
  const marks = section.element.querySelector(".marks");
  const top = box.all[0][2] - 300;
  marks.prepend(rect(box.left, top, box.right, box.all.at(-1)[3] + 300, ""));
  if (box.top !== undefined) marks.prepend(rect(box.left, box.top - 240, box.right, box.bottom + 240, "stave"));
}

function rect(left, top, right, bottom, kind) {
  const one = document.createElementNS(SVG, "rect");
  Object.entries({ x: left, y: top, width: right - left, height: bottom - top, class: kind }).forEach(([name, value]) => one.setAttribute(name, value));
  return one;
}

// Bring the place into view: the whole system where it fits, else its stave in the middle.
function show(section) {
  const stave = section.element.querySelector(".marks rect.stave") || section.element.querySelector(".marks rect");
  const box = stave?.getBoundingClientRect();
  const [high, low] = [58, innerHeight - foot.getBoundingClientRect().height - 12];
  if (!box || (box.top >= high && box.bottom <= low)) return;
  const top = section.element.querySelector(".drawn").getBoundingClientRect().top;
  const fits = box.bottom - top <= low - high;
  scrollBy({ top: fits ? top - high : box.top - (low + high - box.height) / 2 });
}

// All that is heard in the bars of a system, fetched once.
export function heardIn(section) {
  if (!known.has(section.number)) {
    const found = get(`/entries/${code}/heard/${section.first}/${section.last}`);
    found.catch(() => known.delete(section.number));
    known.set(section.number, found);
  }
  return known.get(section.number);
}

async function tell(at, aloud) {
  const { bar, part, stave } = at;
  const rows = await heardIn(sectionOf(bar)).catch(() => []);
  const row = rows.find((one) => one.bar === bar && one.part === part && one.stave === stave);
  if (cursor.bar !== bar && at === cursor) return;
  const name = partNames.find(([id]) => id === part)?.[1];
  place.textContent = `Bar ${barNames[bar]}${name ? ` · ${name}` : ""}`;
  words.textContent = row ? row.lines.map((line) => line.words).join(". ") : "rests";
  if (aloud) say(`${place.textContent}. ${words.textContent}`);
}

function pointed(section, event) {
  const drawing = section.element.querySelector("svg.score");
  const matrix = drawing?.getScreenCTM();
  const shape = geometry(section);
  if (!matrix || !shape) return null;
  const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(matrix.inverse());
  const [x, y] = [at.x - shape.shift[0], at.y - shape.shift[1]];
  const bar = shape.bars.find(([, left, right]) => x >= left && x < right);
  if (!bar) return null;
  const stave = nearest(shape.staves, y);
  return { bar: bar[0], part: stave[0], stave: stave[1] };
}

function nearest(staves, y) {
  const away = ([, , top, bottom]) => (y < top ? top - y : y > bottom ? (y - bottom) / 1.6 : 0);
  return staves.reduce((best, one) => (away(one) < away(best) ? one : best));
}

onDrawn((section) => {
  const drawing = section.element.querySelector("svg.score");
  if (!drawing) return;
  let waiting = false;
  drawing.addEventListener("pointermove", (event) => {
    if (waiting || event.pointerType === "touch") return;
    waiting = true;
    requestAnimationFrame(() => {
      waiting = false;
      const at = pointed(section, event);
      if (at) tell(at, false);
    });
  });
  drawing.addEventListener("pointerleave", () => tell(cursor, false));
  drawing.addEventListener("click", (event) => {
    const at = pointed(section, event);
    if (at) go(at.bar, at.part, at.stave, { scroll: false });
  });
  if (cursor.bar >= section.first && cursor.bar <= section.last) {
    settle(section);
    mark();
  }
});
