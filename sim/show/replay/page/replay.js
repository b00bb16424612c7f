// The replay as a component: one or more stories on one clock, with its controls.

import { makeBudget, makeMoments } from "./bars.js";
import { evenClock, rollTime, sharedClock, shownEnd, shownTime, slowness } from "./clock.js";
import { listenToKeys, makeControls } from "./controls.js";
import { html, put, write } from "./elements.js";
import { lastEvent, quantity, stateAt } from "./reading.js";
import { scalesOf } from "./scales.js";
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
 * Returns {update(stories): other stories at the same moment, playing on if it played; a story
 *            handed over again is not drawn again;
 *          play(); pause(); seek(time of the roll [s]); remove()}.
 */
export function mountReplay(element, stories, options = {}) {
  const still = window.matchMedia("(prefers-reduced-motion: reduce)").matches;
  const now = {
    shown: 0, moment: 0, playing: false, resumes: false, speed: 1, slow: true, clock: null, stories: [], frame: 0,
  };
  const sides = []; // more than there are stories at times: kept for when one comes again
  const views = html("div", { class: "views" });
  const details = html("div", { class: "details" });
  const spoken = html("p", { class: "spoken", role: "status" });

  function update(newStories) {
    const scales = scalesOf(newStories);
    while (sides.length < newStories.length) sides.push(makeSide(seek));
    newStories.forEach((story, i) => sides[i].tell(story, scales));
    if (newStories.length !== now.stories.length) {
      const seen = sides.slice(0, newStories.length);
      views.replaceChildren(...seen.map((side) => side.view));
      details.replaceChildren(...seen.map((side) => side.details));
      put(element, { "data-stories": String(newStories.length) });
    }
    now.stories = newStories;
    wind();
    rest();
  }

  /** Take the clock that is asked for and stay at the moment of the roll. */
  function wind() {
    now.clock = now.slow ? sharedClock(now.stories) : evenClock(now.stories);
    now.shown = shownTime(now.clock, now.moment);
    show();
  }

  /** Stand still while nothing rolls, and play on when something rolls again. */
  function rest() {
    const rolls = shownEnd(now.clock) > 0;
    const resumes = now.playing || now.resumes;
    if (rolls && now.resumes) play();
    if (!rolls) pause();
    now.resumes = !rolls && resumes;
  }

  function show() {
    // the moment itself, not what comes back of it from the clock: who stands at it is left alone
    const time = Math.min(now.moment, rollTime(now.clock, shownEnd(now.clock)));
    now.stories.forEach((_, i) => sides[i].show(time));
    controls.show({
      shown: now.shown, end: shownEnd(now.clock), playing: now.playing,
      words: momentWords(now.stories, time), pace: paceWords(slowness(now.clock, now.shown) / now.speed),
    });
  }

  function goTo(shown) {
    now.shown = Math.min(Math.max(shown, 0), shownEnd(now.clock));
    now.moment = rollTime(now.clock, now.shown);
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
    slow: (whether) => { now.slow = whether; wind(); },
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

/**
 * What belongs to one story: the moving view and what stands below.
 *
 * tell(story, scales): another story, or other scales; show(time): a moment. Parts for which
 * nothing is new are left alone: a part names the scales it goes `by`.
 */
function makeSide(seek) {
  const [scene, map, caption] = [makeScene(), makeStripMap(), makeCaption()];
  const [heading, readout, summary] = [makeHeading(), makeReadout(), makeSummary()];
  const [moments, budget, traces] = [makeMoments(), makeBudget(), makeTraces(seek)];
  const parts = [heading, scene, map, caption, readout, moments, budget, traces, summary];
  const stage = html("div", { class: "stage" }, scene.element, caption.element, map.element);
  const name = html("h3");
  const bars = html("div", { class: "balance" }, moments.element, budget.element);
  const keys = new Map(); // of each part: the scales it has been told
  const stale = new Set();
  let [told, shown] = [null, null];

  function tell(story, scales) {
    write(name, scales.several ? story.title : "Moments, traces and events");
    for (const part of parts) {
      const key = JSON.stringify((part.by ?? []).map((scale) => scales[scale]));
      if (story === told && keys.get(part) === key) continue;
      part.tell(story, scales);
      keys.set(part, key);
      stale.add(part);
    }
    told = story;
  }

  function show(time) {
    for (const part of time === shown ? stale : parts) part.show(time);
    stale.clear();
    shown = time;
  }

  return {
    view: html("article", { class: "view" }, heading.element, stage, readout.element),
    details: html("article", { class: "detail" }, name, bars, traces.element, summary.element),
    tell, show,
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
