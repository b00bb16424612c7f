// The replay as a component: one or more stories on one clock, with its controls.

import { makeBudget, makeMoments } from "./bars.js";
import { evenClock, rollTime, sharedClock, shownEnd, shownTime, slowness } from "./clock.js";
import { listenToKeys, makeControls } from "./controls.js";
import { html, put, write } from "./elements.js";
import { lastEvent, quantity, stateAt } from "./reading.js";
import { makeScene } from "./scene.js";
import { makeStripMap } from "./strip_map.js";
import { makeCaption, makeHeading, makeReadout, makeSummary } from "./telling.js";
import { makeTraces } from "./traces.js";

const LONGEST_FRAME = 0.1; // [s]: after a pause of the whole browser the replay does not jump

/**
 * Put a replay into an element.
 *
 * stories: documents as sim/show/replay/story.py writes them.
 * options: {autoplay: play at once, by default unless the reader asks for less motion;
 *           keysOn: what listens to the keyboard, by default the element}.
 * Returns {update(stories): other stories at the same moment, playing on if it played;
 *          play(); pause(); seek(time of the roll [s]); remove()}.
 */
export function mountReplay(element, stories, options = {}) {
  const still = window.matchMedia("(prefers-reduced-motion: reduce)").matches;
  const now = { shown: 0, playing: false, speed: 1, slow: true, clock: null, stories: [], parts: [], frame: 0 };
  const views = html("div", { class: "views" });
  const details = html("div", { class: "details" });
  const spoken = html("p", { class: "spoken", role: "status" });

  function update(newStories) {
    const time = now.clock ? rollTime(now.clock, now.shown) : 0;
    now.stories = newStories;
    const sides = newStories.map((story) => makeSide(story, newStories, seek));
    now.parts = sides.flatMap((side) => side.parts);
    views.replaceChildren(...sides.map((side) => side.view));
    details.replaceChildren(...sides.map((side) => side.details));
    put(element, { "data-stories": String(newStories.length) });
    wind(time);
  }

  /** Take the clock that is asked for and stay at a moment of the roll. */
  function wind(time) {
    now.clock = now.slow ? sharedClock(now.stories) : evenClock(now.stories);
    now.shown = shownTime(now.clock, time);
    show();
  }

  function show() {
    const time = rollTime(now.clock, now.shown);
    for (const part of now.parts) part.show(time);
    controls.show({
      shown: now.shown, end: shownEnd(now.clock), playing: now.playing,
      words: momentWords(now.stories, time), pace: paceWords(slowness(now.clock, now.shown) / now.speed),
    });
  }

  function goTo(shown) {
    now.shown = Math.min(Math.max(shown, 0), shownEnd(now.clock));
    show();
  }

  function seek(time) {
    goTo(shownTime(now.clock, time));
  }

  function play() {
    if (now.playing || shownEnd(now.clock) === 0) return; // nothing rolls: a still picture
    if (now.shown >= shownEnd(now.clock) - 1e-6) now.shown = 0;
    now.playing = true;
    show();
    let before = null;
    now.frame = requestAnimationFrame(function tick(stamp) {
      const passed = before === null ? 0 : Math.min((stamp - before) / 1000, LONGEST_FRAME);
      before = stamp;
      const from = rollTime(now.clock, now.shown);
      goTo(now.shown + passed * now.speed);
      tell(from, rollTime(now.clock, now.shown));
      if (now.shown >= shownEnd(now.clock)) pause();
      else now.frame = requestAnimationFrame(tick);
    });
  }

  function pause() {
    cancelAnimationFrame(now.frame);
    now.playing = false;
    show();
  }

  /** Say aloud what has just happened, only while it plays: scrubbing would flood the listener. */
  function tell(from, to) {
    for (const story of now.stories) {
      const event = lastEvent(story, to);
      const name = now.stories.length > 1 ? `${story.title}: ` : "";
      if (event && event.time > from) write(spoken, name + event.words);
    }
  }

  const act = {
    toggle: () => (now.playing ? pause() : play()),
    start: () => goTo(0),
    end: () => goTo(shownEnd(now.clock)),
    scrub: goTo,
    step: (seconds) => goTo(now.shown + seconds),
    speed: (factor) => { now.speed = factor; show(); },
    slow: (whether) => { now.slow = whether; wind(rollTime(now.clock, now.shown)); },
  };
  const controls = makeControls(act);
  const deaf = listenToKeys(options.keysOn ?? element, act);
  element.classList.add("replay");
  element.replaceChildren(views, controls.element, spoken, details);
  update(stories);
  if (options.autoplay ?? !still) play();

  function remove() {
    pause();
    deaf();
    element.replaceChildren();
  }

  return { update, play, pause, seek, remove };
}

/** What belongs to one story: the moving view, what stands below, and all that follows the time. */
function makeSide(story, stories, seek) {
  const scene = makeScene(story, stories);
  const map = makeStripMap(story, stories);
  const caption = makeCaption(story);
  const readout = makeReadout(story);
  const moments = makeMoments(story, stories);
  const budget = makeBudget(story, stories);
  const traces = makeTraces(story, stories, seek);
  const stage = html("div", { class: "stage" }, scene.element, caption.element, map.element);
  const name = stories.length > 1 ? story.title : "Moments, traces and events";
  return {
    parts: [scene, map, caption, readout, moments, budget, traces],
    view: html("article", { class: "view" }, makeHeading(story), stage, readout.element),
    details: html(
      "article", { class: "detail" }, html("h3", {}, name),
      html("div", { class: "balance" }, moments.element, budget.element),
      traces.element, makeSummary(story),
    ),
  };
}

function momentWords(stories, time) {
  const places = stories.map((story) => quantity(story, "length", stateAt(story, time).distance));
  return `${quantity(stories[0], "time", time)}, at ${places.join(" and ")}`;
}

function paceWords(slow) {
  if (!Number.isFinite(slow) || Math.abs(slow - 1) < 0.03) return "at its own pace";
  const times = (slow > 1 ? slow : 1 / slow).toFixed(1).replace(/\.0$/, "");
  return slow > 1 ? `${times} times slower` : `${times} times faster`;
}
