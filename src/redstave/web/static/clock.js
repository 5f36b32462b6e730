// How long the teacher has spent on an entry: minutes in which the page was seen and used.

import { send } from "./ask.js";

const EVERY_S = 60;
const IDLE_MS = 180_000;

export function count(code) {
  if (document.body.dataset.guest !== undefined) return;
  let last = Date.now();
  const used = () => (last = Date.now());
  for (const kind of ["keydown", "pointerdown", "pointermove", "scroll"]) addEventListener(kind, used, { passive: true });
  setInterval(() => {
    if (document.visibilityState === "visible" && Date.now() - last < IDLE_MS) {
      send("POST", `/entries/${code}/spent`, { seconds: EVERY_S }).catch(() => {});
    }
  }, EVERY_S * 1000);
}
