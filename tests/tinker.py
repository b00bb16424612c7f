"""The live page for its tests: benches, a server in this process, raw words to it."""

import http.client
import json
import threading
import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from typing import Any

from sim.show.tinker.answer import Bench, make_bench
from sim.show.tinker.server import Desk, Server, listen

STATION = "aeroplane.gear.main.station"
THRUST = "power.static_thrust"
HOLDS = {
    "between": [0.544, 0.766],
    "now": 0.655,
    "wanted": "Wanted: whatever a test looks for.",
    "cases": [{"name": "flaps up", "words": "flaps up: a window.", "stations": [[0.584, 0.617]]}],
}
"""A gear window as the page is told it; a real one takes many seconds."""


@cache
def bench(name: str = "meadow-jet") -> Bench:
    """A scenario that comes with the program, rolled once."""
    return make_bench(name)


class NoWindow:
    """Stands in for the process that looks for gear windows."""

    def find(self, _state: Any, _overtaken: Any) -> dict[str, Any]:
        """The same for every state."""
        return HOLDS

    def close(self) -> None:
        """Nothing to end."""


@contextmanager
def serving(of: Bench) -> Iterator[int]:
    """A server of a bench on a free port of this machine, its gear windows made up."""
    desk = Desk(of)
    desk.maker = NoWindow()  # type: ignore[assignment]
    listening = listen(0)
    server = Server(desk, listening)
    thread = threading.Thread(target=server.run, kwargs={"sockets": [listening]})
    thread.start()
    try:
        while not server.started:
            time.sleep(0.01)
        yield int(listening.getsockname()[1])
    finally:
        server.should_exit = True
        thread.join(10.0)
        assert not thread.is_alive()


def say(
    port: int, path: str, body: bytes | None = None, headers: Mapping[str, str] | None = None
) -> tuple[int, bytes]:
    """Status and body of a plain request, its headers as given."""
    line = http.client.HTTPConnection("127.0.0.1", port, timeout=30.0)
    usual = {"Content-Type": "application/json"} if body is not None else {}
    line.request("GET" if body is None else "POST", path, body, usual | dict(headers or {}))
    reply = line.getresponse()
    found = reply.status, reply.read()
    line.close()
    return found


def question(number: int, tab: str = "a", changes: tuple[str, ...] = (), **values: str) -> bytes:
    """A message about a state; a key's dots are written as double underscores."""
    altered = {key.replace("__", "."): text for key, text in values.items()}
    state = {"values": altered, "changes": list(changes)}
    return json.dumps({"tab": tab, "number": number, "state": state}).encode()


def scenario_file(folder: Path, **tops: str) -> Path:
    """A scenario file that extends one that comes with the program."""
    lines = ['extends = "meadow-jet"', *(f"{key} = {json.dumps(v)}" for key, v in tops.items())]
    path = folder / "mine.toml"
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path
