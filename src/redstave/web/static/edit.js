// A text that belongs to something kept (a remark, a grade's note): typed as a draft that is saved
// at every pause, and put where it belongs when the field is left or Ctrl+Enter is pressed.

import { Refused } from "./ask.js";
import { chooseText } from "./clash.js";
import { Kept } from "./keep.js";
import { tellSaved } from "./say.js";

// `commit(text)` puts the text where it belongs; it may refuse with 409 and both texts.
// `ready()` says whether it can be put there yet; until then it waits as a draft.
export function editable(area, code, field, commit, ready = () => true) {
  const one = { area, last: area.defaultValue.trim(), kept: null, settling: null };
  const begin = () => {
    one.kept = new Kept(area, code, field, { onClash: (theirs, revision) => chooseText(area, theirs, (text) => typedOver(one, text, revision)) });
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
      chooseText(area, error.said.theirs, (words) => {
        area.value = words;
        commit.over?.(error.said.revision, words);
      });
      return;
    }
    one.last = text;
    tellSaved("Saved");
    if (area.value.trim() === text) {
      area.defaultValue = area.value;
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
