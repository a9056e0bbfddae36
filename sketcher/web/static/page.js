// Joins the page together: the wire's turns become markup and a picture; what is clicked and typed becomes a message.

import { morph, say } from "./morph.js";
import { begin, send } from "./wire.js";
import { showUnderPointer, watchSize } from "./pointer.js";
import { beginTyping, watchHull } from "./hull.js";
import { watchTracing } from "./trace.js";
import { watchOutlines } from "./outlines.js";
import { showLetters, watchKeys } from "./keys.js";
import { watchCurves } from "./curves.js";

const canvas = document.getElementById("picture");
const paint = canvas.getContext("2d", { alpha: false });
const ended = document.getElementById("ended");
const key = document.getElementById("key");
const shown = { pictures: 0, state: {}, asked: 0, settled };
const BUSY_AFTER = 300; // milliseconds
const busy = document.getElementById("busy");
let awaited = false;
const tellSize = watchSize();
window.sketch = shown;

// Resolves once everything asked so far has been done and is on the page; what an earlier page asked does not count.
function settled() {
  const number = (shown.asked = Math.max(shown.asked, shown.state.echo ?? 0) + 1);
  send({ do: "echo", number });
  return new Promise((resolve) => {
    const look = () => (shown.state.echo >= number ? resolve() : setTimeout(look, 15));
    look();
  });
}

// What takes longer than an eye waits is said to be under way.
async function showWork() {
  if (awaited) return;
  awaited = true;
  const late = setTimeout(() => (busy.hidden = false), BUSY_AFTER);
  await settled();
  clearTimeout(late);
  busy.hidden = true;
  awaited = false;
}

// at: where what changed belongs in the picture that is shown; null: this is the whole of another.
function showPicture(image, at) {
  if (!at && (canvas.width !== image.width || canvas.height !== image.height)) {
    canvas.width = image.width;
    canvas.height = image.height;
  }
  paint.drawImage(image, ...(at ?? [0, 0]));
  image.close();
  canvas.dataset.pictures = String((shown.pictures += 1));
}

function showPart(name, text) {
  if (name === "page") return showPage(JSON.parse(text));
  const element = document.getElementById(name);
  if (!element) return undefined;
  const field = element.contains(document.activeElement) && document.activeElement;
  const held = field && { key: field.dataset.key, value: field.value, typed: field.typed };
  morph(element, text);
  if (name === "dialog") return showDialog(element.querySelector("dialog"));
  // What had the keyboard may be moved or gone: the nearest place that can have it takes over, so that no one starts from the top.
  if (held && document.activeElement === document.body) handOver(held, element);
  return undefined;
}

function handOver(held, element) {
  const place = held.key && element.querySelector(`[data-key="${CSS.escape(held.key)}"]`);
  (place || element.closest("[tabindex]") || canvas).focus({ preventScroll: true });
  if (!place || !place.matches("input[type=text]")) return;
  if (held.typed) Object.assign(place, { value: held.value, typed: true });
  else place.select();
}

// What had the keyboard before a dialog took it gets it back; of a menu, which has closed meanwhile, the button that opens it.
let before = null;

function giveBack() {
  const menu = before?.closest("[popover]");
  const place = menu ? document.querySelector(`[popovertarget="${menu.id}"]`) : before;
  before = null;
  if (place) (place.isConnected ? place : canvas).focus({ preventScroll: true });
}

// A dialog waits until what is being typed is finished, so that the Enter meant for a field does not answer it.
function showDialog(dialog) {
  if (!dialog) return giveBack();
  if (!dialog.isConnected || dialog.open) return undefined;
  const field = document.activeElement;
  if (isHalfTyped(field)) {
    const afterwards = () => setTimeout(() => showDialog(dialog), AFTER_ENTER);
    for (const end of ["change", "blur"]) field.addEventListener(end, afterwards, { once: true });
    return undefined;
  }
  before ??= field;
  showLetters();
  dialog.showModal();
  dialog.addEventListener("cancel", () => send({ do: "close" }), { once: true });
  dialog.querySelector("[autofocus]")?.select?.();
  return undefined;
}

const AFTER_ENTER = 400; // milliseconds for the key to come up again

const isHalfTyped = (field) =>
  field?.matches("input[type=text][data-do]") && field.value !== field.sent && field.value !== (field.getAttribute("value") ?? "");

// What no markup can carry: the title, the arrangement, the shape of the pointer, whether there is unsaved work.
function showPage(page) {
  document.title = page.title;
  const board = document.getElementById("board");
  if (page.arrangement === "hull" && board.dataset.arrangement !== "hull") setTimeout(beginTyping);
  board.dataset.arrangement = page.arrangement;
  document.body.dataset.over = page.over;
  showTab(page.tab);
  const chosen = page.placing && page.placing !== document.body.dataset.placing;
  document.body.dataset.placing = page.placing;
  if (chosen) showUnderPointer();
  document.body.dataset.unsaved = page.unsaved;
  page.room.forEach((share, side) => key.style.setProperty(["left", "top", "right", "bottom"][side], `${(100 * share).toFixed(3)}%`));
  showCurves(board, page.curves, page.here);
  shown.state = page;
}

// Whether curves have their place under the drawings, and where in them the selected part now stands.
function showCurves(board, opened, here) {
  const curves = document.getElementById("curves");
  if (board.dataset.curves !== opened) board.dataset.curves = opened;
  curves.toggleAttribute("data-here", here !== null);
  if (here !== null) curves.style.setProperty("--here", here);
}

// Of the margin one panel is in front; the keyboard goes there from one that is put away.
function showTab(name) {
  const front = document.getElementById(`panel-${name}`), left = document.activeElement.closest("[role=tabpanel]");
  for (const panel of document.querySelectorAll("[role=tabpanel]")) panel.hidden = panel !== front;
  if (left && left !== front) front.focus({ preventScroll: true });
}

