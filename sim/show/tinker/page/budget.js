// The nose-load budget at the moment that decides, beside the verdict.

import { makeBudget } from "../replay/bars.js";
import { html, write } from "../replay/elements.js";
import { quantity, stateAt } from "../replay/reading.js";
import { scalesOf } from "../replay/scales.js";

/** show(stories): the budget of the last of them, to the scale of all. */
export function makeDecision() {
  const table = makeBudget();
  const when = html("p", { class: "small" });

  function show(stories) {
    const story = stories[stories.length - 1];
    const { time, words } = decisive(story);
    const { distance, airspeed } = stateAt(story, time);
    const there = `${quantity(story, "length", distance)} and ${quantity(story, "speed", airspeed)} airspeed`;
    write(when, `${words}, at ${there}`);
    table.tell(story, scalesOf(stories));
    table.show(time);
  }

  return { element: html("div", { class: "decision" }, table.element, when), show };
}

/** As the first wheel leaves; without that at the fastest on the wheels, as far as the story goes. */
function decisive(story) {
  const off = story.events.find((event) => ["nose-wheel-off", "mains-off"].includes(event.name));
  const { time, airspeed, on_mains: onMains } = story.columns;
  let row = 0;
  time.forEach((t, i) => {
    if (onMains[i] && (off ? t <= off.time : airspeed[i] >= airspeed[row])) row = i;
  });
  const fastest = airspeed[row] > airspeed[0] ? "at the fastest it is shown on its wheels" : "at rest";
  return { time: time[row], words: off ? `as ${off.words}` : fastest };
}
