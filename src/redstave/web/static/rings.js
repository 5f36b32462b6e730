// The teacher's hand on the engraving: rings round notes, brackets over bars. Red and drawn, so that
// a mark is seen without colour too. Lengths are the engraver's: a stave is 720 high.

const HEAD = 314;
const PAD_X = 160;
const PAD_Y = 185;
const NEAR = 120;
const TURN = 2 * Math.PI * 1.06;
const STEPS = 14;
const SVG = "http://www.w3.org/2000/svg";

export function clear(drawing) {
  drawing.querySelectorAll(".lit").forEach((one) => one.classList.remove("lit"));
  drawing.querySelectorAll(".marks .ring").forEach((one) => one.remove());
}

// Light notes up by id and ring them; return how many stand in this drawing.
export function light(drawing, names) {
  const boxes = [];
  for (const name of new Set(names)) {
    const group = drawing.querySelector(`[data-n="${CSS.escape(name)}"]`);
    const box = group && headBox(group);
    if (!box) continue;
    group.classList.add("lit");
    boxes.push(box);
  }
  merged(boxes).forEach((box) => add(drawing, loop(box)));
  return boxes.length;
}

// Bracket bars on a stave, where no note is in question.
export function bracket(drawing, left, right, top) {
  const y = top - 260;
  add(drawing, `M${left + 40} ${y + 130}V${y}H${right - 40}V${y + 130}`);
}

function add(drawing, outline) {
  const path = document.createElementNS(SVG, "path");
  path.setAttribute("class", "ring");
  path.setAttribute("d", outline);
  drawing.querySelector(".marks").append(path);
}

function headBox(group) {
  const use = group.querySelector(".notehead use") || group.querySelector("use");
  const move = use && /translate\(\s*(-?[\d.]+)[ ,]+(-?[\d.]+)\s*\)(?:\s*scale\(\s*(-?[\d.]+))?/.exec(use.getAttribute("transform") || "");
  if (!move) return null;
  const [x, y, scale] = [+move[1], +move[2], +(move[3] ?? 1)];
  return { left: x - PAD_X, top: y - PAD_Y, right: x + HEAD * scale + PAD_X, bottom: y + PAD_Y };
}

function touch(a, b) {
  return a.left - NEAR < b.right && b.left - NEAR < a.right && a.top - NEAR < b.bottom && b.top - NEAR < a.bottom;
}

function join(a, b) {
  return {
    left: Math.min(a.left, b.left),
    top: Math.min(a.top, b.top),
    right: Math.max(a.right, b.right),
    bottom: Math.max(a.bottom, b.bottom),
  };
}

function merged(boxes) {
  const whole = [];
  for (let box of boxes) {
    for (let at = whole.length - 1; at >= 0; at -= 1) {
      if (touch(whole[at], box)) box = join(whole.splice(at, 1)[0], box);
    }
    whole.push(box);
  }
  return whole;
}

// Not quite closed, as a pencil would: one end runs past the other.
function loop({ left, top, right, bottom }) {
  const [x, y] = [(left + right) / 2, (top + bottom) / 2];
  const [a, b] = [(right - left) / 2, (bottom - top) / 2];
  const points = Array.from({ length: STEPS + 1 }, (_, step) => {
    const angle = -2.2 + (TURN * step) / STEPS;
    const grown = 1 + (0.06 * step) / STEPS;
    return [x + a * grown * Math.cos(angle), y + b * grown * Math.sin(angle)].map(Math.round);
  });
  let outline = `M${points[0]}`;
  for (let at = 1; at < points.length - 1; at += 1) {
    const [to, next] = [points[at], points[at + 1]];
    outline += `Q${to} ${[(to[0] + next[0]) / 2, (to[1] + next[1]) / 2].map(Math.round)}`;
  }
  return `${outline}L${points.at(-1)}`;
}
