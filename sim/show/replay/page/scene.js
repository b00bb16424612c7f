// The moving side view: the camera goes along with the aeroplane, the ground passes below.

import { drawAeroplane, extent, heightOfCg } from "./aeroplane.js";
import { drawArrows, forceScale } from "./arrows.js";
import { drawGround } from "./ground.js";
import { onWidth, put, svg, write } from "./elements.js";
import { roundStep, stateAt, unitOf } from "./reading.js";

const HEIGHT_SHARE = 0.62; // of the picture's width

/** Side view of a roll. */
export function makeScene() {
  const ruler = drawRuler();
  const leaning = svg("g", { class: "leaning" });
  const element = svg("svg", { class: "scene", role: "img" }, leaning, ruler.element);
  let [story, scales, parts, width, view, now] = [null, null, null, 0, null, 0];

  function tell(newStory, newScales) {
    [story, scales] = [newStory, newScales];
    parts = { ground: drawGround(story), aeroplane: drawAeroplane(story.scene), arrows: drawArrows(story) };
    parts.flipped = svg("g", { class: "flipped" }, parts.aeroplane.element);
    leaning.replaceChildren(parts.ground.element, parts.flipped, parts.arrows.element);
    put(element, { "aria-label": `${story.title}: side view of the roll with its forces` });
    if (width) lay();
  }

  function show(time) {
    now = time;
    if (!view) return; // not laid out yet: drawn as soon as it has a width
    const { ground, aeroplane, arrows, flipped } = parts;
    const state = stateAt(story, time);
    const place = placeOf(view, story, state);
    aeroplane.show(state);
    put(flipped, { transform: `translate(${place.x} ${place.y}) scale(${view.scale} ${-view.scale})` });
    ground.show(state, place, view);
    arrows.show(state, time, place);
  }

  function lay() {
    // a page that has little room says so in its style sheet
    const share = Number(getComputedStyle(element).getPropertyValue("--height-share"));
    view = viewOf(story, scales, width, share || HEIGHT_SHARE);
    put(element, { viewBox: `0 0 ${view.width} ${view.height}`, height: view.height });
    const lean = (-(story.scene.strip.slope ?? 0) * 180) / Math.PI;
    put(leaning, { transform: `rotate(${lean} ${view.middle} ${view.ground})` });
    ruler.show(story, view);
  }

  onWidth(element, (newWidth) => {
    width = newWidth;
    lay();
    show(now);
  });
  return { element, tell, show, by: ["body", "down", "up"] };
}

/** Sizes for a width [px]: scale [px/m], the ground's height in the picture, newtons to pixels. */
function viewOf(story, scales, width, share) {
  const height = Math.round(Math.min(Math.max(share * width, 355 * share), 380));
  const length = scales.body[1];
  const { back, front } = extent(story.scene);
  const scale = Math.min((0.52 * width) / length, (1.3 * height) / length);
  return {
    width, height, scale,
    ground: 0.66 * height,
    middle: 0.5 * width - 0.5 * (back + front) * scale,
    perNewton: forceScale(scales, height),
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
