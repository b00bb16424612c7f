// Play, pause, scrub and speed: real buttons, a range, a list and the keyboard.

import { html, put, write } from "./elements.js";

const SPEEDS = [0.25, 0.5, 1, 2, 4];
const SMALL_STEP = 0.1; // arrow keys [s, shown]
const LARGE_STEP = 1; // page keys, and arrow keys with shift [s, shown]

/**
 * The bar of controls.
 *
 * act: {toggle(), start(), scrub(shown), step(seconds), end(), speed(factor), slow(whether)}.
 * show({shown, end, playing, words, pace}): what they say. With `end` 0 there is nothing to replay:
 * they are switched off and say so.
 */
export function makeControls(act) {
  const play = html("button", { type: "button", class: "play", "aria-keyshortcuts": "Space" }, "Play");
  const start = html("button", { type: "button", "aria-keyshortcuts": "Home" }, "To the start");
  const range = html("input", { type: "range", min: 0, max: 0, step: "any", value: 0 });
  const speed = html("select", { "aria-label": "Speed" }, ...SPEEDS.map(speedOption));
  const slow = html("input", { type: "checkbox" });
  slow.checked = true;
  const pace = html("span", { class: "pace" });
  const element = html(
    "div", { class: "controls", role: "group", "aria-label": "Replay" },
    html("div", { class: "buttons" }, play, start, speed),
    html("label", { class: "scrub" }, html("span", {}, "Moment ", pace), range),
    html("label", { class: "slow" }, slow, " slow motion"),
    html("p", { class: "hint" }, "Space plays and pauses, arrow keys step, Home and End go to the ends."),
  );

  play.addEventListener("click", act.toggle);
  start.addEventListener("click", act.start);
  range.addEventListener("input", () => act.scrub(Number(range.value)));
  speed.addEventListener("change", () => act.speed(Number(speed.value)));
  slow.addEventListener("change", () => act.slow(slow.checked));

  function show({ shown, end, playing, words, pace: paceWords }) {
    const still = end === 0;
    for (const one of [play, start, range, speed, slow]) one.disabled = still;
    if (Number(range.max) !== end) put(range, { max: end });
    range.value = String(shown);
    // while it plays nothing is read out but the events: sixty moments a second would drown them
    if (!playing) put(range, { "aria-valuetext": words });
    write(play, playing ? "Pause" : "Play");
    write(pace, still ? "nothing rolls" : paceWords);
  }

  return { element, show };
}

/** Space plays and pauses, arrows step, Home and End go to the ends. Returns how to stop it. */
export function listenToKeys(target, act) {
  function onKey(event) {
    if (event.altKey || event.ctrlKey || event.metaKey || keepsKey(event)) return;
    const step = event.shiftKey ? LARGE_STEP : SMALL_STEP;
    const actions = {
      " ": act.toggle,
      ArrowRight: () => act.step(step),
      ArrowLeft: () => act.step(-step),
      PageDown: () => act.step(LARGE_STEP),
      PageUp: () => act.step(-LARGE_STEP),
      Home: act.start,
      End: act.end,
    };
    // off the range the page keys scroll, as everywhere
    if (event.key.startsWith("Page") && event.target.type !== "range") return;
    const action = actions[event.key];
    if (!action) return;
    event.preventDefault();
    action();
  }

  target.addEventListener("keydown", onKey);
  return () => target.removeEventListener("keydown", onKey);
}

/** Whether what has the focus needs the key itself: a list its arrows, a button its space. */
function keepsKey(event) {
  const { tagName, type } = event.target;
  if (tagName === "SELECT" || tagName === "TEXTAREA") return true;
  if (tagName === "INPUT") return type !== "range" && !(type === "checkbox" && event.key !== " ");
  return event.key === " " && ["BUTTON", "A", "SUMMARY"].includes(tagName);
}

function speedOption(factor) {
  const option = html("option", { value: factor }, `${factor} × speed`);
  option.selected = factor === 1;
  return option;
}
