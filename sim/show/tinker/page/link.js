// The state of the page in its address, behind the #, so that a link brings it back.

const CHANGE = "with";
const PAUSE = 250; // [ms]: a browser takes only so many addresses a second

/** {values: {key: text}, changes: [names]} of the address; a change ticked twice counts once. */
export function stateOfLink() {
  const words = [...new URLSearchParams(location.hash.slice(1))];
  return {
    values: Object.fromEntries(words.filter(([name]) => name !== CHANGE)),
    changes: [...new Set(words.filter(([name]) => name === CHANGE).map(([, value]) => value))],
  };
}

/** A function that puts a state into the address, a moment after the last one given to it. */
export function makeLink() {
  let waiting = 0;
  return (state) => {
    clearTimeout(waiting);
    waiting = setTimeout(() => {
      const words = [...Object.entries(state.values), ...state.changes.map((name) => [CHANGE, name])];
      history.replaceState(null, "", `#${new URLSearchParams(words)}`);
    }, PAUSE);
  };
}
