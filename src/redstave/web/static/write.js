// Writing in the margin: rewording, dismissing with a reason, own remarks. Every text is kept as it
// is typed; what was left unfinished is open again when the page is.

import { get, inTurn, send } from "./ask.js";
import { chooseText } from "./clash.js";
import { cursor } from "./cursor.js";
import { Kept } from "./keep.js";
import { added, arrange, choose, currentNote, decided, gone, lastRemark, noteNamed, sectionHolding } from "./margin.js";
import { say, tellSaved } from "./say.js";
import { code, draw, isDrawn, onDrawn, partNames, sectionOf } from "./systems.js";

const parts = partNames.map(([id]) => id);
const guest = document.body.dataset.guest !== undefined;
const KINDS = { praise: "Praise", question: "Question", "way-out": "Way out", fix: "To be mended" };
let unfinished = new Map(); // texts on disk that were not made a remark yet, by field

// ---- what is done with a note ------------------------------------------------------------------

export function act(deed, note = currentNote()) {
  if (guest) return tellSaved("A guest may look and change nothing");
  if (!note) return tellSaved("Choose a finding first: n goes to the next one");
  const does = { accept, reword, dismiss, join, undo, main }[deed];
  const { name } = note.dataset;
  return inTurn(() => does(note.isConnected ? note : noteNamed(name))).catch(told); // it may have been made anew
}

async function accept(note) {
  if (note.dataset.remark) return tellSaved("Accepted already");
  return swap(note, await send("POST", `${findings(note)}/accept`, {}), "Accepted", false);
}

async function undo(note) {
  if (note.dataset.finding) {
    if (note.dataset.decision === "open") return tellSaved("Nothing to take back here");
    return swap(note, await send("POST", `${findings(note)}/reopen`, {}), "Open again", true);
  }
  const { remark, revision } = note.dataset;
  await send("DELETE", `/entries/${code}/remarks/${remark}`, { revision: +revision });
  const section = sectionHolding(note);
  gone(note.dataset.name);
  note.remove();
  arrange(section);
  return say("Remark taken back");
}

async function main(note) {
  const { remark, revision } = note.dataset;
  if (!remark) return tellSaved("Accept it first");
  const weight = note.querySelector(".main-point") ? "small" : "main";
  const found = await send("PUT", `/entries/${code}/remarks/${remark}`, { revision: +revision, weight });
  return swap(note, found, weight === "main" ? "A main point" : "A smaller point", false);
}

async function reword(note, how = {}) {
  const remark = note.dataset.remark;
  const field = remark ? `remark:${remark}` : `finding:${note.dataset.finding}`;
  return edit(note, field, note.querySelector(".says").textContent.trim(), "Your words", async (text) => {
    const found = remark
      ? await send("PUT", `/entries/${code}/remarks/${remark}`, { revision: +note.dataset.revision, text })
      : await send("POST", `${findings(note)}/accept`, { text });
    await swap(note, found, "Kept in your words", false);
  }, how);
}

async function dismiss(note, how = {}) {
  if (!note.dataset.finding) return tellSaved("A remark of your own is taken back, not dismissed");
  return edit(note, `reason:${note.dataset.finding}`, "", "Why it does not count (may stay empty)", async (text) => {
    await swap(note, await send("POST", `${findings(note)}/dismiss`, { reason: text }), "Dismissed", false);
  }, how);
}

// One remark for several findings: this one's places become the remark's.
async function join(note) {
  const into = lastRemark();
  if (!note.dataset.finding || note.dataset.remark) return tellSaved("Choose a finding that is still open");
  if (!into) return tellSaved("Accept or choose the remark first that this is to join");
  const { name } = note.dataset;
  const { full, short } = await send("POST", `${findings(note)}/join`, { remark: into.id });
  const holders = new Set([...document.querySelectorAll(`.side[data-name="${CSS.escape(name)}"]`)].map((one) => one.parentElement));
  document.querySelectorAll(`.side[data-name="${CSS.escape(name)}"]`).forEach((one) => one.remove());
  gone(name);
  noteNamed(into.name)?.replaceWith(made(full));
  for (const holder of holders) {
    if (!holder.querySelector(`.side[data-name="${CSS.escape(into.name)}"]`)) holder.prepend(made(short));
  }
  await choose(into.name, { scroll: false });
  holders.forEach((holder) => arrange(sectionHolding(holder)));
  tellSaved("Joined to your remark");
}

