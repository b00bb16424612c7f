// What the pictures of several stories share so that they compare: axes, sizes of forces and bars.

import { extent } from "./aeroplane.js";
import { forceReach } from "./arrows.js";
import { barReach } from "./bars.js";
import { endOf } from "./reading.js";
import { stripReach } from "./strip_map.js";
import { traceReach } from "./traces.js";

const reaches = new WeakMap(); // a story never changes: looked through once

/**
 * Reach of everything drawn over all stories, name -> [low, high], low <= 0 <= high [SI].
 *
 * `several`: whether there is more than one. `key`: the same for the same scales. With several the
 * reaches are rounded outwards, so that a story beside one that changes a little is left as it is.
 */
export function scalesOf(stories) {
  const several = stories.length > 1;
  const reach = {};
  for (const story of stories) {
    for (const [name, [low, high]] of Object.entries(reachOf(story))) {
      const [lowest, highest] = reach[name] ?? [0, 0];
      reach[name] = [Math.min(lowest, low), Math.max(highest, high)];
    }
  }
  const scales = several ? Object.fromEntries(Object.entries(reach).map(([k, ends]) => [k, ends.map(outwards)])) : reach;
  return { ...scales, several, key: JSON.stringify([several, scales]) };
}

function reachOf(story) {
  if (!reaches.has(story)) {
    const { back, front } = extent(story.scene);
    reaches.set(story, {
      time: [0, endOf(story)], body: [0, front - back],
      ...stripReach(story), ...forceReach(story), ...barReach(story), ...traceReach(story),
    });
  }
  return reaches.get(story);
}

/** Away from zero to two round digits: by a tenth at most. */
function outwards(value) {
  if (value === 0) return 0;
  const power = 10 ** Math.floor(Math.log10(Math.abs(value)));
  const first = Math.abs(value) / power;
  const step = (power * (first < 2 ? 1 : first < 5 ? 2 : 5)) / 10;
  return Number((Math.sign(value) * step * Math.ceil(Math.abs(value) / step - 1e-9)).toPrecision(6));
}
