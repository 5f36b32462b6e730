// Typed text is kept: in this browser at every keystroke, on the desk's disk at every pause.
//
// A save says which revision it was typed over. Where another tab has saved meanwhile, nothing is
// overwritten: both texts are shown and the teacher chooses.

import { Refused, get, send } from "./ask.js";
import { tellSaved } from "./say.js";

const PAUSE_MS = 350;
const AGAIN_MS = 1500;

export class Kept {
  // `field` names the text of the entry `code`; `onClash(theirs)` shows what another tab has saved.
  constructor(area, code, field, { revision = 0, onClash = () => {} } = {}) {
    Object.assign(this, { area, code, field, revision, onClash });
    this.url = `/entries/${code}/drafts/${encodeURIComponent(field)}`;
    this.key = `redstave:${code}:${field}`;
    this.saving = Promise.resolve();
    this.dirty = false;
    this.typed = () => this.changed();
    area.addEventListener("input", this.typed);
    this.leaving = () => document.visibilityState === "hidden" && this.dirty && this.save(true);
    document.addEventListener("visibilitychange", this.leaving);
    addEventListener("pagehide", this.leaving);
  }

  // Take what is on disk, what this browser holds that never got there, and what was typed before
  // either was known. Nothing is saved over a text on disk that is not known yet.
  restore() {
    const found = this.find();
    this.saving = found.catch(() => {});
    return found;
  }

  async find() {
    const left = read(this.key);
    if (this.isTyped()) this.changed();
    const draft = await get(this.url);
    if (this.isTyped()) {
      this.typedOver(draft, left);
      return draft;
    }
    this.revision = draft.revision;
    if (left && left.text !== draft.text) {
      this.fill(left.text);
      if (left.revision === draft.revision) this.changed();
      else this.onClash(draft.text, draft.revision);
    } else if (draft.text) {
      this.fill(draft.text);
    }
    return draft;
  }

  // Put in what was kept. A teacher who has selected the whole text already means the whole of this.
  fill(text) {
    const { value, selectionStart, selectionEnd } = this.area;
    const whole = value && selectionStart === 0 && selectionEnd === value.length;
    this.area.value = text;
    if (whole) this.area.setSelectionRange(0, text.length);
  }

  // Whether the field no longer holds what the page was made with.
  isTyped() {
    return this.area.value !== this.area.defaultValue;
  }

  // A text typed before the page was ready stands, unless there is another that it has never seen.
  typedOver(draft, left) {
    const known = [this.area.value, this.area.defaultValue];
    const unseen = [draft.text, left?.text].find((text) => text && !known.includes(text));
    if (unseen) {
      clearTimeout(this.timer);
      this.onClash(unseen, draft.revision);
      return;
    }
    this.revision = draft.revision;
    this.changed();
  }

  changed() {
    this.dirty = true;
    write(this.key, { text: this.area.value, revision: this.revision });
    tellSaved("…");
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.save(), PAUSE_MS);
  }

  // Save now; one save at a time, the last text wins within this tab.
  save(keepalive = false) {
    clearTimeout(this.timer);
    this.saving = this.saving.then(() => this.put(this.area.value, keepalive));
    return this.saving;
  }

  async put(text, keepalive) {
    try {
      const draft = await send("PUT", this.url, { text, revision: this.revision }, { keepalive });
      this.revision = draft.revision;
      if (this.area.value === text) {
        this.dirty = false;
        erase(this.key);
        tellSaved("Saved");
      }
    } catch (error) {
      if (error instanceof Refused && error.status === 409) {
        tellSaved("Changed in another tab: both texts are kept", true);
        this.onClash(error.said.theirs, error.said.revision);
      } else {
        tellSaved("Not on disk yet; kept in this browser", true);
        this.timer = setTimeout(() => this.save(), AGAIN_MS);
      }
    }
  }

  // The text has become something else (a remark): the draft is emptied.
  async done() {
    clearTimeout(this.timer);
    await this.saving;
    await this.put("", false);
    erase(this.key);
    this.close();
  }

  close() {
    clearTimeout(this.timer);
    this.area.removeEventListener("input", this.typed);
    document.removeEventListener("visibilitychange", this.leaving);
    removeEventListener("pagehide", this.leaving);
  }
}

function read(key) {
  try {
    return JSON.parse(localStorage.getItem(key));
  } catch {
    return null;
  }
}

function write(key, value) {
  try {
    localStorage.setItem(key, JSON.stringify(value));
  } catch {
    // no room in the browser: the disk has it within half a second
  }
}

function erase(key) {
  try {
    localStorage.removeItem(key);
  } catch {
    // nothing was there then
  }
}