// A finding that was joined to a remark stands for itself again; the margin is made anew.
async function part(key) {
  await send("POST", `/entries/${code}/findings/${key}/reopen`, {});
  location.reload();
}

function findings(note) {
  return `/entries/${code}/findings/${note.dataset.finding}`;
}

async function swap(note, html, words, open) {
  const section = sectionHolding(note);
  const fresh = made(html);
  const here = note.classList.contains("current") || note.contains(document.activeElement);
  note.replaceWith(fresh);
  decided(fresh.dataset.name, open);
  if (here) await choose(fresh.dataset.name, { scroll: false }); // else the teacher has gone on already
  arrange(section);
  say(words);
}

function made(html) {
  const holder = document.createElement("template");
  holder.innerHTML = html; // made by the desk, words escaped
  return holder.content.querySelector(".side");
}

// ---- an own remark -----------------------------------------------------------------------------

export async function remark(kind) {
  if (guest) return tellSaved("A guest may look and change nothing");
  const field = `new:${kind}:${cursor.bar}-${cursor.bar}:${parts.indexOf(cursor.part)}.${cursor.stave}`;
  await draw(sectionOf(cursor.bar));
  return openNew(field, true);
}

// An own remark that is being typed stands in the margin of its bar.
async function openNew(field, focus) {
  const found = /^new:([a-z-]+):(\d+)-(\d+):(-?\d+)\.(\d+)$/.exec(field);
  if (!found) return;
  const [kind, first, last, at, stave] = [found[1], +found[2], +found[3], +found[4], +found[5]];
  const section = sectionOf(first);
  const before = section.element.querySelector(`.side[data-name="${CSS.escape(field)}"]`);
  if (before) return before.querySelector("textarea").focus();
  const place = { first, last, part: parts[at] || "", stave, notes: [] };
  const note = blank(field, kind, place);
  section.element.querySelector(".margin .here").prepend(note);
  await edit(note, field, "", `Your ${KINDS[kind].toLowerCase()} at ${document.getElementById("place").textContent}`, async (text) => {
    const chosen = note.querySelector("select").value;
    const html = await send("POST", `/entries/${code}/remarks`, { kind: chosen, text, place });
    const name = /data-name="([^"]+)"/.exec(html)[1];
    added(name, first);
    await swap(note, html, "Remark kept", false);
  }, { focus, kind });
  arrange(section);
}

function blank(field, kind, place) {
  const note = document.createElement("li");
  note.className = `side hand ${kind}`;
  note.dataset.name = field;
  note.dataset.places = JSON.stringify([place]);
  const article = document.createElement("article");
  article.tabIndex = -1;
  note.append(article);
  return note;
}

// ---- the editor --------------------------------------------------------------------------------

