"""`tinker`: the live page with sliders."""

# ruff: noqa: PLC0415 - so that help and mistakes of the command line come at once

import sys
import threading
import webbrowser
from contextlib import suppress
from typing import TYPE_CHECKING, Annotated

import typer

from sim.commands.app import BAD_INPUT, Units, UnitSystem, app

if TYPE_CHECKING:
    import socket

USUAL_PORT = 8731
MISSING = (
    "The live page needs the packages starlette and uvicorn, and {name} is not installed:"
    " pip install 'wheelsoff[live]'"
)


@app.command()
def tinker(
    scenario: Annotated[
        str, typer.Argument(help="A scenario file, or the name of one that comes with the program.")
    ],
    port: Annotated[
        int | None,
        typer.Option(
            "--port", metavar="N", min=0, max=65535,
            help=f"Port of the page on this computer; {USUAL_PORT} or any free one when left out.",
        ),
    ] = None,
    no_browser: Annotated[
        bool, typer.Option("--no-browser", help="Print the address and open nothing.")
    ] = False,
    units: Units = UnitSystem.SI,
) -> None:  # fmt: skip
    """A live page: move a slider, watch the nose come up.

    \b
    wheelsoff tinker my-jet.toml
    wheelsoff tinker meadow-jet --no-browser --port 8800

    Sliders for main-wheel station, ground attitude, flaps, throw, thrust, rolling resistance, CG,
    pull and headwind; changes of the file to tick. The page shows verdict and reason, the replay
    with the nose-load budget, the gear window, and the roll as loaded beside the altered one. What
    is altered can be kept as a link, or as a scenario file that extends the one loaded.

    Only this computer can open the page, and it needs no network. Ctrl-C ends it.
    """  # noqa: D301
    try:
        from sim.show.tinker.server import serve
    except ModuleNotFoundError as missing:
        package = (missing.name or "").partition(".")[0]
        if package not in ("starlette", "uvicorn"):
            raise
        from sim.commands.tasks import complain

        complain(MISSING.format(name=package))
        raise typer.Exit(BAD_INPUT) from None
    from sim.commands.tasks import to_be
    from sim.show.tinker.answer import make_bench

    with to_be("tinkered with"):
        bench = make_bench(scenario, units.value)
    listening = _listening(port)
    address = "http://{}:{}/".format(*listening.getsockname())
    print(f"{bench.loaded.title}: {address}  (Ctrl-C ends it)", flush=True)
    if not no_browser:
        threading.Thread(target=webbrowser.open, args=(address,), daemon=True).start()
    with suppress(KeyboardInterrupt):
        serve(bench, listening)
    print("The page is closed.", file=sys.stderr)


def _listening(port: int | None) -> "socket.socket":
    """The port asked for; the usual one, or any that is free."""
    from sim.show.files import OutputError
    from sim.show.tinker.server import listen

    try:
        return listen(USUAL_PORT if port is None else port)
    except OSError as wrong:
        if port is None:
            return listen(0)
        raise OutputError(f"port {port} cannot be used: {wrong.strerror}") from None
