"""The page's server: this machine only, a handful of addresses, one file ever written."""

import socket
from collections.abc import Awaitable, Callable
from functools import partial
from importlib.resources import files
from typing import Any, TypeVar

import uvicorn
from pydantic import BaseModel, ValidationError
from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from sim.scenario import ScenarioError
from sim.show.files import OutputError
from sim.show.replay.page.build import COMPONENT, component_style
from sim.show.tinker.answer import Bench, answer, opening, problem_records
from sim.show.tinker.guard import Guard
from sim.show.tinker.newest import Newest, TooManyPages
from sim.show.tinker.saving import save_state
from sim.show.tinker.state import Question, Saving, State
from sim.show.tinker.window import WindowMaker

HOST = "127.0.0.1"
PAGE = ("start.js", "sliders.js", "link.js", "exchange.js", "outcome.js", "budget.js", "window.js")
"""Modules of the page; the replay's own come from its room as they are."""
SCRIPT = "text/javascript; charset=utf-8"
Message = TypeVar("Message", bound=BaseModel)


class Desk:
    """What the addresses of the page do; one for a server."""

    def __init__(self, bench: Bench) -> None:
        self.bench = bench
        self.maker = WindowMaker(bench)
        self._answers: Newest[State, dict[str, Any]] = Newest(partial(answer, bench))
        self._windows: Newest[Callable[[], dict[str, Any] | None], dict[str, Any] | None] = Newest(
            lambda job: job()
        )

    def app(self, port: int) -> Starlette:
        """The application, for a server on a port."""
        routes = [
            *_still_parts(),
            Route("/opening", self._opening),
            Route("/answer", self._answer, methods=["POST"]),
            Route("/window", self._window, methods=["POST"]),
            Route("/save", self._save, methods=["POST"]),
        ]
        return Starlette(routes=routes, middleware=[Middleware(Guard, port=port)])

    def close(self) -> None:
        """Let go whoever waits, and end what runs beside."""
        self._answers.close()
        self._windows.close()
        self.maker.close()

    async def _opening(self, _request: Request) -> Response:
        return JSONResponse(opening(self.bench))

    async def _answer(self, request: Request) -> Response:
        asked = await _message(request, Question)
        return await _newest(self._answers.ask(asked.tab, asked.number, asked.state))

    async def _window(self, request: Request) -> Response:
        asked = await _message(request, Question)
        overtaken = partial(self._windows.overtaken, asked.tab, asked.number)
        job = partial(self.maker.find, asked.state, overtaken)
        return await _newest(self._windows.ask(asked.tab, asked.number, job))

    async def _save(self, request: Request) -> Response:
        asked = await _message(request, Saving)
        return await run_in_threadpool(_saved, self.bench, asked)


class Server(uvicorn.Server):
    """Lets go who waits before it closes, so that nobody has to be cut off."""

    def __init__(self, desk: Desk, listening: socket.socket) -> None:
        super().__init__(
            uvicorn.Config(
                desk.app(listening.getsockname()[1]), log_level="warning", access_log=False,
                ws="none", server_header=False, lifespan="off", timeout_graceful_shutdown=2,
            )
        )  # fmt: skip
        self._desk = desk

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        """As of any server."""
        self._desk.close()
        await super().shutdown(sockets)


def serve(bench: Bench, listening: socket.socket) -> None:
    """Serve until interrupted, which raises `KeyboardInterrupt` once everything is closed."""
    Server(Desk(bench), listening).run(sockets=[listening])


def listen(port: int) -> socket.socket:
    """A socket that this machine alone can reach; port 0 takes any.

    Raises
    ------
    OSError
        When the port is taken.

    """
    # with the protocol named, what is accepted sends at once (asyncio looks for it); without, the
    # body of an answer waits for the acknowledgement of its head, which may take 40 ms
    listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    try:
        listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listening.bind((HOST, port))
        listening.listen(64)
    except OSError:
        listening.close()
        raise
    return listening


def _still_parts() -> list[Route]:
    """Page, style and scripts, read once; there is no other file to be had."""
    room, replay = files("sim.show.tinker").joinpath("page"), files("sim.show.replay.page")
    style = component_style() + room.joinpath("tinker.css").read_text(encoding="utf-8")
    page = room.joinpath("tinker.html").read_text(encoding="utf-8")
    parts = {"/": (page, "text/html; charset=utf-8"), "/style.css": (style, "text/css")}
    parts |= {f"/page/{n}": (room.joinpath(n).read_text(encoding="utf-8"), SCRIPT) for n in PAGE}
    parts |= {
        f"/replay/{n}": (replay.joinpath(n).read_text(encoding="utf-8"), SCRIPT) for n in COMPONENT
    }
    return [Route(path, _still(text, kind)) for path, (text, kind) in parts.items()]


def _still(text: str, kind: str) -> Callable[[Request], Awaitable[Response]]:
    async def give(_request: Request) -> Response:
        return Response(text, media_type=kind)

    return give


async def _message(request: Request, kind: type[Message]) -> Message:
    """A message of this kind; anything else is refused without a word of what was sent."""
    try:
        return kind.model_validate_json(await request.body(), strict=True)
    except ValidationError as wrong:
        raise HTTPException(
            400, f"not a message of this page: {wrong.error_count()} wrong"
        ) from None


async def _newest(coming: Awaitable[dict[str, Any] | None]) -> Response:
    """The answer; nothing when it was overtaken."""
    try:
        found = await coming
    except TooManyPages:
        raise HTTPException(503, "too many pages are open") from None
    return Response(status_code=204) if found is None else JSONResponse(found)


def _saved(bench: Bench, asked: Saving) -> Response:
    try:
        target = save_state(bench, asked.state, asked.name)
    except OutputError as wrong:
        return JSONResponse({"problem": f"Nothing was written: {wrong}."}, 409)
    except ScenarioError as wrong:
        return JSONResponse({"problem": problem_records(wrong)[0]["text"]}, 409)
    return JSONResponse({"file": target.name})
