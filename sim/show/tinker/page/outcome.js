// What came of it: the verdict where it is always seen, the numbers side by side further down.

import { html, write } from "../replay/elements.js";
import { breakable } from "./sliders.js";

const STALE = "What is set now cannot be rolled: see the words in red. This is the last roll that could be.";
const UNTOUCHED = "As loaded. Move a slider, or tick a change.";

/** Verdict and reason of the newest roll, and what is wrong when there is none. */
export function makeOutcome() {
  const verdict = html("p", { class: "verdict" });
  const reason = html("p", { class: "reason" });
  const moved = html("p", { class: "moved" });
  const trouble = html("p", { class: "trouble", role: "alert" });
  const element = html("div", { class: "outcome", role: "status" }, verdict, reason, moved);

  function show(story, headline) {
    verdict.className = `verdict ${story.failed ? "failed" : "good"}`;
    write(verdict, `${story.failed ? "✗" : "✓"} ${story.verdict_words}`);
    write(reason, story.reason);
    write(moved, headline || UNTOUCHED);
  }

  function complain(lines) {
    write(trouble, lines.join("\n"));
  }

  return { element, trouble, show, complain, stale: () => write(moved, STALE) };
}

/** The numbers as loaded and as altered, and the keys that differ. */
export function makeNumbers() {
  const element = html("div", { class: "numbers" });

  function show({ lines, keys, mind }) {
    element.replaceChildren(
      html("h2", {}, "As loaded and as altered"),
      html("p", { class: "small" }, mind),
      table("Numbers of the roll", ["number", "as loaded", "as altered", "how it moved"], lines.map(numberRow)),
      keys.length
        ? table("Keys of the file that differ", ["key", "as loaded", "as altered"], keys.map(keyRow))
        : html("p", {}, "Nothing is altered yet."),
    );
  }

  return { element, show, clear: () => element.replaceChildren() };
}

function numberRow({ words, before, after, change, sense }) {
  return html("tr", {}, head(words), cell(before), cell(after), html("td", { class: sense }, change));
}

function keyRow({ key, before, after }) {
  return html("tr", {}, head(...breakable(key)), cell(before), cell(after));
}

function table(caption, heads, rows) {
  const top = html("tr", {}, ...heads.map((words) => html("th", { scope: "col" }, words)));
  return html("table", {}, html("caption", {}, caption), html("thead", {}, top), html("tbody", {}, ...rows));
}

function head(...words) {
  return html("th", { scope: "row" }, ...words);
}

function cell(words) {
  return html("td", {}, words);
}
