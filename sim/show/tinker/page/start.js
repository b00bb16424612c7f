// Starts the page and ties its parts together.

import { html, write } from "../replay/elements.js";
import { mountReplay } from "../replay/replay.js";
import { makeDecision } from "./budget.js";
import { makeExchange, post } from "./exchange.js";
import { makeLink, stateOfLink } from "./link.js";
import { makeNumbers, makeOutcome } from "./outcome.js";
import { makeSliders } from "./sliders.js";
import { makeWindow } from "./window.js";

const REST = 700; // [ms] without a change before the gear window is asked for

const opening = await (await fetch("opening")).json();
const outcome = makeOutcome();
const decision = makeDecision();
const numbers = makeNumbers();
const gearWindow = makeWindow();
const putIntoLink = makeLink();
const told = html("p", { class: "saved", role: "status" });
const sliders = makeSliders(opening.sliders, opening.places, change);
const changes = opening.changes.map(makeChange);
const ask = makeExchange("answer", show, (words) => outcome.complain([words]));
const askWindow = makeExchange("window", showWindow, (words) => gearWindow.complain([words]));
let resting = 0;

document.title = `${opening.title} - tinkering`;
write(document.getElementById("title"), `Tinkering: ${opening.title}`);
document.getElementById("outcome").append(outcome.element, decision.element);
document.getElementById("sliders").append(sliders.element, ...changeList(), outcome.trouble, saving());
document.getElementById("more").append(gearWindow.element, numbers.element);
const replay = mountReplay(document.getElementById("replay"), [opening.story], { autoplay: false });
replay.seek(momentOf(opening.story));
outcome.show(opening.story);
decision.show([opening.story]);
addEventListener("hashchange", () => restore(stateOfLink()));
restore(stateOfLink());

/** Everything as a state has it; what no slider stands for is sent along, so that it is told. */
function restore(state) {
  sliders.set(state.values);
  for (const one of changes) one.box.checked = state.changes.includes(one.name);
  follow({ ...state, values: { ...state.values, ...sliders.values() } });
}

/** What is altered now, as a link, a question or a file has it. */
function stateNow() {
  return { values: sliders.values(), changes: changes.filter((one) => one.box.checked).map((one) => one.name) };
}

/** The hand has altered something. */
function change() {
  const state = stateNow();
  putIntoLink(state);
  write(told, ""); // what was saved is no longer what is seen
  follow(state);
}

function follow(state) {
  document.documentElement.dataset.asked = String(ask(state));
  clearTimeout(resting);
  resting = setTimeout(() => {
    gearWindow.wait();
    askWindow(state);
  }, REST);
}

/** An answer, or what is wrong: then the last good picture stays. */
function show(answer, number) {
  const left = sliders.blame(answer.problems ?? []);
  outcome.complain(left.map((problem) => problem.text));
  if (answer.problems) {
    outcome.stale();
  } else {
    sliders.show(answer.places);
    outcome.show(answer.story, answer.keys.length ? answer.headline : "");
    const stories = answer.keys.length ? [opening.story, answer.story] : [opening.story];
    decision.show(stories);
    replay.update(stories);
    numbers.show(answer);
  }
  document.documentElement.dataset.answered = String(number);
}

function showWindow(found) {
  if (found.problems) gearWindow.complain(["Not worked out, because what is set now cannot be rolled:", ...found.problems.map((problem) => problem.text)]);
  else gearWindow.show(found);
}

/** Where to look first: just after the nose wheel leaves, else at the pull. */
function momentOf(story) {
  const first = ["nose-wheel-off", "pull"].map((name) => story.events.find((event) => event.name === name));
  const event = first.find((one) => one);
  return event ? event.time + 0.25 : 0;
}

function makeChange({ name, text }) {
  const box = html("input", { type: "checkbox" });
  box.addEventListener("change", () => {
    sliders.forget();
    change();
  });
  return { name, box, element: html("label", { class: "change" }, box, html("span", {}, name, html("small", {}, ` ${text}`))) };
}

function changeList() {
  if (!changes.length) return [];
  const boxes = changes.map((one) => one.element);
  return [html("fieldset", { class: "changes" }, html("legend", {}, "Changes of the file"), ...boxes)];
}

/** Back to the file, and a file of one's own. */
function saving() {
  const back = html("button", { type: "button" }, "All as loaded");
  back.addEventListener("click", () => {
    restore({ values: {}, changes: [] });
    change();
  });
  const name = html("input", { type: "text", id: "name", value: "altered.toml", autocomplete: "off", maxlength: 64 });
  const save = html("button", { type: "submit" }, "Save as scenario");
  const form = html("form", { class: "saving" }, html("label", { for: "name" }, "New file beside this one"), name, save, back, told);
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    try {
      const reply = await post("save", { name: name.value.trim(), state: stateNow() });
      write(told, reply.problem ?? `Saved: ${reply.file}. It extends ${opening.file}.`);
    } catch (wrong) {
      write(told, wrong.message);
    }
  });
  return form;
}
