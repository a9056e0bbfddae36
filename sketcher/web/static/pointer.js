// Hands on the picture and on the drawings: presses and moves go to the sketch, at most one move for each frame, the newest.

import { send } from "./wire.js";

const canvas = document.getElementById("picture");
const sheet = document.getElementById("sheet");
const pattern = document.getElementById("pattern");
const grips = document.getElementById("grips");
const papers = [[sheet, "drawing"], [pattern, "pattern"]];
const fingers = new Map();
let waiting = null;
let scheduled = false;
let dragging = null;

// The newest message of each kind waits for the next frame; a wheel's turns are gathered.
function later(message) {
  waiting = message;
  if (scheduled) return;
  scheduled = true;
  requestAnimationFrame(() => {
    scheduled = false;
    if (waiting) send(waiting);
    waiting = null;
  });
}

function flush() {
  if (waiting) send(waiting);
  waiting = null;
}

// The canvas shows its picture whole, with margins if the shapes differ: from the page's pixels to a share of the picture.
function onPicture(event) {
  const box = canvas.getBoundingClientRect();
  const scale = Math.min(box.width / canvas.width, box.height / canvas.height);
  const x = (event.clientX - box.left - (box.width - canvas.width * scale) / 2) / (canvas.width * scale);
  const y = (event.clientY - box.top - (box.height - canvas.height * scale) / 2) / (canvas.height * scale);
  return [x, y];
}

function onPaper(event, paper) {
  const svg = paper.querySelector("svg");
  const point = new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
  return [point.x, point.y];
}

// A panel's line is a few pixels wide: over a space, or what lies in it, the nearest panel within reach is meant.
const PANEL = /^(bulkhead|partition|lid)\//;
const BEHIND = /^(compartment|bottles|stowage|foam|chain|tank|person)\//;
const AROUND = [...Array(8).keys()].map((k) => [Math.cos(k * Math.PI / 4), Math.sin(k * Math.PI / 4)]);

function partUnder(event) {
  const partAt = (x, y) => document.elementFromPoint(x, y)?.closest("#sheet [data-part]")?.dataset.part ?? null;
  const { clientX: x, clientY: y } = event;
  const here = partAt(x, y);
  if (here && !BEHIND.test(here)) return here;
  for (const reach of event.pointerType === "touch" ? [2, 5, 9, 13] : [1.5, 3, 4.5]) {
    for (const [dx, dy] of AROUND) {
      const near = partAt(x + dx * reach, y + dy * reach);
      if (near && PANEL.test(near)) return near;
    }
  }
  return here;
}

const partsUnder = ({ clientX, clientY }) =>
  [...new Set(document.elementsFromPoint(clientX, clientY).map((it) => it.closest("#sheet [data-part]")?.dataset.part).filter(Boolean))];

const fine = (event) => event.shiftKey || event.altKey;

function press(event, where, at, more = {}) {
  dragging = { where, id: event.pointerId };
  const button = event.button === 2 || event.button === 1 ? "pan" : "main";
  send({ do: "press", where, at, button, fine: fine(event), touch: event.pointerType === "touch", ...more });
}

// A handle lies over the picture: pressed there, the picture is.
for (const element of [canvas, grips]) {
  element.addEventListener("pointerdown", (event) => {
    const held = event.target.closest("[data-grip], canvas");
    held.focus({ preventScroll: true });
    canvas.setPointerCapture(event.pointerId);
    fingers.set(event.pointerId, event);
    if (fingers.size === 2) return send({ do: "escape" });
    press(event, "picture", onPicture(event), { grip: held.dataset.grip });
  });
}

// Two fingers move and magnify the picture.
function pinch(event) {
  const [a, b] = [...fingers.values()];
  const before = { x: (a.clientX + b.clientX) / 2, y: (a.clientY + b.clientY) / 2, d: Math.hypot(a.clientX - b.clientX, a.clientY - b.clientY) };
  fingers.set(event.pointerId, event);
  const [c, d] = [...fingers.values()];
  const after = { x: (c.clientX + d.clientX) / 2, y: (c.clientY + d.clientY) / 2, d: Math.hypot(c.clientX - d.clientX, c.clientY - d.clientY) };
  const from = onPicture({ clientX: before.x, clientY: before.y });
  const to = onPicture({ clientX: after.x, clientY: after.y });
  send({ do: "pinch", from, to, factor: after.d / Math.max(before.d, 1) });
}

