// Outlines dragged on the hull's drawings: by a hand, or by arrows and Enter; what is let go of is told once, as one step.

import { send } from "./wire.js";

const SVG = "http://www.w3.org/2000/svg";
const place = document.getElementById("hull");
let held = null;

const ringOf = (target) => target.closest?.("circle[data-pull]");

function take(ring) {
  drop();
  const drawing = ring.ownerSVGElement, at = [Number(ring.getAttribute("cx")), Number(ring.getAttribute("cy"))];
  const trail = document.createElementNS(SVG, "polyline"), words = document.createElementNS(SVG, "text");
  for (const mark of [trail, words]) mark.setAttribute("class", "pulled");
  held = { ring, drawing, frame: drawing.dataset.frame.split(" ").map(Number), from: at, at: [...at], trail, words };
  drawing.append(trail, words);
}

// Across and up in metres.
function metres([x, y]) {
  const [across, up, scale, height, edge] = held.frame;
  return [(x - edge) / scale + across, (height - y - edge) / scale + up];
}

function moveTo(x, y) {
  const { ring, from, trail, words, drawing, frame } = held;
  const free = ring.dataset.free;
  // What came meanwhile has drawn her anew without them.
  if (!trail.isConnected) drawing.append(trail, words);
  held.at = [free === "up" ? from[0] : x, free === "across" ? from[1] : y];
  ring.setAttribute("cx", held.at[0]);
  ring.setAttribute("cy", held.at[1]);
  const beside = ring.dataset.beside ? ring.dataset.beside.split(" ") : [from.join(",")];
  trail.setAttribute("points", [beside[0], held.at.join(","), ...beside.slice(1)].join(" "));
  const step = frame[5], per = Number(drawing.dataset.per);
  words.textContent = `${metres(held.at).map((value) => Number((Math.round(value / step) * step * per).toFixed(4))).join(", ")} ${drawing.dataset.units}`;
  words.setAttribute("x", held.at[0]);
  words.setAttribute("y", held.at[1] - 4);
  words.setAttribute("text-anchor", held.at[0] > drawing.viewBox.baseVal.width / 2 ? "end" : "start");
}

// The ring goes back; the drawing that comes of the drag has it where it belongs.
function drop() {
  if (!held) return;
  const { ring, from, trail, words } = held;
  ring.setAttribute("cx", from[0]);
  ring.setAttribute("cy", from[1]);
  trail.remove();
  words.remove();
  held = null;
}

function tell() {
  if (!held) return;
  const { ring, drawing, at, from } = held;
  const moved = at[0] !== from[0] || at[1] !== from[1];
  const message = { do: "hull_drag", drawing: drawing.dataset.drawing, pull: ring.dataset.pull, to: metres(at) };
  drop();
  if (moved) send(message);
}

function underHand({ clientX, clientY }) {
  const { x, y } = new DOMPoint(clientX, clientY).matrixTransform(held.drawing.getScreenCTM().inverse());
  return [x, y];
}

function onKey(event) {
  const ring = ringOf(event.target);
  if (!ring || event.ctrlKey || event.metaKey || event.altKey) return;
  const by = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[event.key];
  if (by) {
    if (held?.ring !== ring) take(ring);
    const step = held.frame[5] * held.frame[2] * (event.shiftKey ? 50 : 5);
    moveTo(held.at[0] + by[0] * step, held.at[1] + by[1] * step);
  } else if (event.key === "Enter") tell();
  else if (event.key === "Escape" && held) drop();
  else return;
  event.preventDefault();
  event.stopPropagation();
}

export function watchOutlines() {
  place.addEventListener("pointerdown", (event) => {
    const ring = ringOf(event.target);
    if (!ring || event.button) return;
    event.preventDefault();
    ring.focus({ preventScroll: true });
    take(ring);
    held.hand = event.pointerId;
    held.off = underHand(event).map((value, axis) => value - held.from[axis]);
    ring.setPointerCapture(event.pointerId);
  });
  place.addEventListener("pointermove", (event) => {
    if (held?.hand !== event.pointerId) return;
    if (!held.ring.isConnected) return void drop();
    const [x, y] = underHand(event);
    moveTo(x - held.off[0], y - held.off[1]);
  });
  place.addEventListener("pointerup", (event) => held?.hand === event.pointerId && tell());
  place.addEventListener("pointercancel", drop);
  place.addEventListener("keydown", onKey);
  // What was moved by keys is kept by going on, as a number that is typed is.
  place.addEventListener("focusout", ({ target }) => held && held.hand === undefined && target === held.ring && tell());
}
