// Traces against the time of the roll, with a cursor that follows the replay and can be dragged.

import { html, onWidth, put, svg, write } from "./elements.js";
import { quantity, roundStep, stateAt, unitOf } from "./reading.js";

const PLOTS = [
  { kind: "speed", lines: [["airspeed", "airspeed"], ["ground_speed", "ground speed"]] },
  { kind: "angle", lines: [["pitch", "pitch"]] },
  { kind: "angle", lines: [["elevator", "elevator, up positive"]] },
  { kind: "force", lines: [["nose_load", "load on the nose wheel"]] },
  { kind: "force", lines: [["main_load", "load on the main wheels"]] },
];
const HEIGHT = 84; // of one plot [px]
const TOP = 6;
const BOTTOM = 16;
const LEFT = 38; // room for the numbers of the scale [px]
const RIGHT = 8;

// the columns turn the surfaces, trailing edge down positive; a pilot reads the elevator up positive
const TURNED_ROUND = new Set(["elevator"]);

/** What is plotted for a value of a column; a gap stays a gap, and there is no negative zero. */
function plotted(name, value) {
  return TURNED_ROUND.has(name) && Number.isFinite(value) ? 0 - value : value ?? null;
}

/** From where to where the lines of every plot go, by the plot's name [SI]. */
export function traceReach(story) {
  const found = PLOTS.map((plot) => {
    const reach = [0, 0];
    for (const [name] of plot.lines) {
      for (const raw of story.columns[name] ?? []) {
        const value = plotted(name, raw) ?? 0;
        reach[0] = Math.min(reach[0], value);
        reach[1] = Math.max(reach[1], value);
      }
    }
    return [nameOf(plot), reach];
  });
  return Object.fromEntries(found);
}

/** All traces of a roll; onSeek(time) is told where one is dragged to. */
export function makeTraces(onSeek) {
  const plots = PLOTS.map((plot) => makePlot(plot, onSeek));
  const element = html("div", { class: "traces" }, ...plots.map((plot) => plot.element));
  return {
    element,
    tell: (story, scales) => plots.forEach((plot) => plot.tell(story, scales)),
    show: (time) => plots.forEach((plot) => plot.show(time)),
    by: ["time", ...PLOTS.map(nameOf)],
  };
}

function nameOf(plot) {
  return `trace of ${plot.lines[0][0]}`;
}

function makePlot(plot, onSeek) {
  const { kind, lines } = plot;
  const values = lines.map(() => html("span", { class: "value" }));
  const key = lines.map(([, words], i) => html("span", { class: "key" }, sample(i), ` ${words} `, values[i]));
  const still = svg("g", {});
  const cursor = svg("path", { class: "cursor" });
  const dots = lines.map((_, i) => svg("circle", { class: `dot line${i}`, r: 3.5 }));
  const words = `${lines.map((line) => line[1]).join(" and ")} against time`;
  const drawing = { class: "trace", role: "img", "aria-label": words, height: HEIGHT };
  const picture = svg("svg", drawing, still, cursor, ...dots);
  let [story, range, end, width, axes, now] = [null, null, 1, 0, null, 0];

  function tell(newStory, scales) {
    [story, range] = [newStory, rangeOf(scales[nameOf(plot)], unitOf(newStory, kind).factor)];
    end = scales.time[1] || 1; // nothing rolls: an axis all the same
    if (width) lay();
  }

  function show(time) {
    now = time;
    const state = stateAt(story, time);
    lines.forEach(([name], i) => write(values[i], quantity(story, kind, plotted(name, state[name]))));
    if (!axes) return;
    put(cursor, { d: `M${axes.x(time)} ${TOP}V${HEIGHT - BOTTOM}` });
    lines.forEach(([name], i) => {
      const hidden = Number.isFinite(state[name]) ? null : "hidden";
      put(dots[i], { cx: axes.x(state.time), cy: axes.y(plotted(name, state[name]) ?? 0), visibility: hidden });
    });
  }

  function lay() {
    axes = axesOf(width, end, range);
    put(picture, { viewBox: `0 0 ${width} ${HEIGHT}` });
    const lying = [...grid(axes, story, kind, range, end), ...eventMarks(axes, story)];
    still.replaceChildren(...lying, ...paths(axes, story, lines));
  }

  onWidth(picture, (newWidth) => {
    width = newWidth;
    lay();
    show(now);
  });
  draggable(picture, (x) => axes && onSeek(Math.min(Math.max(axes.time(x), 0), end)));
  return { element: html("figure", {}, html("figcaption", {}, ...key), picture), tell, show };
}

