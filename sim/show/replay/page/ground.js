// The strip under the aeroplane: distance marks, screen height, the strip's end and the obstacle.

import { put, svg, write } from "./elements.js";
import { roundStep, unitOf } from "./reading.js";

const APART = 64; // distance marks are at least so far apart [px]

/** The strip and a function that draws it as seen from one place. */
export function drawGround(story) {
  const { strip } = story.scene;
  const soil = svg("rect", { class: "soil" });
  const line = svg("path", { class: "ground" });
  const screen = drawScreen();
  const marks = svg("g", { class: "marks" });
  const end = strip.length === null ? null : drawPost("strip end", "end");
  const obstacle = strip.obstacle ? drawPost("obstacle", "obstacle") : null;
  const posts = [end, obstacle].filter(Boolean).map((post) => post.element);
  const element = svg("g", {}, soil, line, screen.element, marks, ...posts);

  function show(state, place, view) {
    // wider and deeper than the picture, since a sloping strip is turned
    const beyond = view.width;
    put(soil, { x: -beyond, y: place.ground, width: 3 * beyond, height: view.height + beyond });
    put(line, { d: `M${-beyond} ${place.ground}H${2 * beyond}` });
    const pixel = (distance) => place.x + (distance - state.distance) * view.scale;
    screen.show(strip.screen_height, place, view);
    showMarks(story, marks, pixel, place, view);
    end?.show(pixel(strip.length), place.ground, 0.4 * view.scale);
    obstacle?.show(pixel(strip.obstacle?.place), place.ground, (strip.obstacle?.height ?? 0) * view.scale);
  }

  return { element, show };
}

/** Ticks along the strip at round distances; ticks are used again rather than made anew. */
function showMarks(story, marks, pixel, place, view) {
  const { factor, unit } = unitOf(story, "length");
  const step = roundStep((APART / view.scale) * factor);
  const perStep = pixel(step / factor) - pixel(0);
  const first = Math.ceil(-pixel(0) / perStep - 0.5);
  const count = Math.ceil(view.width / perStep) + 1;
  const depth = Math.max(view.height - place.ground - 20, 8); // below the arrows of the wheels' loads
  while (marks.childElementCount < count) {
    marks.append(svg("g", {}, svg("path", {}), svg("text", { "text-anchor": "middle" })));
  }
  [...marks.children].forEach((mark, i) => {
    const distance = (first + i) * step;
    const seen = i < count && distance >= 0;
    put(mark, { visibility: seen ? null : "hidden" });
    if (!seen) return;
    put(mark, { transform: `translate(${pixel(distance / factor)} ${place.ground})` });
    put(mark.firstChild, { d: `M0 0v${depth}` });
    put(mark.lastChild, { y: depth + 12 });
    write(mark.lastChild, `${Number(distance.toPrecision(6))} ${unit}`);
  });
}

/** A dashed line at screen height, while it is in the picture. */
function drawScreen() {
  const line = svg("path", {});
  const words = svg("text", { "text-anchor": "end" });
  write(words, "screen height");

  function show(height, place, view) {
    const y = place.ground - height * view.scale;
    put(line, { d: `M${-view.width} ${y}H${2 * view.width}` });
    put(words, { x: view.width - 8, y: y - 4 });
  }

  return { element: svg("g", { class: "screen" }, line, words), show };
}

/** Something that stands on the strip, with its name. */
function drawPost(words, kind) {
  const post = svg("path", {});
  const label = svg("text", { "text-anchor": "middle" });
  write(label, words);

  function show(x, ground, height) {
    put(post, { d: `M${x} ${ground}v${-height}` });
    put(label, { x, y: ground - height - 6 });
  }

  return { element: svg("g", { class: `post ${kind}` }, post, label), show };
}
