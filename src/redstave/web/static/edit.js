// A text that belongs to something kept (a remark, a grade's note): typed as a draft that is saved
// at every pause, and put where it belongs when the field is left or Ctrl+Enter is pressed.

import { Refused } from "./ask.js";
import { Kept } from "./keep.js";
import { tellSaved } from "./say.js";

// `commit(text)` puts the text where it belongs; it may refuse with 409 and both texts.
// `ready()` says whether it can be put there yet; until then it waits as a draft.
export function editable(area, code, field, commit, ready = () => true) {
  const one = { area, last: area.value.trim(), kept: null, settling: null };
  const begin = () => {
    one.kept = new Kept(area, code, field, { onClash: (theirs, revision) => clash(one, theirs, (text) => typedOver(one, text, revision)) });
    return one.kept.restore().catch((error) => tellSaved(error.message, true));
  };
  one.settle = async () => {
    const text = area.value.trim();
    if (text === one.last || !ready()) return;
    await one.kept.save();
    try {
      await commit(text);
    } catch (error) {
      if (!(error instanceof Refused) || error.status !== 409) {
        tellSaved(error.message, true);
        throw error;
      }
      tellSaved("Changed in another tab: both texts are kept", true);
      clash(one, error.said.theirs, (words) => commit.over?.(error.said.revision, words));
      return;
    }
    one.last = text;
    tellSaved("Saved");
    if (area.value.trim() === text) {
      await one.kept.done();
      begin();
    }
  };
  const settle = () => {
    one.settling = (one.settling || Promise.resolve()).then(one.settle).catch(() => {});
    return one.settling;
  };
  area.addEventListener("blur", settle);
  area.addEventListener("keydown", (event) => {
    if (event.key !== "Enter" || !(event.ctrlKey || event.metaKey)) return;
    event.preventDefault();
    settle();
  });
  begin();
  return one;
}

function typedOver(one, text, revision) {
  one.area.value = text;
  one.kept.revision = revision;
  one.kept.changed();
  one.area.focus();
}

// Two tabs wrote one text: both are shown, and the teacher says which stands.
function clash(one, theirs, choose) {
  one.box?.remove();
  one.box = document.createElement("div");
  one.box.className = "clash";
  one.box.setAttribute("role", "alert");
  const words = Object.assign(document.createElement("p"), { textContent: "This text was changed in another tab. It reads there:" });
  const quote = Object.assign(document.createElement("blockquote"), { textContent: theirs || "(empty)" });
  const row = Object.assign(document.createElement("p"), { className: "acts" });
  const settle = (text) => {
    one.box.remove();
    one.area.value = text;
    choose(text);
  };
  row.append(
    button("Keep mine", () => settle(one.area.value)),
    button("Take that one", () => settle(theirs)),
    button("Join both", () => settle(`${theirs}\n\n${one.area.value}`)),
  );
  one.box.append(words, quote, row);
  one.area.after(one.box);
}

function button(words, deed) {
  const made = Object.assign(document.createElement("button"), { type: "button", textContent: words });
  made.addEventListener("click", deed);
  return made;
}
