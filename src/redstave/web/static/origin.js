// Origin: a brush over the strips; both pages of the bars that are chosen.

import { get } from "./ask.js";
import { Brush } from "./brush.js";
import { count } from "./clock.js";
import { bind } from "./keys.js";
import { say } from "./say.js";

const MOST = 6; // bars of both pages at once
const PAUSE_MS = 260;
const body = document.body;
const code = body.dataset.code;
const both = document.getElementById("both");
const voice = document.getElementById("voice");
let waiting = 0;
let asked = null;

async function engrave(brush) {
  asked?.abort();
  asked = new AbortController();
  const [first, last] = brush.range;
  both.classList.add("waiting");
  try {
    both.innerHTML = await get(`/entries/${code}/origin/${first}/${last}?voice=${voice.value}`, asked.signal); // drawn and cleaned by the desk
    both.classList.remove("waiting");
  } catch (error) {
    if (error.name === "AbortError") return;
    both.classList.remove("waiting");
    both.replaceChildren(Object.assign(document.createElement("p"), { textContent: error.message }));
  }
}

function moved(brush) {
  const [first, last] = brush.range;
  document.getElementById("place").textContent = brush.words;
  brush.piece.setAttribute("aria-valuetext", brush.words);
  document.getElementById("read").href = `/entries/${code}/reading?bar=${first}`;
  document.getElementById("try").href = `/entries/${code}/trial?bar=${first}&last=${last}`;
  document.dispatchEvent(new CustomEvent("bars", { detail: [first, last] })); // what word.js speaks of
  clearTimeout(waiting);
  waiting = setTimeout(() => engrave(brush), PAUSE_MS);
}

if (document.getElementById("piece")) {
  const brush = new Brush({
    bars: JSON.parse(body.dataset.bars),
    sections: JSON.parse(body.dataset.sections),
    most: MOST,
    onMove: moved,
    onPick: () => {
      both.scrollIntoView({ block: "nearest" });
      say(`Both pages of ${brush.words.toLowerCase()} are shown below`);
    },
  });
  voice.addEventListener("change", () => engrave(brush));
  document.getElementById("main").addEventListener("click", (event) => {
    if (!event.target.classList.contains("go")) return;
    brush.go(+event.target.dataset.bar);
    document.getElementById("pages-title").scrollIntoView({ block: "start" });
    say(`Both pages of ${brush.words.toLowerCase()} are shown`);
  });
  bind([
    ["r", "Read at the bar at hand", () => location.assign(document.getElementById("read").href)],
    ["t", "Try a change in the bars at hand", () => location.assign(document.getElementById("try").href)],
    ["y", "Your word on the bars at hand", () => (document.querySelector("#your-word input") ?? document.getElementById("word-title")).focus()],
    ["v", "Choose the voice that is ringed", () => voice.focus()],
    ["ArrowLeft", "One bar back (Shift: choose)"],
    ["ArrowRight", "One bar on (Shift: choose)"],
    ["Enter", "Go down to both pages"],
  ]);
  const query = new URLSearchParams(location.search);
  const wished = +(query.get("bar") ?? 0);
  brush.go(Number.isFinite(wished) ? wished : 0);
  brush.go(+(query.get("last") ?? brush.to + 1) || 0, { extend: true });
}
count(code);