// What still shows where something was before it was dragged on is faint until it follows.
function showBehind(names) {
  for (const late of document.querySelectorAll(".behind")) if (!names.includes(late.id)) late.classList.remove("behind");
  for (const name of names) document.getElementById(name)?.classList.add("behind");
}

// A field that was left shows what the scene says, also where what was typed was refused; one being typed in is let be, but
// marked while it holds what was refused. One of the card is marked by the sketch, which says why beside it.
function showTruth() {
  const refused = document.querySelector("#notice .refused");
  for (const field of document.querySelectorAll("#side input[type=text], #side select, #cuts input, #curves select, #boards input, #boards select")) {
    const said = field.nodeName === "SELECT" ? field.querySelector("option[selected]")?.value : field.getAttribute("value");
    const unlike = field === document.activeElement && field.sent === field.value && field.value !== (said ?? "");
    if (unlike && refused) field.setAttribute("aria-invalid", "true");
    else if (!field.getAttribute("aria-describedby")?.includes("refused-")) field.removeAttribute("aria-invalid");
    if (field === document.activeElement) continue;
    if (said !== undefined && field.value !== (said ?? "")) field.value = said ?? "";
  }
}

begin({
  // The picture is read first, so that it and its figures come in one frame.
  async turn(head, picture) {
    const image = picture && (await createImageBitmap(picture));
    for (const [name, text] of Object.entries(head.parts)) showPart(name, text);
    showBehind(shown.state.behind.split(" ").filter(Boolean));
    showTruth();
    if (image) showPicture(image, head.at);
  },
  begun() {
    ended.hidden = true;
    // What was asked of a sketch that ended meanwhile is waited for no longer.
    if (shown.asked) send({ do: "echo", number: shown.asked });
    tellSize();
  },
  ended() {
    ended.hidden = false;
  },
});

const messageOf = (element, more) => ({ ...element.dataset, ...more });

document.addEventListener("click", (event) => {
  event.target.closest("[popover] a, #more button")?.closest("[popover]").hidePopover();
  const element = event.target.closest("button[data-do], [role=option][data-do]");
  if (element && element.getAttribute("aria-disabled") !== "true") send(messageOf(element));
  // What is chosen to be added is placed by keys too: they go to where it is seen.
  if (element?.dataset.do === "measure") document.getElementById("sheet").focus({ preventScroll: true });
  if (element?.dataset.do === "add") (canvas.checkVisibility() ? canvas : document.getElementById("sheet")).focus({ preventScroll: true });
});

document.addEventListener("change", (event) => {
  const element = event.target;
  if (!element.matches("[data-do]") || element.form?.dataset.do) return;
  // What the page told by itself a browser tells once more when the field is left.
  if (element.type === "text" && !element.typed && element.told && element.sent === element.value) return;
  element.typed = false;
  const value = element.type === "checkbox" ? element.checked : element.value;
  element.sent = element.value;
  send(messageOf(element, { value }));
  // The change is kept as soon as it arrives, long before its figures may be there; a refused one clears the mark again.
  if (["set", "hull_set"].includes(element.dataset.do)) document.body.dataset.unsaved = "true";
  showWork();
  if (element.type === "text") settled().then(() => showAsKept(element));
});

// What was typed and taken stands as the scene writes it, also where it changed nothing and the field is not left.
function showAsKept(field) {
  const said = field.getAttribute("value") ?? "";
  if (field.sent === field.value && field.value !== said && field.ariaInvalid !== "true" && !field.typed) say(field, said);
}

// What is typed belongs to the hand until it is told: by Enter, or when the field is left.
document.addEventListener("input", ({ target }) => {
  target.typed = true;
  target.told = false;
});

document.addEventListener("input", (event) => {
  if (event.target.matches("input[type=range][data-do]")) send(messageOf(event.target, { value: event.target.value }));
});

// A new scene's file is called as the scene is, until it is given a name of its own.
document.addEventListener("input", ({ target }) => {
  const file = target.form?.dataset.do === "new" && target.form.elements.file;
  if (!file || (target !== file && target.name !== "name")) return;
  if (target === file) file.dataset.own = "true";
  else if (!file.dataset.own) file.value = `${target.value.trim().toLowerCase().replace(/[^\p{L}\p{N}]+/gu, "-").replace(/^-|-$/g, "") || "first-layout"}.yaml`;
});

// What was typed and refused goes when the field is left, once the sketch has had its say.
const whyRefused = () => document.querySelector("#selected .refused")?.textContent;

document.addEventListener("focusout", ({ target }) => {
  const read = whyRefused();
  target.typed = false;
  setTimeout(() => {
    if (read && read === whyRefused() && !document.activeElement.ariaInvalid) send({ do: "dismiss" });
    showTruth();
  }, 400);
});

// Enter commits a field and stays in it; Escape puts back what was there.
document.addEventListener("keydown", (event) => {
  if (!event.target.matches?.("input[type=text][data-do]")) return;
  if (event.key === "Escape") {
    event.target.value = event.target.getAttribute("value") ?? "";
    event.target.typed = false;
    event.target.blur();
  }
});

document.addEventListener("submit", (event) => {
  event.preventDefault();
  const form = event.target;
  if (form.dataset.do) send(messageOf(form, Object.fromEntries(new FormData(form))));
  showWork();
});

window.addEventListener("beforeunload", (event) => {
  if (document.body.dataset.unsaved === "true") event.preventDefault();
});

watchKeys();
watchHull();
watchTracing();
watchOutlines();
watchCurves();
for (const what of ["pointerup", "click", "keydown"])
  window.addEventListener(what, (event) => event.target.matches?.("input") || showWork());
