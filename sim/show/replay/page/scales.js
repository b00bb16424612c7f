// What the pictures of several stories share so that they compare: axes, sizes of forces and bars.

import { extent } from "./aeroplane.js";
import { forceReach } from "./arrows.js";
import { barReach } from "./bars.js";
import { endOf, roundStep } from "./reading.js";
import { stripReach } from "./strip_map.js";
import { traceReach } from "./traces.js";

const reaches = new WeakMap(); // a story never changes: looked through once

/**
 * Reach of everything drawn over all stories, name -> [low, high], low <= 0 <= high [SI].
 *
 * `several`: whether there is more than one. With several the reaches are rounded outwards, so that
 * a story beside one that changes a little is left as it is.
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
  const rounded = Object.entries(reach).map(([name, ends]) => [name, several ? outwards(ends) : ends]);
  return { ...Object.fromEntries(rounded), several };
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

/** Away from zero, in steps of about a tenth of the longer side. */
function outwards([low, high]) {
  const longer = Math.max(-low, high);
  if (longer === 0) return [low, high];
  const step = roundStep(0.06 * longer);
  return [Math.floor(low / step + 1e-9) * step, Math.ceil(high / step - 1e-9) * step];
}
