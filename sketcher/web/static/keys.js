// Keys that work anywhere but in a field: nudging, views, undo, saving.

import { send } from "./wire.js";

const plain = {
  ArrowLeft: { do: "nudge", towards: "left" },
  ArrowRight: { do: "nudge", towards: "right" },
  ArrowUp: { do: "nudge", towards: "up" },
  ArrowDown: { do: "nudge", towards: "down" },
  Escape: { do: "escape" },
  Delete: { do: "delete" },
  "1": { do: "view", view: "quarter" },
  "2": { do: "view", view: "profile" },
  "3": { do: "view", view: "plan" },
  "4": { do: "view", view: "ahead" },
  "+": { do: "zoom", where: "picture", at: [0.5, 0.5], factor: 1.2 },
  "=": { do: "zoom", where: "picture", at: [0.5, 0.5], factor: 1.2 },
  "-": { do: "zoom", where: "picture", at: [0.5, 0.5], factor: 1 / 1.2 },
  h: { do: "toggle" },
  d: { do: "duplicate" },
  f: { do: "hole" },
  "?": { do: "dialog", name: "keys" },
};

const inField = (target) => target.closest?.("input, select, textarea, [contenteditable], dialog");

export function watchKeys() {
  window.addEventListener("keydown", (event) => {
    const mod = event.ctrlKey || event.metaKey;
    const key = event.key.toLowerCase();
    if (mod && key === "s") {
      event.preventDefault();
      document.activeElement?.matches?.("input") && document.activeElement.blur();
      return send({ do: event.shiftKey ? "dialog" : "save", name: "save as" });
    }
    if (inField(event.target)) return undefined;
    if (mod && key === "z") {
      event.preventDefault();
      return send({ do: event.shiftKey ? "redo" : "undo" });
    }
    if (mod && key === "y") {
      event.preventDefault();
      return send({ do: "redo" });
    }
    const message = mod ? null : plain[event.key];
    if (!message) return undefined;
    event.preventDefault();
    return send({ ...message, fine: event.shiftKey || event.altKey });
  });
}