async function edit(note, field, text, label, finish, { focus = true, kind = "" } = {}) {
  const open = note.querySelector("textarea");
  if (open) return open.focus();
  const box = document.createElement("div");
  box.className = "editor";
  const area = document.createElement("textarea");
  area.setAttribute("aria-label", label);
  area.placeholder = label;
  area.defaultValue = text;
  const row = document.createElement("p");
  row.className = "acts";
  if (kind) row.append(kindChoice(kind));
  const done = button("Done", "Control+Enter");
  const later = button("Later", "Escape");
  const drop = button("Drop", "");
  row.append(done, later, drop);
  box.append(area, row);
  note.querySelector("article").append(box);
  note.classList.add("editing");
  const kept = new Kept(area, code, field, { onClash: (theirs, revision) => clash(area, kept, theirs, revision) });
  const close = () => {
    kept.close();
    box.remove();
    note.classList.remove("editing");
  };
  const settle = async () => {
    done.disabled = true;
    try {
      await kept.save();
      await finish(area.value.trim());
      await kept.done();
      unfinished.delete(field);
      close();
    } catch (error) {
      told(error);
    } finally {
      done.disabled = false;
    }
  };
  done.addEventListener("click", settle);
  later.addEventListener("click", putOff);
  drop.addEventListener("click", () => giveUp(note, field, kept, close));
  area.addEventListener("keydown", (event) => {
    if (event.key === "Enter" && (event.ctrlKey || event.metaKey)) settle();
    else if (event.key === "Enter" && field.startsWith("reason:")) settle();
    else if (event.key === "Escape") putOff();
    else return;
    event.preventDefault();
  });
  area.addEventListener("input", () => arrange(sectionHolding(note)));
  if (focus) {
    area.focus({ preventScroll: true });
    area.setSelectionRange(text.length, text.length); // now, not after the answer: what is selected meanwhile stays
  }
  await kept.restore();
  const section = sectionHolding(note);
  if (section) arrange(section);
  return area;
}

// Leave a text for later: it stays open, and it is on disk.
function putOff() {
  tellSaved("Your text is kept; it stays open here");
  document.getElementById("cursor").focus({ preventScroll: true });
}

// Drop a text: the season keeps it among its earlier texts, the page shows it no more.
async function giveUp(note, field, kept, close) {
  const section = sectionHolding(note);
  await kept.done();
  unfinished.delete(field);
  close();
  if (field.startsWith("new:")) note.remove();
  arrange(section);
  document.getElementById("cursor").focus({ preventScroll: true });
}

function kindChoice(kind) {
  const select = document.createElement("select");
  select.setAttribute("aria-label", "What it is");
  for (const [value, words] of Object.entries(KINDS)) select.append(new Option(words, value, false, value === kind));
  return select;
}

function button(words, keys) {
  const one = document.createElement("button");
  one.type = "button";
  one.textContent = words;
  one.setAttribute("aria-keyshortcuts", keys);
  return one;
}

// Two tabs typed into one text: what the teacher chose is typed over what stands on disk.
function clash(area, kept, theirs, revision) {
  chooseText(area, theirs, (text) => {
    area.value = text;
    kept.revision = revision;
    kept.changed();
    area.focus();
  });
}

function told(error) {
  tellSaved(error.message, true);
}

// ---- what was left unfinished ------------------------------------------------------------------

export async function watchWriting() {
  document.getElementById("main").addEventListener("click", (event) => {
    const deed = event.target.closest("[data-act]");
    if (deed) act(deed.dataset.act, deed.closest(".side"));
    const joined = event.target.closest("[data-part]");
    if (joined) part(joined.dataset.part).catch(told);
  });
  if (guest) return;
  const drafts = await get(`/entries/${code}/drafts`).catch(() => []);
  unfinished = new Map(drafts.filter((one) => one.text).map((one) => [one.field, one]));
  onDrawn(reopen);
}

function reopen(section) {
  if (!isDrawn(section)) return;
  for (const field of unfinished.keys()) {
    const [what, name] = field.split(":");
    if (what === "new") {
      const bar = +(/^new:[a-z-]+:(\d+)-/.exec(field)?.[1] ?? -1);
      if (bar >= section.first && bar <= section.last) openNew(field, false);
      continue;
    }
    const mark = { finding: "finding", remark: "remark", reason: "finding" }[what];
    const note = mark && section.element.querySelector(`.side:not(.again)[data-${mark}="${CSS.escape(name)}"]`);
    if (note && !note.querySelector("textarea")) resume(note, what);
  }
}

function resume(note, what) {
  const folded = note.closest("details");
  if (folded) folded.open = true; // what was half typed must be seen
  return (what === "reason" ? dismiss : reword)(note, { focus: false }).catch(told);
}
