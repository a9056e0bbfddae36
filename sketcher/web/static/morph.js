// Brings an element's children in line with new markup, keeping what is the same: focus, scroll and half-typed text survive.
// The field under the keyboard belongs to the hand: what was typed in it and not sent yet is neither overwritten nor moved.

const keyOf = (node) => node.nodeType === 1 ? (node.id || node.dataset?.key || "") : "";

function sameKind(a, b) {
  return a.nodeType === b.nodeType && a.nodeName === b.nodeName && keyOf(a) === keyOf(b);
}

const isMarked = (field) =>
  field === document.activeElement && field.value && field.selectionStart === 0 && field.selectionEnd === field.value.length;

// A field's text as the page says it; what was marked to be typed over stays marked.
export function say(field, text, marked = isMarked(field)) {
  if (field.value !== text) field.value = text;
  if (marked) field.select();
}

function syncAttributes(old, fresh) {
  // What the page said last: of a field that came with new markup, its attribute.
  const was = old.was ?? old.getAttribute("value") ?? "";
  const marked = old.nodeName === "INPUT" && isMarked(old);
  for (const { name } of [...old.attributes]) if (!fresh.hasAttribute(name) && name !== "open") old.removeAttribute(name);
  for (const { name, value } of fresh.attributes) if (old.getAttribute(name) !== value) old.setAttribute(name, value);
  if (old === document.activeElement && old.matches("input:not([type=checkbox]):not([type=radio]), textarea")) {
    if (old.typed || was === (fresh.getAttribute("value") ?? "")) return;
  }
  if (old.nodeName === "INPUT") {
    old.checked = fresh.checked;
    say(old, fresh.value, marked);
    old.was = fresh.getAttribute("value") ?? "";
  }
  if (old.nodeName === "OPTION") old.selected = fresh.hasAttribute("selected");
}

// One without a key is the next of its kind: what stood before it has gone.
function ahead(at, wanted) {
  let one = wanted.nodeType === 1 && !keyOf(wanted) ? at : null;
  while (one && !sameKind(one, wanted)) one = one.nextSibling;
  return one;
}

// What has the keyboard would lose it if it were moved: what stands in its way goes behind it.
function bring(old, found, at) {
  const behind = found.nextSibling;
  if (!found.contains(document.activeElement) || !at || !(at.compareDocumentPosition(found) & Node.DOCUMENT_POSITION_FOLLOWING))
    return old.insertBefore(found, at);
  for (let next; at !== found; at = next) {
    next = at.nextSibling;
    old.insertBefore(at, behind);
  }
  return found;
}

function morphChildren(old, fresh) {
  const keyed = new Map();
  for (const child of old.childNodes) if (keyOf(child)) keyed.set(keyOf(child), child);
  let at = old.firstChild;
  for (const wanted of [...fresh.childNodes]) {
    const found = keyed.get(keyOf(wanted)) ?? ahead(at, wanted);
    const same = found && sameKind(found, wanted);
    if (same && found !== at) bring(old, found, at);
    const current = same ? found : at;
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
