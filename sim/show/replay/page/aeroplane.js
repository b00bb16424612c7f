// The aeroplane from the side, in its own axes: x forward, z up, metres, the CG at (0, 0).

import { pointList, put, svg } from "./elements.js";

const DEGREES = 180 / Math.PI;

/** A point of the aeroplane turned nose up by an angle: where it is seen from the CG [m]. */
export function turned([x, z], angle) {
  const c = Math.cos(angle);
  const s = Math.sin(angle);
  return [x * c - z * s, x * s + z * c];
}

/** Height of the CG above the strip [m]: the column says how high the main wheels' lowest point is. */
export function heightOfCg(scene, state) {
  const main = scene.wheels.find((wheel) => wheel.name === "main");
  return state.height + main.radius - turned(main.axle, state.pitch)[1];
}

/** Ends of the aeroplane in its own axes [m]: {back, front, top}. */
export function extent(scene) {
  const shapes = [...scene.outlines, ...scene.surfaces].flatMap((shape) => shape.points);
  const wheels = scene.wheels.flatMap(({ axle: [x, z], radius: r }) => [[x - r, z], [x + r, z + r]]);
  const points = [...shapes, ...wheels, scene.points.thrust, scene.points.drag];
  const xs = points.map((point) => point[0]);
  return { back: Math.min(...xs), front: Math.max(...xs), top: Math.max(...points.map((p) => p[1])) };
}

/** The drawing and a function that gives it its pitch, control angles and turning wheels. */
export function drawAeroplane(scene) {
  const surfaces = scene.surfaces.map((surface) => ({
    surface,
    shape: svg("polygon", { class: `part ${surface.name}`, points: pointList(surface.points) }),
  }));
  const wheels = scene.wheels.map((wheel) => ({ wheel, spokes: spokesOf(wheel) }));
  const element = svg(
    "g",
    { class: "aeroplane" },
    ...scene.wheels.filter((wheel) => wheel.leg).map(legOf),
    ...(scene.outlines.length ? [] : [referenceLine(scene)]),
    ...scene.outlines.map((outline) =>
      svg("polygon", { class: `part ${outline.name}`, points: pointList(outline.points) }),
    ),
    ...surfaces.map(({ shape }) => shape),
    ...wheels.map(({ wheel, spokes }) => svg("g", {}, tyreOf(wheel), spokes)),
    svg("circle", { class: "cg", r: 0.012 * (extent(scene).front - extent(scene).back) }),
  );

  function show(state) {
    // the drawing as a whole is flipped by the caller (z up), so angles count nose up, tail edge down
    put(element, { transform: `rotate(${state.pitch * DEGREES})` });
    for (const { surface, shape } of surfaces) {
      const [x, z] = surface.hinge;
      put(shape, { transform: `rotate(${(state[surface.name] ?? 0) * DEGREES} ${x} ${z})` });
    }
    for (const { wheel, spokes } of wheels) {
      const [x, z] = wheel.axle;
      const angle = (-state.distance / wheel.radius - state.pitch) * DEGREES;
      put(spokes, { transform: `rotate(${angle % 360} ${x} ${z})` });
    }
  }

  return { element, show };
}

/** All there is of an aeroplane that was never measured, only given by its coefficients. */
function referenceLine(scene) {
  const [x1, x2] = scene.wheels.map((wheel) => wheel.axle[0]);
  return svg("line", { class: "leg", x1, y1: 0, x2, y2: 0 });
}

function legOf({ leg: [[x1, y1], [x2, y2]] }) {
  return svg("line", { class: "leg", x1, y1, x2, y2 });
}

function tyreOf({ axle: [cx, cy], radius: r }) {
  return svg("circle", { class: "tyre", cx, cy, r });
}

function spokesOf({ axle: [x, z], radius }) {
  const r = 0.62 * radius;
  return svg("path", { class: "spokes", d: `M${x - r} ${z}H${x + r}M${x} ${z - r}V${z + r}` });
}
