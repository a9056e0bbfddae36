// The picture that sections are traced on: it stays in this page, and only where it was clicked is told.

import { send } from "./wire.js";

const place = document.getElementById("hull");
let source = "", image = null, cross = null, at = [0, 0];

async function choose(file) {
  const picture = file.type === "application/pdf" ? await drawnPage(file) : file;
  if (!picture) return;
  URL.revokeObjectURL(source);
  source = URL.createObjectURL(picture);
  image = new Image();
  image.alt = "";
  image.onload = () => {
    at = [image.naturalWidth / 2, image.naturalHeight / 2];
    send({ do: "hull_picture", size: [image.naturalWidth, image.naturalHeight] });
  };
  image.onerror = () => send({ do: "hull_no_picture", name: file.name.slice(0, 200) });
  image.src = source;
}

// The first page of a PDF, drawn by the sketch.
async function drawnPage(file) {
  const answer = await fetch("/drawn", { method: "POST", body: file });
  if (answer.ok) return answer.blob();
  send({ do: "hull_no_picture", name: file.name.slice(0, 200) });
  return null;
}

// The picture goes where the place has room for it, which comes once it is known.
function put() {
  const room = place.querySelector("#trace-picture");
  if (!room || !image || room.contains(image)) return;
  cross = document.createElement("i");
  cross.hidden = true;
  room.replaceChildren(image, cross);
  enlarge();
}

function enlarge() {
  if (image) image.style.width = `${place.querySelector("#trace-zoom").value}%`;
}

function click(x, y) {
  send({ do: "hull_trace", at: [x, y] });
}

function onClick(event) {
  if (!event.target.closest("#trace-paper") || !image) return;
  const { left, top, width, height } = image.getBoundingClientRect();
  at = [((event.clientX - left) / width) * image.naturalWidth, ((event.clientY - top) / height) * image.naturalHeight];
  click(...at);
}

function onKey(event) {
  if (event.target.id !== "trace-paper" || !image) return;
  const by = event.shiftKey ? 20 : 2;
  const moves = { ArrowLeft: [-by, 0], ArrowRight: [by, 0], ArrowUp: [0, -by], ArrowDown: [0, by] };
  if (event.key === "Enter") click(...at);
  else if (moves[event.key]) at = [at[0] + moves[event.key][0], at[1] + moves[event.key][1]];
  else return;
  cross.hidden = false;
  cross.style.left = `${(100 * at[0]) / image.naturalWidth}%`;
  cross.style.top = `${(100 * at[1]) / image.naturalHeight}%`;
  cross.scrollIntoView({ block: "nearest", inline: "nearest" });
  event.preventDefault();
  event.stopPropagation();
}

export function watchTracing() {
  place.addEventListener("change", ({ target }) => target.id === "trace-file" && target.files[0] && choose(target.files[0]));
  place.addEventListener("input", ({ target }) => target.id === "trace-zoom" && enlarge());
  place.addEventListener("click", onClick);
  place.addEventListener("keydown", onKey);
  new MutationObserver(put).observe(place, { childList: true, subtree: true });
}
