// Reading a story: what every column says at any moment of the roll, and how numbers are shown.

const SECONDS = { unit: "s", factor: 1, decimals: 2 };

/** Value at x on straight lines through (xs, ys); the ends are held. Two equal xs make a step. */
export function along(xs, ys, x) {
  const last = xs.length - 1;
  if (x >= xs[last]) return ys[last];
  if (x <= xs[0]) return ys[0];
  let low = 0;
  let high = last;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (xs[middle] <= x) low = middle;
    else high = middle;
  }
  // a gap in a column (null) stays a gap: a number beside it would be invented
  if (ys[low] === null || ys[high] === null) return null;
  const share = (x - xs[low]) / (xs[high] - xs[low]);
  return ys[low] + share * (ys[high] - ys[low]);
}

/** Every column at one moment [SI]; a column may be one number for the whole roll. */
export function stateAt(story, time) {
  const times = story.columns.time;
  const state = {};
  for (const [name, column] of Object.entries(story.columns)) {
    state[name] = Array.isArray(column) ? along(times, column, time) : column;
  }
  state.time = Math.min(Math.max(time, times[0]), endOf(story));
  return state;
}

/** Parts of the moment at one moment: name, words and value [N m, nose up positive]. */
export function balanceAt(story, time) {
  return story.balance.map((part) => ({
    name: part.name,
    words: part.words,
    moment: along(story.columns.time, part.moment, time) ?? 0,
  }));
}

/** Time of the last row [s]. */
export function endOf(story) {
  return story.columns.time[story.columns.time.length - 1];
}

/** The event that was last at a moment, or null before the first. */
export function lastEvent(story, time) {
  const past = story.events.filter((event) => event.time <= time + 1e-6);
  return past.length ? past[past.length - 1] : null;
}

/** Largest size that any of the columns reaches, never zero. */
export function largest(story, names) {
  let most = 0;
  for (const name of names) {
    for (const value of [story.columns[name] ?? 0].flat()) most = Math.max(most, Math.abs(value ?? 0));
  }
  return most || 1;
}

/** A number of a kind in the story's units: "12.3 m"; "-" where there is none. */
export function quantity(story, kind, value, decimals) {
  const text = number(story, kind, value, decimals);
  return text === "-" ? text : `${text} ${unitOf(story, kind).unit}`.trim();
}

/** The same without the unit; never a negative zero. */
export function number(story, kind, value, decimals) {
  if (value === null || value === undefined || !Number.isFinite(value)) return "-";
  const unit = unitOf(story, kind);
  const text = (value * unit.factor).toFixed(decimals ?? unit.decimals);
  return /^-[0.]*$/.test(text) ? text.slice(1) : text;
}

/** Unit of a kind of quantity: symbol and factor from SI. Seconds are seconds everywhere. */
export function unitOf(story, kind) {
  return kind === "time" ? SECONDS : story.units[kind];
}

/** A round step (1, 2 or 5 times a power of ten) not smaller than `least`. */
export function roundStep(least) {
  const power = 10 ** Math.floor(Math.log10(least));
  return [1, 2, 5, 10].map((n) => n * power).find((step) => step >= least * 0.999);
}
