"""The commands and what they print. Heavy rooms are imported where they are used."""

# ruff: noqa: PLC0415 - so that help and mistakes of the command line come at once

import sys
from enum import StrEnum
from pathlib import Path
from typing import Annotated, Any

import typer

from sim.show.files import OutputError

DEFAULT_SCENARIO = "meadow-jet"
BAD_INPUT = 2


UsageProblem: Any = typer.BadParameter.__mro__[2]
"""What typer raises for a command line it cannot read; newer ones carry the class inside."""


class UnitSystem(StrEnum):
    """Units of what is printed, written to tables and drawn."""

    SI = "si"
    IMPERIAL = "imperial"


ABOUT = """Will it take off from this strip? A time-step simulator of the take-off roll of
ducted-fan model jets on grass.

\b
  wheelsoff                          lists the commands
  wheelsoff scenarios                what comes with the program
  wheelsoff run meadow-jet           rolls one and says how it ends, and why
  wheelsoff run my-jet.toml          the same with your own file
  wheelsoff compare meadow-jet long-grass

It is a planning estimate, not a clearance to fly.
"""

app = typer.Typer(
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    help=ABOUT,
)

Overrides = Annotated[
    list[str] | None,
    typer.Option(
        "--set",
        metavar="KEY=VALUE",
        help='Replace a key of the file, such as --set "power.static_thrust=30 N". Repeatable.',
    ),
]
Units = Annotated[UnitSystem, typer.Option("--units", help="Units of what is shown.")]
Plots = Annotated[
    Path | None, typer.Option("--plots", metavar="DIR", help="Save pictures (PNG) in this folder.")
]
Json = Annotated[
    bool, typer.Option("--json", help="Print the result document (JSON, always SI) instead.")
]
Force = Annotated[bool, typer.Option("--force", help="Replace files that exist.")]


def run_command(arguments: list[str]) -> int:
    """Run one command and return its exit code; every message of an error goes to stderr."""
    from sim.scenario import ScenarioError

    try:
        code = app(args=arguments or ["--help"], prog_name="wheelsoff", standalone_mode=False)
    except ScenarioError as wrong:
        print(_problem_text(wrong), file=sys.stderr)
        return BAD_INPUT
    except OutputError as wrong:
        print(f"Nothing was written: {wrong}.", file=sys.stderr)
        return BAD_INPUT
    except UsageProblem as wrong:
        wrong.show(file=sys.stderr)
        return int(wrong.exit_code)
    except typer.Exit as done:
        return int(done.exit_code)
    except typer.Abort:
        raise KeyboardInterrupt from None
    return code if isinstance(code, int) else 0


def _problem_text(error: Exception) -> str:
    problems = getattr(error, "problems", ())
    count = "one thing is" if len(problems) == 1 else f"{len(problems)} things are"
    return f"This scenario cannot be rolled; {count} wrong:\n{error}"


def _version(wanted: bool) -> None:
    if wanted:
        from sim.report import versions

        print(f"wheelsoff {versions()['wheelsoff']}")
        raise typer.Exit


@app.callback()
def start(
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Show the version.")
    ] = False,
) -> None:
    """Options before the command."""


@app.command()
def run(
    scenario: Annotated[
        str, typer.Argument(help="A scenario file, or the name of one that comes with the program.")
    ] = DEFAULT_SCENARIO,
    overrides: Overrides = None,
    as_json: Json = False,
    table: Annotated[
        Path | None,
        typer.Option("--csv", metavar="FILE", help="Save the trace, one row per moment."),
    ] = None,
    plots: Plots = None,
    units: Units = UnitSystem.SI,
    force: Force = False,
    advice: Annotated[
        bool, typer.Option("--advice/--no-advice", help="Try small changes beside the roll.")
    ] = True,
) -> None:
    """Roll one scenario: how it ends, why, and what would help most.

    \b
    wheelsoff run meadow-jet --set "pilot.pull_at=30 m"
    wheelsoff run my-jet.toml --csv roll.csv --plots pictures
    wheelsoff run meadow-jet --json > result.json

    Exits 0 for a finished roll, whatever its verdict, and 2 for bad input.
    """  # noqa: D301
    from sim.show.files import check_targets
    from sim.show.tasks import build, print_run, save_run, targets

    name = Path(scenario).stem
    check_targets(targets(name, table, plots), force)
    report = build(scenario, overrides or [], advice)
    save_run(report, name, table, plots, units.value, force)
    print_run(report, as_json, units.value)


@app.command()
def compare(
    scenarios: Annotated[list[str], typer.Argument(help="Two or more scenarios: files or names.")],
    overrides: Overrides = None,
    as_json: Json = False,
    plots: Plots = None,
    units: Units = UnitSystem.SI,
    force: Force = False,
) -> None:
    """Roll several scenarios and set their numbers side by side.

    \b
    wheelsoff compare mains-far-aft meadow-jet mains-forward
    wheelsoff compare meadow-jet my-jet.toml --plots pictures

    The first is what the others are held against. --set applies to all of them.
    """  # noqa: D301
    from sim.show.compare import Named
    from sim.show.files import check_targets
    from sim.show.tasks import build, overlay_path, print_compared, save_overlay

    if len(scenarios) < 2:
        raise typer.BadParameter("two scenarios or more are wanted")
    if plots:
        check_targets([overlay_path(plots)], force)
    reports = [Named(Path(s).stem, build(s, overrides or [], False)) for s in scenarios]
    if plots:
        save_overlay(reports, plots, units.value, force)
    print_compared(reports, as_json, units.value)


@app.command()
def scenarios() -> None:
    """List the scenarios that come with the program."""
    from sim.show.tasks import print_scenarios

    print_scenarios()
