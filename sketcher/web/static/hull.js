// The hull's numbers as a tape is read: Enter goes on, arrows go up and down, Y takes what is likely; big keys where fingers type.

import { send } from "./wire.js";

const place = document.getElementById("hull");
const NUMBERS = "input[type=text][data-do=hull_set]";
const KEYS = ["7", "8", "9", "⌫", "4", "5", "6", "/", "1", "2", "3", "space", "0", ".", "−", "next"];
const pad = document.getElementById("keypad");
const line = document.getElementById("typing");
const BESIDE = 320; // pixels
const ZERO = /^\s*[-+−]?0+([.,]0*)?\s*(mm|cm|m|in|ft|["'])?\s*$/;

const boxes = () => [...place.querySelectorAll(NUMBERS)];

function goTo(box) {
  box?.focus();
  box?.select();
}

// Which number is typed next is said in words, with what is not asked there.
function sayTyping(box, asks) {
  line.hidden = !box;
  line.classList.toggle("asks", Boolean(asks));
  if (!box) return;
  line.textContent = asks || [`${box.ariaLabel}.`, box.dataset.beside].filter(Boolean).join(" ");
  putBeside(box);
}

// Beside the numbers, where there is room, at the height of the one that is typed; else at their foot.
function putBeside(box) {
  const typed = box.closest(".typed").getBoundingClientRect(), at = box.getBoundingClientRect();
  const beside = line.parentNode !== pad && typed.right + BESIDE < innerWidth && at.top >= typed.top && at.bottom <= typed.bottom;
  line.classList.toggle("beside", beside);
  if (beside) Object.assign(line.style, { left: `${typed.right}px`, top: `${Math.min(at.top, innerHeight - line.offsetHeight)}px` });
  else line.removeAttribute("style");
}

// A 0 that is hardly a height or half-breadth there is asked about before it is taken; the same key once more keeps it.
function questioned(box) {
  if (!box.typed || box.asked || !box.dataset.zero || !ZERO.test(box.value)) return false;
  box.asked = true;
  sayTyping(box, box.dataset.zero);
  box.select();
  return true;
}

// The number that stands is right: a guess that Enter passes over unchanged is a measurement.
function keepGuess(box) {
  if (box.dataset.guess && box.value === (box.getAttribute("value") ?? "")) send({ do: "hull_set", field: box.dataset.field, value: box.value });
}

// What was typed in a number is told, by which keys ever; browsers tell only of what differs from what stood there at first,
// which the page may have changed meanwhile.
function tellChange(box) {
  if (!box.typed || box.value === (box.getAttribute("value") ?? "")) return;
  box.told = true;
  box.dispatchEvent(new Event("change", { bubbles: true }));
}

function next(box) {
  tellChange(box);
  const all = boxes().filter((each) => each === box || !each.dataset.skip);
  keepGuess(box);
  goTo(all[all.indexOf(box) + 1] ?? box);
}

// The same number of the point above or below.
function beside(box, by) {
  const parts = box.dataset.field.split(".");
  if (parts.length < 3) return;
  const at = parts.length - 2;
  parts[at] = String(Number(parts[at]) + by);
  goTo(place.querySelector(`${NUMBERS}[data-field="${CSS.escape(parts.join("."))}"]`));
}

function onKey(event) {
  const box = event.target;
  if (!box.matches?.(NUMBERS) || event.ctrlKey || event.metaKey || event.altKey) return;
  if (event.key === "Enter") questioned(box) || next(box);
  else if (event.key === "Tab") {
    if (!questioned(box)) return;
  }
  else if (event.key === "ArrowDown" || event.key === "ArrowUp") beside(box, event.key === "ArrowDown" ? 1 : -1);
  else if (event.key.toLowerCase() === "y" && box.dataset.likely) {
    box.value = box.dataset.likely;
    box.typed = true;
    next(box);
  } else return;
  event.preventDefault();
}

// A key of the pad does in the number what a keyboard's would; the number keeps the keyboard.
function press(key) {
  const box = document.activeElement;
  if (!box?.matches(NUMBERS)) return;
  if (key === "next") return questioned(box) || next(box);
  const [start, end] = [box.selectionStart, box.selectionEnd];
  box.typed = true;
  box.told = box.asked = false;
  if (key === "⌫") box.setRangeText("", start === end ? Math.max(start - 1, 0) : start, end, "end");
  else box.setRangeText({ space: " ", "−": "-" }[key] ?? key, start, end, "end");
}

function showPad() {
  const names = { "⌫": "Rub out", "/": "Stroke of a fraction", space: "Space", "−": "Minus", next: "Next number" };
  pad.replaceChildren(...KEYS.map((key) => {
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = key;
    button.tabIndex = -1;
    if (names[key]) button.ariaLabel = names[key];
    button.addEventListener("pointerdown", (event) => event.preventDefault());
    button.addEventListener("click", () => press(key));
    return button;
  }));
}

// Where nothing is measured yet, typing begins at once.
export function beginTyping() {
  const first = boxes()[0];
  if (first && place.querySelector("[data-guess]") && !document.querySelector("dialog[open]")) goTo(first);
}

export function watchHull() {
  const fingers = matchMedia("(pointer: coarse)");
  showPad();
  if (fingers.matches) pad.prepend(line);
  place.addEventListener("keydown", onKey);
  place.addEventListener("input", ({ target }) => {
    if (target.asked) sayTyping(target);
    target.asked = false;
  });
  // A number that is clicked is typed over.
  let clicked = null;
  place.addEventListener("click", ({ target }) => {
    if (target.matches(NUMBERS) && target !== clicked) target.select();
    clicked = target;
  });
  place.addEventListener("scroll", () => line.hidden || putBeside(document.activeElement), { capture: true, passive: true });
  place.addEventListener("focusin", ({ target }) => {
    const number = target.matches(NUMBERS);
    pad.hidden = !(fingers.matches && number);
    sayTyping(number ? target : null);
    if (!number) return;
    target.asked = false;
    if (fingers.matches) target.inputMode = "none";
    target.scrollIntoView({ block: "nearest" });
    if (target.dataset.station && target.dataset.station !== place.dataset.station)
      send({ do: "hull_look", station: Number((place.dataset.station = target.dataset.station)) });
  });
  place.addEventListener("focusout", ({ target, relatedTarget }) => {
    tellChange(target);
    sayTyping(null);
    if (!relatedTarget?.matches?.(NUMBERS)) pad.hidden = true;
  });
}
