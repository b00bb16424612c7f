// The moments that turn the aeroplane, and what they leave for the nose wheel, as tables of bars.

import { turned } from "./aeroplane.js";
import { html, write } from "./elements.js";
import { balanceAt, number, stateAt, unitOf } from "./reading.js";

/** Moment of every part about the main axle: to the right nose up, to the left nose down. */
export function makeMoments(story, stories) {
  const sum = { name: "sum", words: "all together" };
  const table = barTable([...story.balance, sum]);
  const unit = unitOf(story, "moment").unit;
  const most = Math.max(...stories.map((one) => widest(one, (moments) => [...moments, total(moments)])));

  function show(time) {
    const parts = balanceAt(story, time);
    const about = onMains(stateAt(story, time)) ? "the main axle" : "the CG";
    write(table.caption, `Moments about ${about} [${unit}], nose up to the right`);
    const moments = [...parts.map((part) => part.moment), total(parts.map((part) => part.moment))];
    moments.forEach((moment, i) => {
      table.rows[i].show([0, moment], [-most, most], number(story, "moment", moment), moment > 0 ? "up" : "down");
    });
  }

  return { element: table.element, show };
}

/**
 * The nose-load budget: each part's share of the load on the nose wheel, one after the other.
 *
 * A bar begins where the one above ends; what is left at the end is the load on the nose wheel.
 * When nothing is left the nose comes up.
 */
export function makeBudget(story, stories) {
  const table = barTable([...story.balance, { name: "sum", words: "left on the nose wheel" }]);
  const unit = unitOf(story, "force").unit;
  const range = [0, 0];
  for (const one of stories) {
    widest(one, (moments, i) => {
      const lever = leverOf(one, one.columns.pitch[i]);
      steps(moments.map((moment) => -moment / lever)).flat().forEach((edge) => {
        range[0] = Math.min(range[0], edge);
        range[1] = Math.max(range[1], edge);
      });
      return [0];
    });
  }

  function show(time) {
    const state = stateAt(story, time);
    const on = onMains(state);
    write(table.caption, `Nose-load budget [${unit}]${on ? ", load to the right" : ": the main wheels are off"}`);
    table.element.classList.toggle("off", !on);
    const shares = balanceAt(story, time).map((part) => -part.moment / leverOf(story, state.pitch));
    const left = total(shares);
    [...steps(shares), [0, left]].forEach((ends, i) => {
      const share = i < shares.length ? shares[i] : left;
      const words = on ? number(story, "force", share) : "-";
      table.rows[i].show(on ? ends : [0, 0], range, words, share > 0 ? "down" : "up");
    });
  }

  return { element: table.element, show };
}

function barTable(parts) {
  const caption = html("caption");
  const rows = parts.map((part) => barRow(part));
  const body = html("tbody", {}, ...rows.map((row) => row.element));
  return { element: html("table", { class: "bars" }, caption, body), caption, rows };
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

/** Largest size of what `of(moments, row)` gives over the rows with the main wheels down. */
function widest(story, of) {
  let most = 0;
  for (let i = 0; i < story.columns.time.length; i += 1) {
    if (story.columns.on_mains[i]) {
      const moments = story.balance.map((part) => part.moment[i] ?? 0);
      most = Math.max(most, ...of(moments, i).map(Math.abs));
    }
  }
  return most || 1;
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
