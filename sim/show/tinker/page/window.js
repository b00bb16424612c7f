// The gear window: stations of the main wheels that do, as bars and in words.

import { html, svg } from "../replay/elements.js";

const WIDE = 600;
const ROW = 30;
const HEAD = 20;

/** show(answer), wait() while it is worked out, complain(lines). */
export function makeWindow() {
  const heading = html("h2", {}, "Gear window");
  const state = html("p", { class: "small", role: "status" }, "Is worked out once the sliders rest.");
  const told = html("div", {});
  const element = html("div", { class: "gear-window" }, heading, state, told);

  function show(found) {
    state.textContent = found.wanted;
    element.classList.remove("old");
    told.replaceChildren(
      drawing(found),
      html("ul", {}, ...found.cases.map((one) => html("li", {}, one.words))),
    );
  }

  function wait() {
    element.classList.add("old");
    state.textContent = "Is being worked out: some hundred rolls, each on other stations of the main wheels.";
  }

  function complain(lines) {
    state.textContent = lines.join("\n");
  }

  return { element, show, wait, complain };
}

/** A bar for each case along the stations looked at; the wheels as they are now as a line. */
function drawing({ between: [low, high], now, cases }) {
  const place = (station) => (WIDE * (station - low)) / (high - low);
  const height = HEAD + ROW * cases.length;
  const bars = cases.flatMap((one, row) => {
    const top = HEAD + ROW * row;
    return [
      svg("path", { class: "looked", d: `M0 ${top + 22}H${WIDE}` }),
      ...one.stations.map(([from, to]) =>
        svg("rect", { class: "does", x: place(from), y: top + 16, width: Math.max(place(to) - place(from), 2), height: 10 }),
      ),
      svg("text", { x: 0, y: top + 12 }, one.name),
    ];
  });
  const side = place(now) > WIDE / 2 ? "end" : "start";
  return svg(
    "svg", { viewBox: `0 0 ${WIDE} ${height}`, "aria-hidden": "true", class: "stations" },
    ...bars,
    svg("path", { class: "now", d: `M${place(now)} 14V${height}` }),
    svg("text", { x: place(now), y: 12, "text-anchor": side }, "main wheels now"),
  );
}
