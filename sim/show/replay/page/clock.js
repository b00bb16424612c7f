// The clock: seconds shown against seconds of the roll, as [shown, roll] pairs from the stories.

import { along, endOf } from "./reading.js";

/**
 * The one clock of all stories: the page's stories have it already, each the same; of stories that
 * differ, as a live page may hand over, that whose clock goes on longest.
 *
 * The last moment held, which a picture that starts over by itself needs, is left out: here the
 * replay simply stops. A roll longer than the clock goes on at its own pace.
 */
export function sharedClock(stories) {
  const end = Math.max(...stories.map(endOf));
  const clocks = stories.map((story) => story.clock.filter(movesOn));
  const longest = clocks.reduce((a, b) => (lastOf(b)[1] > lastOf(a)[1] ? b : a));
  const [shown, roll] = lastOf(longest);
  return roll < end - 1e-6 ? [...longest, [shown + end - roll, end]] : longest;
}

/** The clock of a replay at the roll's own pace. */
export function evenClock(stories) {
  const end = Math.max(...stories.map(endOf));
  return [[0, 0], [end, end]];
}

/** Time of the roll at a time shown [s]. */
export function rollTime(clock, shown) {
  return along(clock.map((p) => p[0]), clock.map((p) => p[1]), shown);
}

/** Time at which a moment of the roll is shown [s]. */
export function shownTime(clock, roll) {
  return along(clock.map((p) => p[1]), clock.map((p) => p[0]), roll);
}

/** Time at which the replay ends [s, shown]. */
export function shownEnd(clock) {
  return lastOf(clock)[0];
}

/** Seconds shown for one second of the roll at a time shown: 5 is five times slower; 1 if nothing moves on. */
export function slowness(clock, shown) {
  const found = clock.findIndex((pair) => pair[0] > shown + 1e-9);
  if (shownEnd(clock) === 0) return 1;
  const i = found > 0 ? found : clock.length - 1;
  return (clock[i][0] - clock[i - 1][0]) / (clock[i][1] - clock[i - 1][1]);
}

function movesOn(pair, i, pairs) {
  return i === 0 || pair[1] > pairs[i - 1][1];
}

function lastOf(clock) {
  return clock[clock.length - 1];
}
