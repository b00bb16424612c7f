// Starts the page: its stories stand in it as a block of data.

import { mountReplay } from "./replay.js";

const stories = JSON.parse(document.getElementById("stories").textContent);
document.title = `${stories.map((story) => story.title).join(" beside ")} - replay`;
mountReplay(document.getElementById("replay"), stories, { keysOn: document });
