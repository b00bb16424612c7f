// The moving side view: the camera goes along with the aeroplane, the ground passes below.

import { drawAeroplane, extent, heightOfCg } from "./aeroplane.js";
import { drawArrows, forceScale } from "./arrows.js";
import { drawGround } from "./ground.js";
import { onWidth, put, svg, write } from "./elements.js";
import { roundStep, stateAt, unitOf } from "./reading.js";

/** Side view of a story; force arrows of all `stories` have one scale, so that they compare. */
export function makeScene(story, stories) {
  const ground = drawGround(story);
  const aeroplane = drawAeroplane(story.scene);
  const arrows = drawArrows(story);
  const ruler = drawRuler();
  const flipped = svg("g", { class: "flipped" }, aeroplane.element);
  const leaning = svg("g", { class: "leaning" }, ground.element, flipped, arrows.element);
  const label = `${story.title}: side view of the roll with its forces`;
  const element = svg("svg", { class: "scene", role: "img", "aria-label": label }, leaning, ruler.element);
  let view = null;
  let now = 0;

  function show(time) {
    now = time;
    if (!view) return; // not laid out yet: drawn as soon as it has a width
    const state = stateAt(story, time);
    const place = placeOf(view, story, state);
    aeroplane.show(state);
    put(flipped, { transform: `translate(${place.x} ${place.y}) scale(${view.scale} ${-view.scale})` });
    ground.show(state, place, view);
    arrows.show(state, time, place);
  }

  onWidth(element, (width) => {
    view = viewOf(story, stories, width);
    put(element, { viewBox: `0 0 ${view.width} ${view.height}`, height: view.height });
    const lean = (-(story.scene.strip.slope ?? 0) * 180) / Math.PI;
    put(leaning, { transform: `rotate(${lean} ${view.middle} ${view.ground})` });
    ruler.show(story, view);
    show(now);
  });
  return { element, show };
}

/** Sizes for a width [px]: scale [px/m], the ground's height in the picture, newtons to pixels. */
function viewOf(story, stories, width) {
  const height = Math.round(Math.min(Math.max(0.62 * width, 220), 380));
  const ends = stories.map((one) => extent(one.scene));
  const length = Math.max(...ends.map((end) => end.front - end.back));
  const { back, front } = extent(story.scene);
  const scale = Math.min((0.52 * width) / length, (1.3 * height) / length);
  return {
    width, height, scale,
    ground: 0.66 * height,
    middle: 0.5 * width - 0.5 * (back + front) * scale,
    perNewton: forceScale(stories, height),
  };
}

/** Where the CG stands in the picture, and how metres and newtons become pixels there. */
function placeOf(view, story, state) {
  const high = view.ground - heightOfCg(story.scene, state) * view.scale;
  const y = Math.max(high, 0.44 * view.height); // it climbs out of the picture: the camera goes along
  return {
    x: view.middle, y, width: view.width,
    ground: view.ground + (y - high),
    perNewton: view.perNewton,
    pixels: ([right, up]) => [view.middle + right * view.scale, y - up * view.scale],
  };
}

/** The arrows' scale: a bar as long as a round force. */
function drawRuler() {
  const bar = svg("path", {});
  const words = svg("text", { x: 10, y: 34 });

  function show(story, view) {
    const { factor, unit } = unitOf(story, "force");
    const force = roundStep((36 / view.perNewton) * factor) / factor;
    put(bar, { d: `M10 12v8m0-4h${force * view.perNewton}m0-4v8` });
    write(words, `${Number((force * factor).toPrecision(3))} ${unit}`);
  }

  return { element: svg("g", { class: "ruler" }, bar, words), show };
}
