// The moments that turn the aeroplane, and what they leave for the nose wheel, as tables of bars.

import { turned } from "./aeroplane.js";
import { html, write } from "./elements.js";
import { balanceAt, number, stateAt, unitOf } from "./reading.js";

const NOTHING = 0.05; // [N] less is shown as nothing

/** How far the bars of a story go, in newton metres and newtons, while its main wheels are down. */
export function barReach(story) {
  let most = 0;
  const budget = [0, 0];
  story.columns.time.forEach((_, i) => {
    if (!story.columns.on_mains[i]) return;
    const moments = story.balance.map((part) => part.moment[i] ?? 0);
    const lever = leverOf(story, story.columns.pitch[i]);
    const edges = steps(moments.map((moment) => -moment / lever)).flat();
    most = Math.max(most, ...[...moments, total(moments)].map(Math.abs));
    budget[0] = Math.min(budget[0], ...edges);
    budget[1] = Math.max(budget[1], ...edges);
  });
  return { moment: [0, most || 1], budget };
}

/** Moment of every part about the main axle: to the right nose up, to the left nose down. */
export function makeMoments() {
  const table = barTable({ name: "sum", words: "all together" });
  let [story, most, unit] = [null, 1, ""];

  function tell(newStory, scales) {
    [story, most, unit] = [newStory, scales.moment[1], unitOf(newStory, "moment").unit];
    table.tell(story.balance);
  }

  function show(time) {
    const parts = balanceAt(story, time);
    const about = onMains(stateAt(story, time)) ? "the main axle" : "the CG";
    write(table.caption, `Moments about ${about} [${unit}], nose up to the right`);
    const moments = [...parts.map((part) => part.moment), total(parts.map((part) => part.moment))];
    moments.forEach((moment, i) => {
      table.rows[i].show([0, moment], [-most, most], number(story, "moment", moment), moment > 0 ? "up" : "down");
    });
  }

  return { element: table.element, tell, show, by: ["moment"] };
}

/**
 * The nose-load budget: each part's share of the load on the nose wheel, one after the other.
 *
 * A bar begins where the one above ends; what is left at the end is the load on the nose wheel.
 * When nothing is left the nose comes up.
 */
export function makeBudget() {
  const table = barTable({ name: "sum", words: "left on the nose wheel" });
  let [story, range, unit] = [null, [0, 0], ""];

  function tell(newStory, scales) {
    [story, range, unit] = [newStory, scales.budget, unitOf(newStory, "force").unit];
    table.tell(story.balance);
  }

  function show(time) {
    const state = stateAt(story, time);
    const on = onMains(state);
    const shares = balanceAt(story, time).map((part) => -part.moment / leverOf(story, state.pitch));
    const left = total(shares);
    const lifts = left < -NOTHING ? "; what is left lifts the nose" : "";
    const how = on ? `, load to the right${lifts}` : ": the main wheels are off";
    write(table.caption, `Nose-load budget [${unit}]${how}`);
    table.element.classList.toggle("off", !on);
    [...steps(shares), [0, left]].forEach((ends, i) => {
      const share = i < shares.length ? shares[i] : left;
      const words = on ? number(story, "force", share) : "-";
      table.rows[i].show(on ? ends : [0, 0], range, words, share > 0 ? "down" : "up");
    });
  }

  return { element: table.element, tell, show, by: ["budget"] };
}

/** A table of bars, `sum` its last; tell(parts) makes its rows anew where they are other parts. */
function barTable(sum) {
  const caption = html("caption");
  const body = html("tbody");
  const table = { element: html("table", { class: "bars" }, caption, body), caption, rows: [], tell };
  let names = null;

  function tell(parts) {
    const newNames = parts.map((part) => part.words).join("\n");
    if (newNames === names) return;
    names = newNames;
    table.rows = [...parts, sum].map(barRow);
    body.replaceChildren(...table.rows.map((row) => row.element));
  }

  return table;
}

function barRow(part) {
  const bar = html("span", { class: "bar" });
  const value = html("td", { class: "value" });
  const zero = html("span", { class: "zero" });
  const element = html(
    "tr", { class: part.name === "sum" ? "sum" : "part" },
    html("th", { scope: "row" }, part.words),
    html("td", { class: "track", "aria-hidden": "true" }, html("span", { class: "room" }, zero, bar)),
    value,
  );

  function show([from, to], [low, high], words, way) {
    const share = (edge) => (100 * (edge - low)) / (high - low || 1);
    // set through the object model: the page's policy allows no style attributes in markup
    bar.style.left = `${share(Math.min(from, to))}%`;
    bar.style.width = `${share(Math.max(from, to)) - share(Math.min(from, to))}%`;
    bar.className = `bar ${way}`;
    zero.style.left = `${share(0)}%`;
    write(value, words);
  }

  return { element, show };
}

/** From where to where each bar goes: [[0, a], [a, a + b], ...]. */
function steps(shares) {
  let end = 0;
  return shares.map((share) => [end, (end += share)]);
}

/** How far ahead of the main axle the nose wheel stands, at a pitch [m]. */
function leverOf(story, pitch) {
  const place = (name) => turned(story.scene.wheels.find((wheel) => wheel.name === name).axle, pitch)[0];
  return place("nose") - place("main");
}

function onMains(state) {
  return state.on_mains > 0.5;
}

function total(values) {
  return values.reduce((sum, value) => sum + value, 0);
}
