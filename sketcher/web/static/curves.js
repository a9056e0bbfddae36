// The curves under the drawings: a click puts the selected part where it points to, arrow keys move it from where it stands.

import { send } from "./wire.js";

const STEPS = { ArrowLeft: [-1], ArrowDown: [-1], ArrowRight: [1], ArrowUp: [1], PageDown: [-1, true], PageUp: [1, true], Home: [-1000, true], End: [1000, true] };

export function watchCurves() {
  const curves = document.getElementById("curves");
  curves.addEventListener("click", (event) => {
    const field = event.target.closest(".field");
    if (!field) return;
    const { left, right } = field.closest(".fields").dataset;
    const box = field.getBoundingClientRect();
    const at = (event.clientX - box.left) / box.width;
    send({ do: "put_along", share: Math.min(Math.max((at - left) / (right - left), 0), 1) });
  });
  curves.addEventListener("keydown", (event) => {
    const to = event.target.matches("[role=slider]") && !event.ctrlKey && !event.metaKey && STEPS[event.key];
    if (!to) return;
    event.preventDefault();
    event.stopPropagation();
    send({ do: "step_along", by: to[0], whole: Boolean(to[1]) });
  });
}
