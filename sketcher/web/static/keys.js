// Keys that work anywhere but in a field: nudging, views, undo, saving.

import { send } from "./wire.js";

const plain = {
  ArrowLeft: { do: "nudge", towards: "left" },
  ArrowRight: { do: "nudge", towards: "right" },
  ArrowUp: { do: "nudge", towards: "up" },
  ArrowDown: { do: "nudge", towards: "down" },
  Enter: { do: "place" },
  Escape: { do: "escape" },
  Delete: { do: "delete" },
  "1": { do: "view", view: "quarter" },
  "2": { do: "view", view: "profile" },
  "3": { do: "view", view: "plan" },
  "4": { do: "view", view: "ahead" },
  "+": { do: "zoom", where: "picture", at: [0.5, 0.5], factor: 1.2 },
  "=": { do: "zoom", where: "picture", at: [0.5, 0.5], factor: 1.2 },
  "-": { do: "zoom", where: "picture", at: [0.5, 0.5], factor: 1 / 1.2 },
  "0": { do: "fit" },
  h: { do: "toggle" },
  d: { do: "duplicate" },
  f: { do: "hole" },
  "?": { do: "dialog", name: "keys" },
};

// Who speaks to the machine, or hits keys by chance, turns single characters off; this browser remembers it.
const LETTERS = "sketcher letters";
const isOff = (key) => key.length === 1 && localStorage.getItem(LETTERS) === "off";

export function showLetters() {
  const box = document.getElementById("letters");
  if (box) box.checked = localStorage.getItem(LETTERS) !== "off";
}

const inField = (target) => target.closest?.("input, select, textarea, [contenteditable], dialog, [popover]");

// Undoing what is being typed is the field's own affair; once it stands in the scene, undoing is the scene's.
const isTyping = (target) =>
  target.closest?.("dialog") || (target.matches?.("input[type=text]") && target.value !== (target.getAttribute("value") ?? ""));

// What is being typed is kept by leaving its field; the keyboard stays there.
function keepTyped(field) {
  if (!field?.matches("input")) return;
  field.blur();
  field.focus({ preventScroll: true });
}

// The paper that has the keyboard, the middle of what is seen of it [mm], and what is held, there or in the picture.
function onPaper(target) {
  const { grip, pane } = target.closest?.("[data-grip]")?.dataset ?? {};
  const paper = target.closest?.("#sheet, #pattern");
  const seen = paper?.querySelector("svg")?.viewBox.baseVal;
  if (!seen) return { grip };
  const joint = target.closest("[data-joint]")?.dataset.joint;
  const cut = target.closest("[data-cut]")?.dataset.cut;
  const at = [seen.x + seen.width / 2, seen.y + seen.height / 2];
  return { where: paper.id === "sheet" ? "drawing" : "pattern", at, joint, cut, grip, pane };
}

// A key of the bar chooses what to add, in the open menu what stands there; the keyboard then is where that is placed.
function chooses(event) {
  if (isOff(event.key) || event.altKey || event.repeat || event.target.closest?.("input, select, textarea, dialog")) return false;
  const menu = document.querySelector("#more:popover-open");
  const letter = event.key.toUpperCase();
  if (!menu && document.querySelector(":popover-open")) return false;
  if (!menu && letter === "M") {
    event.preventDefault();
    document.querySelector("[popovertarget=more]").click();
    document.querySelector("#more button").focus();
    return true;
  }
  const where = menu ? "#more" : ":is(#make, #cuts) >";
  const choice = document.querySelector(`${where} [data-letter="${CSS.escape(letter)}"]`);
  if (!choice) return false;
  event.preventDefault();
  choice.click();
  return true;
}

// From one tab to the next, round and round, and to the first and the last.
function turnsTab(event) {
  const tabs = [...document.querySelectorAll("[role=tab]")], at = tabs.indexOf(event.target);
  const to = { ArrowLeft: at - 1, ArrowRight: (at + 1) % tabs.length, Home: 0, End: -1 }[event.key];
  if (at < 0 || to === undefined) return false;
  event.preventDefault();
  tabs.at(to).focus();
  tabs.at(to).click();
  return true;
}

// Where the keyboard is, is marked for who works by it: not after a click.
function watchWhoWorks() {
  const by = (what) => () => (document.documentElement.dataset.by = what);
  window.addEventListener("pointerdown", by("pointer"), { capture: true });
  window.addEventListener("keydown", by("keys"), { capture: true });
}

export function watchKeys() {
  watchWhoWorks();
  document.addEventListener("change", ({ target }) => {
    if (target.id === "letters") localStorage.setItem(LETTERS, target.checked ? "on" : "off");
  });
  window.addEventListener("keydown", (event) => {
    const mod = event.ctrlKey || event.metaKey;
    const key = event.key.toLowerCase();
    if (mod && key === "s") {
      event.preventDefault();
      keepTyped(document.activeElement);
      return send({ do: event.shiftKey ? "dialog" : "save", name: "save as" });
    }
    if (mod && (key === "z" || key === "y")) {
      if (isTyping(event.target)) return undefined;
      event.preventDefault();
      return send({ do: key === "y" || event.shiftKey ? "redo" : "undo" });
    }
    if (!mod && (turnsTab(event) || chooses(event))) return undefined;
    const message = mod || inField(event.target) || isOff(event.key) ? null : plain[event.key];
    // Escape puts an open menu away, and nothing else.
    if (!message || (message === plain.Escape && document.querySelector(":popover-open"))) return undefined;
    // Enter places what waits, but for who stands on something else that Enter works.
    if (message === plain.Enter && (!document.body.dataset.placing || event.target.closest("button, a, summary, [role=option]"))) return undefined;
    event.preventDefault();
    return send({ ...message, ...onPaper(event.target), fine: event.shiftKey || event.altKey });
  });
}
