// Two tabs wrote one thing: both are shown, and the teacher says which stands.

const CHANGED = "This text was changed in another tab. It reads there:";

// Show `theirs` after an element and buttons, each a name and a deed. Returns the box.
export function showBoth(after, theirs, deeds, words = CHANGED) {
  after.parentElement.querySelector(":scope > .clash")?.remove();
  const box = Object.assign(document.createElement("div"), { className: "clash" });
  box.setAttribute("role", "alert");
  const row = Object.assign(document.createElement("p"), { className: "acts" });
  for (const [name, deed] of deeds) {
    const button = Object.assign(document.createElement("button"), { type: "button", textContent: name });
    button.addEventListener("click", () => {
      box.remove();
      deed();
    });
    row.append(button);
  }
  box.append(
    Object.assign(document.createElement("p"), { textContent: words }),
    Object.assign(document.createElement("blockquote"), { textContent: theirs || "(empty)" }),
    row,
  );
  after.after(box);
  return box;
}

// Two wordings of one text: `choose(text)` gets the one that shall stand.
export function chooseText(area, theirs, choose) {
  return showBoth(area, theirs, [
    ["Keep mine", () => choose(area.value)],
    ["Take that one", () => choose(theirs)],
    ["Join both", () => choose(`${theirs}\n\n${area.value}`)],
  ]);
}
