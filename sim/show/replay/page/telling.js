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
export function makeHeading() {
  // a sign before the words, since colour alone would not tell everybody
  const sign = html("span", { class: "sign", "aria-hidden": "true" });
  const [title, words, reason] = [html("h2"), html("span"), html("p", { class: "reason" })];
  const verdict = html("p", {}, sign, " ", words);

  function tell(story) {
    verdict.className = `verdict ${story.failed ? "failed" : "good"}`;
    write(sign, story.failed ? "✗" : "✓");
    write(words, story.verdict_words);
    write(title, story.title);
    write(reason, story.reason);
  }

  return { element: html("header", {}, title, verdict, reason), tell, show: () => {} };
}

/** The running numbers. */
export function makeReadout() {
  const values = NUMBERS.map(() => html("dd"));
  const pairs = NUMBERS.map(([, , words], i) => html("div", {}, html("dt", {}, words), values[i]));
  let story = null;

  function show(time) {
    const state = stateAt(story, time);
    NUMBERS.forEach(([name, kind, , decimals], i) => {
      write(values[i], quantity(story, kind, state[name], decimals));
    });
  }

  return { element: html("dl", { class: "readout" }, ...pairs), tell: (newStory) => { story = newStory; }, show };
}

/** What happened last, under the picture. */
export function makeCaption() {
  const element = html("p", { class: "caption" });
  let [story, before] = [null, ""];

  function tell(newStory) {
    [story, before] = [newStory, endOf(newStory) > 0 ? "the throttle is open" : "nothing rolls"];
  }

  function show(time) {
    const event = lastEvent(story, time);
    write(element, event ? `${quantity(story, "time", event.time)}: ${event.words}` : before);
    element.classList.toggle("fresh", event !== null && time - event.time < 0.4);
  }

  return { element, tell, show };
}

/** The roll in words, for those who do not see it move: every event, and what to beware of. */
export function makeSummary() {
  const element = html("div", { class: "summary" });
  return { element, tell: (story) => element.replaceChildren(...summaryOf(story)), show: () => {} };
}

function summaryOf(story) {
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
  return [table, ...beware];
}
