// The whole strip at a glance: where the aeroplane is, what happened where, where the strip ends.

import { onWidth, put, svg } from "./elements.js";
import { largest, roundStep, stateAt, unitOf } from "./reading.js";

const MARGIN = 14; // [px]
const LINE = 20; // height of the line in the picture [px]
const HEIGHT = 42;

/** How far the roll, its strip and what stands there go [m]. */
export function stripReach(story) {
  const { length, obstacle } = story.scene.strip;
  return { strip: [0, Math.max(largest(story, ["distance"]), length ?? 0, obstacle?.place ?? 0)] };
}

/** Map of a strip. */
export function makeStripMap() {
  const fixed = svg("g", {});
  const marker = svg("path", { class: "marker", d: "M0 0l-6-11h12z" });
  const element = svg("svg", { class: "strip-map", "aria-hidden": "true", height: HEIGHT }, fixed, marker);
  let [story, reach, width, pixel, now] = [null, 0, 0, null, 0];

  function tell(newStory, scales) {
    [story, reach] = [newStory, scales.strip[1]];
    if (width) lay();
  }

  function show(time) {
    now = time;
    if (!pixel) return;
    put(marker, { transform: `translate(${pixel(stateAt(story, time).distance)} ${LINE - 2})` });
  }

  function lay() {
    const { strip } = story.scene;
    const perMetre = (width - 2 * MARGIN) / reach;
    pixel = (distance) => MARGIN + distance * perMetre;
    put(element, { viewBox: `0 0 ${width} ${HEIGHT}` });
    fixed.replaceChildren(
      svg("path", { class: "ground", d: `M${pixel(0)} ${LINE}H${pixel(strip.length ?? reach)}` }),
      svg("path", { class: "beyond", d: `M${pixel(strip.length ?? reach)} ${LINE}H${pixel(reach)}` }),
      ...story.events.map((event) => svg("circle", { class: "event", cx: pixel(event.distance), cy: LINE, r: 3 })),
      ...(strip.length === null ? [] : [svg("path", { class: "end", d: `M${pixel(strip.length)} ${LINE - 9}v18` })]),
      ...(strip.obstacle ? [svg("path", { class: "obstacle", d: `M${pixel(strip.obstacle.place)} ${LINE}v-14` })] : []),
      ...distances(story, pixel, perMetre, reach),
    );
  }

  onWidth(element, (newWidth) => {
    width = newWidth;
    lay();
    show(now);
  });
  return { element, tell, show, by: ["strip"] };
}

function distances(story, pixel, perMetre, reach) {
  const { factor, unit } = unitOf(story, "length");
  const step = roundStep((70 / perMetre) * factor);
  const count = Math.floor((reach * factor) / step + 1e-9);
  return Array.from({ length: count + 1 }, (_, i) => {
    const words = i === 0 ? "0" : `${Number((i * step).toPrecision(6))} ${unit}`;
    const anchor = i === 0 ? "start" : i === count ? "end" : "middle";
    const aside = i === 0 ? -4 : i === count ? 4 : 0;
    return svg("text", { x: pixel((i * step) / factor) + aside, y: HEIGHT - 4, "text-anchor": anchor }, words);
  });
}
