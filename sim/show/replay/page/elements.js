// Making elements. Words from a story only ever become text, never markup.

const SVG = "http://www.w3.org/2000/svg";

/** An HTML element with attributes and children; a string child becomes text. */
export function html(tag, attributes = {}, ...children) {
  return filled(document.createElement(tag), attributes, children);
}

/** An SVG element, likewise. */
export function svg(tag, attributes = {}, ...children) {
  return filled(document.createElementNS(SVG, tag), attributes, children);
}

/** Set several attributes at once; null takes one away. */
export function put(element, attributes) {
  for (const [name, value] of Object.entries(attributes)) {
    if (value === null) element.removeAttribute(name);
    else element.setAttribute(name, typeof value === "number" ? round(value) : value);
  }
}

/** Set text only when it changes, so that nothing is laid out or read out again for nothing. */
export function write(element, text) {
  if (element.textContent !== text) element.textContent = text;
}

/** Points [[x, y], ...] as a `points` attribute. */
export function pointList(points) {
  return points.map(([x, y]) => `${round(x)},${round(y)}`).join(" ");
}

/** Call `draw` with the width of an element now and whenever it changes [px]. */
export function onWidth(element, draw) {
  new ResizeObserver(() => {
    const width = Math.round(element.clientWidth);
    if (width > 0) draw(width);
  }).observe(element);
}

function filled(element, attributes, children) {
  put(element, attributes);
  element.append(...children);
  return element;
}

function round(value) {
  return Math.round(value * 1e4) / 1e4;
}