canvas.addEventListener("pointermove", (event) => {
  if (fingers.size === 2 && fingers.has(event.pointerId)) return pinch(event);
  if (dragging && event.pointerId !== dragging.id) return;
  later({ do: dragging ? "move" : "hover", where: "picture", at: onPicture(event), fine: fine(event) });
});

function release(event) {
  fingers.delete(event.pointerId);
  if (!dragging || event.pointerId !== dragging.id) return;
  dragging = null;
  flush();
  send({ do: "release" });
}

for (const element of [canvas, sheet, pattern]) {
  element.addEventListener("pointerup", release);
  element.addEventListener("pointercancel", release);
  element.addEventListener("contextmenu", (event) => event.preventDefault());
}

for (const [paper, where] of papers) {
  paper.addEventListener("pointerdown", (event) => {
    if (!event.target.closest("svg")) return;
    (event.target.closest("[data-joint], [data-cut][tabindex], [data-grip]") ?? paper).focus({ preventScroll: true });
    paper.setPointerCapture(event.pointerId);
    const { grip, pane } = event.target.closest("[data-grip]")?.dataset ?? {};
    const cut = event.target.closest("[data-cut]")?.dataset.cut;
    press(event, where, onPaper(event, paper), { part: partUnder(event), beneath: partsUnder(event), cut, grip, pane });
  });

  paper.addEventListener("pointermove", (event) => {
    const placing = document.body.dataset.placing;
    if ((!dragging && !placing) || !paper.querySelector("svg")) return;
    const part = placing ? partUnder(event) : undefined;
    later({ do: dragging ? "move" : "hover", where, at: onPaper(event, paper), part, fine: fine(event) });
  });
}

for (const [element, where, place] of [[canvas, "picture", onPicture], ...papers.map(([paper, name]) => [paper, name, (event) => onPaper(event, paper)])]) {
  element.addEventListener("wheel", (event) => {
    if (!element.querySelector("svg") && element !== canvas) return;
    event.preventDefault();
    const factor = Math.exp(-event.deltaY * (event.deltaMode === 1 ? 0.05 : 0.0015));
    send({ do: "zoom", where, at: place(event), factor });
  }, { passive: false });
}

// The figures of what is placed go with the pointer, on that side of it where there is room.
const board = document.getElementById("board");
const hand = document.getElementById("hand");
const ASIDE = 28; // pixels
let over = null;
board.addEventListener("pointerleave", () => (over = null));
board.addEventListener("pointermove", (event) => {
  over = event;
  const { clientX, clientY } = event;
  const box = board.getBoundingClientRect();
  const [x, y] = [clientX - box.left, clientY - box.top];
  const [right, low] = [x > box.width / 2, y > box.height / 2];
  hand.style.setProperty("--left", right ? "auto" : `${x + ASIDE}px`);
  hand.style.setProperty("--right", right ? `${box.width - x + ASIDE}px` : "auto");
  hand.style.setProperty("--top", low ? "auto" : `${y + ASIDE}px`);
  hand.style.setProperty("--bottom", low ? `${box.height - y + ASIDE}px` : "auto");
});

// What is chosen while the pointer rests on the boat or a drawing is shown there at once.
export function showUnderPointer() {
  if (over?.target === canvas) send({ do: "hover", where: "picture", at: onPicture(over) });
  else if (over?.target.closest("#sheet svg")) send({ do: "hover", where: "drawing", at: onPaper(over, sheet), part: partUnder(over) });
}

export const isDragging = () => dragging !== null;

// The picture is drawn at the size it is shown; the last page that changes its size wins.
export function watchSize() {
  const tell = () => {
    const box = canvas.parentElement.getBoundingClientRect();
    const sizes = Object.fromEntries([["size", box], ["sheet", sheet.getBoundingClientRect()], ["pattern", pattern.getBoundingClientRect()], ["board", board.getBoundingClientRect()]]
      .map(([name, { width, height }]) => [name, [Math.round(width), Math.round(height)]]));
    send({ do: "size", ...sizes });
  };
  const watcher = new ResizeObserver(tell);
  watcher.observe(canvas.parentElement);
  watcher.observe(sheet);
  watcher.observe(pattern);
  return tell;
}
