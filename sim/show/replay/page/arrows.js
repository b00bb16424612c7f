// Force arrows, all to one scale. Each has its name beside it: colour is never the only key.

import { heightOfCg, turned } from "./aeroplane.js";
import { pointList, put, svg, write } from "./elements.js";
import { along, endOf, largest } from "./reading.js";

const HEAD = 8; // length of an arrow's head [px]
const SEEN = 2.5; // an arrow shorter than this is not drawn [px]
const NAME = 48; // room that a name beside an arrow needs [px]
const UP = [0, 1];

const FORCES_DOWN = ["weight", "main_load", "nose_load", "aft_load"]; // drawn below the ground line
const FORCES_UP = ["wing_lift", "tail_lift", "thrust"];

// Arrows of the ground end where they push, the others begin where they pull; `side` is where the
// name stands, so that weight and main wheels, close together, do not write over each other.
const ARROWS = [
  { force: "weight", words: "weight", at: () => [0, 0], way: (m) => m.down, side: "start" },
  { force: "wing_lift", words: "wing", at: (m) => m.point("wing"), way: (m) => m.lift, side: "middle" },
  { force: "tail_lift", words: "tail", at: (m) => m.point("tail"), way: (m) => m.lift, side: "middle" },
  { force: "thrust", words: "thrust", at: (m) => m.point("thrust"), way: (m) => m.nose, side: "start" },
  { force: "drag", words: "drag", at: (m) => m.point("drag"), way: (m) => m.back, side: "end" },
  { force: "main_load", words: "main wheels", at: (m) => m.contact("main"), way: () => UP, side: "end", pushes: true },
  { force: "nose_load", words: "nose wheel", at: (m) => m.contact("nose"), way: () => UP, side: "start", pushes: true },
  { force: "aft_load", words: "tail end", at: (m) => m.tailContact(), way: () => UP, side: "middle", pushes: true },
];

/**
 * The arrows and a function that draws them for one moment.
 *
 * show(state, time, place): `place` turns metres seen from the CG into pixels, and has the pixels
 * per newton and the width of the picture.
 */
export function drawArrows(story) {
  const arrows = ARROWS.map((arrow) => ({ ...arrow, ...pieces(arrow) }));
  const element = svg("g", { class: "arrows" }, ...arrows.map((arrow) => arrow.group));

  function show(state, time, place) {
    const moment = momentOf(story, state, time);
    for (const arrow of arrows) {
      const length = (state[arrow.force] ?? 0) * place.perNewton;
      put(arrow.group, { visibility: Math.abs(length) < SEEN ? "hidden" : null });
      if (Math.abs(length) < SEEN) continue;
      const [x, y] = place.pixels(arrow.at(moment));
      const [right, up] = arrow.way(moment);
      const reach = [right * length, -up * length];
      const from = arrow.pushes ? [x - reach[0], y - reach[1]] : [x, y];
      drawOne(arrow, from, [from[0] + reach[0], from[1] + reach[1]], place.width);
    }
  }

  return { element, show };
}

/** Largest forces drawn below the ground line and above it [N]. */
export function forceReach(story) {
  return { down: [0, largest(story, FORCES_DOWN)], up: [0, largest(story, FORCES_UP)] };
}

/** Pixels per newton with which the largest arrows of all stories stay in a picture so high [px]. */
export function forceScale({ down, up }, height) {
  return Math.min((0.3 * height) / down[1], (0.5 * height) / up[1]);
}

/** Directions and places of one moment, seen from the CG in strip axes [m]. */
function momentOf(story, state, time) {
  const { scene } = story;
  const path = pathAngle(story, state, time);
  const slope = scene.strip.slope ?? 0;
  const wheel = (name) => scene.wheels.find((one) => one.name === name);
  return {
    down: [-Math.sin(slope), -Math.cos(slope)],
    lift: [-Math.sin(path), Math.cos(path)],
    back: [-Math.cos(path), -Math.sin(path)],
    nose: turned([1, 0], state.pitch),
    point: (name) => turned(scene.points[name], state.pitch),
    contact: (name) => {
      const [x, z] = turned(wheel(name).axle, state.pitch);
      return [x, z - wheel(name).radius];
    },
    tailContact: () => [lowestTail(scene, state.pitch), -heightOfCg(scene, state)],
  };
}

/** Where along the body the tail touches: the lowest point behind the main wheels [m]. */
function lowestTail(scene, pitch) {
  const behind = scene.wheels.find((one) => one.name === "main").axle[0];
  const points = scene.outlines.flatMap((outline) => outline.points).filter((p) => p[0] < behind);
  const places = [...points, [behind, 0]].map((point) => turned(point, pitch));
  return places.reduce((low, place) => (place[1] < low[1] ? place : low))[0];
}

/** Angle at which it flies through the air, from the CG's height shortly before and after [rad]. */
function pathAngle(story, state, time) {
  if (!(state.airspeed > 1)) return 0; // too slow for its air forces to be seen
  const { columns, scene } = story;
  const at = (t) => heightOfCg(scene, {
    height: along(columns.time, columns.height, t),
    pitch: along(columns.time, columns.pitch, t),
  });
  const [before, after] = [Math.max(time - 0.05, 0), Math.min(time + 0.05, endOf(story))];
  if (after <= before) return 0; // it ended before: the last moment is held
  return Math.atan2((at(after) - at(before)) / (after - before), state.airspeed);
}

function pieces({ force, words }) {
  const line = svg("line", {});
  const head = svg("polygon", {});
  const label = svg("text", {});
  write(label, words);
  return { line, head, label, group: svg("g", { class: `arrow ${force}` }, line, head, label) };
}

function drawOne({ line, head, label, side, pushes }, [x1, y1], [x2, y2], width) {
  const length = Math.hypot(x2 - x1, y2 - y1);
  const [ux, uy] = [(x2 - x1) / length, (y2 - y1) / length];
  const size = Math.min(HEAD, length);
  const [bx, by] = [x2 - ux * size, y2 - uy * size];
  const half = 0.45 * size;
  put(line, { x1, y1, x2: bx, y2: by });
  put(head, { points: pointList([[x2, y2], [bx - uy * half, by + ux * half], [bx + uy * half, by - ux * half]]) });
  // the name stands at the free end, where nothing of the aeroplane is
  const [x, y] = pushes ? [x1, y1] : [x2, y2];
  if (side === "start" && x > width - NAME) {
    put(label, { x, y: y - 8, "text-anchor": "end" }); // no room beside it: above
    return;
  }
  const below = pushes ? true : uy > 0.5;
  const aside = { start: 5, middle: 0, end: -5 }[side];
  const level = Math.abs(uy) <= 0.5 ? 4 : below ? 2 : -5;
  put(label, { x: x + aside, y: y + (side === "middle" && below ? 13 : level), "text-anchor": side });
}
