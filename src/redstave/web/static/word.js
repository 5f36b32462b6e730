// The teacher's word: said of the bars at hand, taken back; the page then shows what follows from it.

import { get, send } from "./ask.js";
import { say } from "./say.js";

const EVERY_MS = 600;
const code = document.body.dataset.code;
const section = document.getElementById("your-word");
const trouble = document.getElementById("word-trouble");
const names = JSON.parse(section?.dataset.bars ?? "[]");
const sources = JSON.parse(section?.dataset.sources ?? "[]");
let range = [0, 0];

const span = (first, last) => (first === last ? first : `${first}-${last}`);
const here = () => span(names[range[0]], names[range[1]]);
const bars = () => `${range[0] === range[1] ? "bar" : "bars"} ${here()}`;

// ---- which bars --------------------------------------------------------------------------------

function follow(first, last) {
  range = [first, last];
  document.getElementById("word-bars").textContent = bars().replace("-", "–");
  document.getElementById("word-first").textContent = `bar ${names[first]}`;
  const known = sources.slice(first, last + 1).flat();
  for (const input of section.querySelectorAll('input[name="piano"]')) input.value = known.length ? span(known[0], known.at(-1)) : "";
}

// ---- saying it ---------------------------------------------------------------------------------

const TEXTS = {
  pins: (form, button) => `${here()} = ${button?.name === "none" ? "none" : form.elements.piano.value}`,
  voices: (form) => `bars ${form.elements.piano.value}, ${form.elements.stave.value}, ${form.elements.choice.value}: tune`,
  roles: (form) => `${form.elements.line.value}, ${bars()}: ${form.elements.role.value}`,
  cuts: () => names[range[0]],
};

async function tell(method, kind, text) {
  trouble.textContent = "";
  section.setAttribute("aria-busy", "true");
  try {
    await send(method, `/entries/${code}/word`, { kind, text, revision: +section.dataset.revision });
    again(method === "POST" ? "said" : "back");
  } catch (error) {
    section.removeAttribute("aria-busy");
    trouble.textContent = error.message;
    if (error.status === 409) trouble.append(" ", standsNow());
  }
}

function standsNow() {
  const button = Object.assign(document.createElement("button"), { type: "button", textContent: "Show what stands now" });
  button.addEventListener("click", () => again(""));
  return button;
}

// Show the page as it follows from the word, at the same bars.
function again(what) {
  const query = new URLSearchParams({ bar: range[0], last: range[1], ...(what && { word: what }) });
  location.assign(`?${query}`);
}

// ---- the review --------------------------------------------------------------------------------

async function compute() {
  const words = document.getElementById("anew-words");
  try {
    await send("POST", "/computing", { codes: [code] });
    document.getElementById("anew").disabled = true;
    say("Computing has begun");
    for (let now = await get("/computing"); now.running; now = await get("/computing")) {
      words.textContent = `Being computed: ${now.step || "…"}`;
      await new Promise((go) => setTimeout(go, EVERY_MS));
    }
    again("new");
  } catch (error) {
    trouble.textContent = error.message;
  }
}

// ---- the page ----------------------------------------------------------------------------------

const TOLD = { said: "Kept. The page follows your word.", back: "Taken back. The page follows.", new: "The findings were computed anew." };

if (section && trouble) {
  document.addEventListener("bars", (event) => follow(...event.detail));
  section.addEventListener("submit", (event) => {
    event.preventDefault();
    const { kind } = event.target.dataset;
    tell("POST", kind, TEXTS[kind](event.target, event.submitter));
  });
  section.addEventListener("click", (event) => {
    const { kind, text } = event.target.dataset;
    if (event.target.classList.contains("takeback")) tell("DELETE", kind, text);
    if (event.target.id === "anew") compute();
  });
  const done = TOLD[new URLSearchParams(location.search).get("word")];
  if (done) {
    section.scrollIntoView({ block: "start" });
    document.getElementById("word-title").focus({ preventScroll: true });
    say(done);
  }
}