/** A piece of the line itself, as its key. */
function sample(i) {
  const line = svg("path", { class: `line line${i}`, d: "M0 4h20" });
  return svg("svg", { width: 20, height: 8, "aria-hidden": "true" }, line);
}

/** Ends and step of an axis in round numbers as shown. */
function rangeOf([low, high], factor) {
  const step = roundStep((Math.max(high - low, 1e-6) * factor) / 3) / factor;
  return { low: Math.floor(low / step + 1e-6) * step, high: Math.ceil(high / step - 1e-6) * step, step };
}

function axesOf(width, end, { low, high }) {
  const [wide, tall] = [width - LEFT - RIGHT, HEIGHT - TOP - BOTTOM];
  return {
    width,
    x: (time) => LEFT + (wide * time) / end,
    y: (value) => TOP + tall * (1 - (value - low) / (high - low || 1)),
    time: (x) => ((x - LEFT) / wide) * end,
  };
}

function grid(axes, story, kind, { low, high, step }, end) {
  const { factor } = unitOf(story, kind);
  const pieces = [];
  // counted in whole steps: a sum of steps would miss zero by a rounding error
  for (let i = Math.round(low / step); i <= Math.round(high / step); i += 1) {
    const value = i * step;
    const y = axes.y(value);
    const top = value > high - 0.5 * step;
    pieces.push(svg("path", { class: "grid", d: `M${LEFT} ${y}H${axes.width - RIGHT}` }));
    const words = `${Number((value * factor).toPrecision(4))}`;
    pieces.push(svg("text", { x: LEFT - 4, y: y + (top ? 7 : 3), "text-anchor": "end" }, words));
  }
  const every = roundStep((end * 60) / (axes.width - LEFT - RIGHT));
  for (let time = 0; time <= end; time += every) {
    const words = `${Number(time.toPrecision(4))}${time === 0 ? " s" : ""}`;
    pieces.push(svg("text", { x: axes.x(time), y: HEIGHT - 3, "text-anchor": "middle" }, words));
  }
  return pieces;
}

function eventMarks(axes, story) {
  const mark = ({ time }) => svg("path", { class: "event", d: `M${axes.x(time)} ${TOP}V${HEIGHT - BOTTOM}` });
  return story.events.map(mark);
}

function paths(axes, story, lines) {
  const { time } = story.columns;
  return lines.map(([name], i) => {
    let pen = "M";
    const d = time.map((t, row) => {
      const value = plotted(name, (story.columns[name] ?? [])[row]);
      if (value === null) {
        pen = "M"; // a gap: the line begins anew behind it
        return "";
      }
      const piece = `${pen}${axes.x(t).toFixed(1)} ${axes.y(value).toFixed(1)}`;
      pen = "L";
      return piece;
    });
    return svg("path", { class: `line line${i}`, d: d.join("") });
  });
}

/** Report the place of a finger or mouse that is held down [px from the left]. */
function draggable(picture, onPlace) {
  const place = (event) => onPlace(event.clientX - picture.getBoundingClientRect().left);
  picture.addEventListener("pointerdown", (event) => {
    picture.setPointerCapture(event.pointerId);
    place(event);
  });
  picture.addEventListener("pointermove", (event) => {
    if (picture.hasPointerCapture(event.pointerId)) place(event);
  });
}
