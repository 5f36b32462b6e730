// What a screen reader is told, and the word about saving.

const said = document.getElementById("said");
const saved = document.getElementById("saved");

export function say(words) {
  said.textContent = "";
  requestAnimationFrame(() => (said.textContent = words));
}

export function tellSaved(words, wrong = false) {
  if (!saved) return;
  saved.textContent = words;
  saved.classList.toggle("wrong", wrong);
}
