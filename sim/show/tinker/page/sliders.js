// A row for each key: its slider, a field for the text as in a file, and what is wrong with it.

import { html, put, write } from "../replay/elements.js";

/**
 * The rows. onChange() is called when the hand or the keyboard alters something.
 *
 * values(): {key: text} of what is altered. set(values): alter these and nothing else.
 * show(places): where untouched sliders stand. blame(problems): returns those no row is to blame for.
 * A problem of a key without a row is told beside the row that was altered last, until forget().
 */
export function makeSliders(sliders, places, onChange) {
  const rows = sliders.map((slider, i) => {
    const row = makeRow(slider, places[slider.key], `slider-${i}`, () => {
      last = row;
      onChange();
    });
    return row;
  });
  let last = null;
  let causes = new Map(); // key without a row -> the row that brought it about

  function rowOf({ key }) {
    const own = rows.find((row) => row.key === key);
    if (own) return own;
    const cause = causes.get(key) ?? last;
    return cause && cause.text() !== null ? cause : null;
  }

  function blame(problems) {
    const found = problems.map((one) => [one, rowOf(one)]);
    causes = new Map(found.filter(([, row]) => row).map(([one, row]) => [one.key, row]));
    for (const row of rows) row.blame(found.filter(([, its]) => its === row).map(([one]) => one.text));
    return found.filter(([, row]) => !row).map(([one]) => one);
  }

  function set(values) {
    forget();
    rows.forEach((row) => row.set(values[row.key] ?? null));
  }

  function forget() {
    last = null;
    causes.clear();
  }

  return {
    element: html("div", { class: "sliders" }, ...rows.map((row) => row.element)),
    values: () => Object.fromEntries(rows.filter((row) => row.text() !== null).map((row) => [row.key, row.text()])),
    set,
    forget,
    show: (found) => rows.forEach((row) => row.show(found[row.key])),
    blame,
  };
}

function makeRow(slider, loaded, id, onChange) {
  const { key, words, unit, low, high, step } = slider;
  const range = html("input", { type: "range", min: low, max: high, step, "aria-label": words });
  const field = html("input", {
    type: "text", id, autocomplete: "off", spellcheck: "false", maxlength: 200, "aria-describedby": `${id}-problem`,
  });
  const back = html("button", { type: "button", "aria-label": `${words} as loaded` }, "as loaded");
  const problem = html("p", { class: "problem", id: `${id}-problem`, role: "alert" });
  const label = html("label", { for: id }, words, html("small", {}, ...breakable(key)));
  const element = html("div", { class: "slider", "data-key": key }, label, field, range, back, problem);
  let altered = null; // the text, or null while the key is left alone

  function alter(text) {
    altered = text;
    back.disabled = text === null;
    element.classList.toggle("altered", text !== null);
  }

  function show(place) {
    if (place === undefined) return;
    // a text or a change may go beyond where the slider looks
    put(range, { min: Math.min(place, low), max: Math.max(place, high) });
    range.value = String(place);
    put(range, { "aria-valuetext": textOf(place, slider) });
    if (altered === null) field.value = textOf(place, slider);
  }

  function set(text) {
    alter(text);
    if (text !== null) field.value = text;
  }

  range.addEventListener("input", () => {
    set(textOf(Number(range.value), slider));
    put(range, { "aria-valuetext": field.value });
    onChange();
  });
  field.addEventListener("change", () => {
    alter(field.value.trim() || null);
    onChange();
  });
  back.addEventListener("click", () => {
    alter(null);
    range.focus(); // the button goes out of use, and the keyboard must not lose its place
    onChange();
  });

  function blame(texts) {
    write(problem, texts.join("\n"));
    put(field, { "aria-invalid": texts.length ? "true" : null });
  }

  alter(null);
  show(loaded);
  return { key, element, text: () => altered, set, show, blame, unit };
}

/** A key that may be broken after its dots. */
export function breakable(key) {
  return key.split(/(?<=\.)/).flatMap((part) => [part, html("wbr")]);
}

function textOf(place, { decimals, unit }) {
  return `${place.toFixed(decimals)} ${unit}`.trim();
}
