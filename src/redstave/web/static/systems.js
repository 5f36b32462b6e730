// Systems are drawn a little before they come into view, and put away when they are far off.

import { get } from "./ask.js";

const body = document.body;
export const code = body.dataset.code;
export const layout = body.dataset.layout || "";
export const barNames = JSON.parse(body.dataset.bars || "[]");
export const partNames = JSON.parse(body.dataset.parts || "[]"); // [id, name as printed]
export const sections = [...document.querySelectorAll(".system")].map(known);

const AHEAD = "120% 0px 220% 0px";
const KEEP_SCREENS = 6;
const SVG = "http://www.w3.org/2000/svg";
const heard = new Set(); // who wants to know when a system is drawn
const glyphs = glyphSheet();

function known(element) {
  const { number, first, last } = element.dataset;
  return { element, number: +number, first: +first, last: +last, waiting: null, geometry: null };
}

export function onDrawn(listener) {
  heard.add(listener);
  sections.filter((one) => isDrawn(one)).forEach(listener);
}

export function isDrawn(section) {
  return "drawn" in section.element.dataset;
}

export function sectionOf(bar) {
  return sections.find((one) => one.last >= bar) || sections.at(-1);
}

// Where everything lies in a drawing; null where it could not be engraved.
export function geometry(section) {
  const drawing = section.element.querySelector("svg.score");
  if (!drawing) return null;
  section.geometry ||= JSON.parse(drawing.dataset.geometry);
  return section.geometry;
}

export async function draw(section) {
  if (isDrawn(section)) return section;
  section.waiting ||= fetchDrawing(section).finally(() => (section.waiting = null));
  await section.waiting;
  return section;
}

async function fetchDrawing(section) {
  const text = await get(`/entries/${code}/systems/${section.number}?${layout}`);
  const holder = document.createElement("template");
  holder.innerHTML = text; // made by the desk: words escaped, drawing cleaned
  takeGlyphs(holder.content);
  const drawn = section.element.querySelector(".drawn");
  drawn.replaceChildren(holder.content);
  drawn.style.minHeight = "";
  section.element.dataset.drawn = "";
  section.geometry = null;
  heard.forEach((listener) => listener(section));
}

// Put a drawing away: its place keeps its height, so that nothing moves.
function putAway(section) {
  const drawn = section.element.querySelector(".drawn");
  if (!isDrawn(section) || drawn.querySelector("textarea, input") || drawn.contains(document.activeElement)) return;
  drawn.style.minHeight = `${drawn.getBoundingClientRect().height}px`;
  drawn.replaceChildren();
  delete section.element.dataset.drawn;
  section.geometry = null;
}

// Glyphs are defined once a page, whatever system brought them.
function glyphSheet() {
  const sheet = document.createElementNS(SVG, "svg");
  sheet.setAttribute("class", "glyphs");
  sheet.setAttribute("aria-hidden", "true");
  sheet.setAttribute("width", "0");
  sheet.setAttribute("height", "0");
  const defs = document.createElementNS(SVG, "defs");
  sheet.append(defs);
  body.prepend(sheet);
  return defs;
}

function takeGlyphs(root) {
  for (const sheet of root.querySelectorAll(".drawn > .glyphs, .music > .glyphs")) {
    for (const glyph of [...sheet.querySelectorAll("path[id]")]) {
      if (!glyphs.querySelector(`#${glyph.id}`)) glyphs.append(glyph);
    }
    sheet.remove();
  }
}

export function watch() {
  takeGlyphs(document);
  const near = new IntersectionObserver(
    (seen) => seen.filter((one) => one.isIntersecting).forEach((one) => draw(of(one.target)).catch(told)),
    { rootMargin: AHEAD },
  );
  sections.forEach((one) => near.observe(one.element));
  let waiting = 0;
  addEventListener("scroll", () => {
    clearTimeout(waiting);
    waiting = setTimeout(tidy, 400);
  }, { passive: true });
}

function of(element) {
  return sections.find((one) => one.element === element);
}

function told(error) {
  console.error(error);
}

function tidy() {
  const far = KEEP_SCREENS * innerHeight;
  for (const section of sections) {
    const box = section.element.getBoundingClientRect();
    if (box.bottom < -far || box.top > innerHeight + far) putAway(section);
  }
}
