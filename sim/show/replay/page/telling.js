// What is told in words: the outcome, the numbers of the moment, what happens, the table of events.

import { html, write } from "./elements.js";
import { endOf, lastEvent, quantity, stateAt } from "./reading.js";

const NUMBERS = [
  ["time", "time", "time"],
  ["distance", "length", "distance"],
  ["airspeed", "speed", "airspeed"],
  ["pitch", "angle", "pitch"],
  ["height", "length", "height", 2], // lift-off is a matter of centimetres
  ["nose_load", "force", "nose wheel"],
];

/** Title, verdict and reason of a roll. */
export function makeHeading(story) {
  const verdict = html("p", { class: `verdict ${story.failed ? "failed" : "good"}` });
  // a sign before the words, since colour alone would not tell everybody
  const sign = html("span", { class: "sign", "aria-hidden": "true" }, story.failed ? "✗" : "✓");
  verdict.append(sign, ` ${story.verdict_words}`);
  return html("header", {}, html("h2", {}, story.title), verdict, html("p", { class: "reason" }, story.reason));
}

/** The running numbers. */
export function makeReadout(story) {
  const values = NUMBERS.map(() => html("dd"));
  const pairs = NUMBERS.map(([, , words], i) => html("div", {}, html("dt", {}, words), values[i]));

  function show(time) {
    const state = stateAt(story, time);
    NUMBERS.forEach(([name, kind, , decimals], i) => {
      write(values[i], quantity(story, kind, state[name], decimals));
    });
  }

  return { element: html("dl", { class: "readout" }, ...pairs), show };
}

/** What happened last, under the picture. */
export function makeCaption(story) {
  const element = html("p", { class: "caption" });
  const before = endOf(story) > 0 ? "the throttle is open" : "nothing rolls";

  function show(time) {
    const event = lastEvent(story, time);
    write(element, event ? `${quantity(story, "time", event.time)}: ${event.words}` : before);
    element.classList.toggle("fresh", event !== null && time - event.time < 0.4);
  }

  return { element, show };
}

/** The roll in words, for those who do not see it move: every event, and what to beware of. */
export function makeSummary(story) {
  const heads = ["what happens", "time", "distance"].map((words) => html("th", { scope: "col" }, words));
  const rows = story.events.map((event) =>
    html(
      "tr", {},
      html("th", { scope: "row" }, event.words),
      html("td", {}, quantity(story, "time", event.time)),
      html("td", {}, quantity(story, "length", event.distance)),
    ),
  );
  const table = html(
    "table", { class: "events" },
    html("caption", {}, "What happens in the roll"),
    html("thead", {}, html("tr", {}, ...heads)),
    html("tbody", {}, ...rows),
  );
  const cautions = (story.cautions ?? []).map((words) => html("li", {}, words));
  const beware = cautions.length ? [html("h4", {}, "Beware"), html("ul", { class: "cautions" }, ...cautions)] : [];
  return html("div", { class: "summary" }, table, ...beware);
}
