// Brings an element's children in line with new markup, keeping what is the same: focus, scroll and half-typed text survive.

const keyOf = (node) => node.nodeType === 1 ? (node.id || node.dataset?.key || "") : "";

function sameKind(a, b) {
  return a.nodeType === b.nodeType && a.nodeName === b.nodeName && keyOf(a) === keyOf(b);
}

function syncAttributes(old, fresh) {
  // What the page said last: of a field that came with new markup, its attribute.
  const was = old.was ?? old.getAttribute("value") ?? "";
  for (const { name } of [...old.attributes]) if (!fresh.hasAttribute(name) && name !== "open") old.removeAttribute(name);
  for (const { name, value } of fresh.attributes) if (old.getAttribute(name) !== value) old.setAttribute(name, value);
  if (old === document.activeElement && old.matches("input:not([type=checkbox]):not([type=radio]), textarea")) {
    if (was === (fresh.getAttribute("value") ?? "")) return;
  }
  if (old.nodeName === "INPUT") {
    old.checked = fresh.checked;
    if (old.value !== fresh.value) old.value = fresh.value;
    old.was = fresh.getAttribute("value") ?? "";
  }
  if (old.nodeName === "OPTION") old.selected = fresh.hasAttribute("selected");
}

function morphChildren(old, fresh) {
  const keyed = new Map();
  for (const child of old.childNodes) if (keyOf(child)) keyed.set(keyOf(child), child);
  let at = old.firstChild;
  for (const wanted of [...fresh.childNodes]) {
    const found = keyed.get(keyOf(wanted));
    if (found && found !== at && sameKind(found, wanted)) old.insertBefore(found, at);
    const current = found && sameKind(found, wanted) ? found : at;
    if (current && sameKind(current, wanted)) {
      morphNode(current, wanted);
      at = current.nextSibling;
    } else {
      old.insertBefore(wanted, at);
    }
  }
  while (at) {
    const next = at.nextSibling;
    at.remove();
    at = next;
  }
}

function morphNode(old, fresh) {
  if (old.nodeType !== 1) {
    if (old.nodeValue !== fresh.nodeValue) old.nodeValue = fresh.nodeValue;
    return;
  }
  if (old.isEqualNode(fresh) && old.nodeName !== "INPUT") return;
  syncAttributes(old, fresh);
  if (!fresh.dataset.own) morphChildren(old, fresh);
}

// What says data-own has children that come as a part of their own.
export function morph(element, text) {
  const template = document.createElement("template");
  const drawn = element instanceof SVGElement;
  template.innerHTML = drawn ? `<svg>${text}</svg>` : text;
  morphChildren(element, drawn ? template.content.firstChild : template.content);
}
