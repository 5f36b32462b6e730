// Keys: one list that both works and is shown, so that the help sheet is never out of date.

const SWITCH = "redstave:single-keys";
const known = [];
let on = localStorage.getItem(SWITCH) !== "off";

// `keys` is a list of [key, words, deed]; a key is a letter or a name such as "ArrowLeft". A key that
// somebody else listens to has no deed: it is only shown.
export function bind(keys) {
  known.push(...keys);
  fill();
}

export function openKeys() {
  document.getElementById("keys")?.showModal();
}

document.addEventListener("keydown", (event) => {
  if (event.defaultPrevented || event.ctrlKey || event.metaKey || event.altKey) return;
  if (document.querySelector("dialog[open]") || isText(event.target)) return;
  const found = known.find(([key, , deed]) => deed && key === event.key);
  if (!found || (!on && found[0].length === 1)) return;
  if (found[0].startsWith("Arrow") && isChoice(event.target)) return;
  event.preventDefault();
  found[2](event);
});

function isText(target) {
  if (target.isContentEditable || target.matches?.("textarea, select")) return true;
  return target.matches?.("input") && !["checkbox", "radio"].includes(target.type);
}

function isChoice(target) {
  return target.matches?.("input, summary");
}

const NAMES = { ArrowLeft: "←", ArrowRight: "→", ArrowUp: "↑", ArrowDown: "↓", Escape: "Esc" };

function fill() {
  const body = document.querySelector("#keys tbody");
  if (!body) return;
  body.replaceChildren(
    ...known.map(([key, words]) => {
      const row = document.createElement("tr");
      const head = document.createElement("th");
      head.scope = "row";
      const cap = document.createElement("kbd");
      cap.textContent = NAMES[key] || key;
      head.append(cap);
      const cell = document.createElement("td");
      cell.textContent = words;
      row.append(head, cell);
      return row;
    }),
  );
}

const box = document.getElementById("single-keys");
if (box) {
  box.checked = on;
  box.addEventListener("change", () => {
    on = box.checked;
    localStorage.setItem(SWITCH, on ? "on" : "off");
  });
}
document.getElementById("help")?.addEventListener("click", openKeys);
bind([["?", "This sheet", openKeys]]);
