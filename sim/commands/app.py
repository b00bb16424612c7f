"""The command line itself: options every command shares, and how mistakes are told."""

# ruff: noqa: PLC0415 - so that help and mistakes of the command line come at once

import sys
from collections.abc import Callable
from dataclasses import dataclass, fields, is_dataclass
from enum import StrEnum
from functools import wraps
from inspect import Parameter, signature
from pathlib import Path
from typing import Annotated, Any, get_type_hints

import typer

from sim.show.files import OutputError

BAD_INPUT = 2
INTERRUPTED = 130


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
  wheelsoff compare meadow-jet long-grass
  wheelsoff new my-jet.toml          asks for your measurements, one at a time
  wheelsoff run my-jet.toml --with longer-leg     with a change it names
  wheelsoff find my-jet.toml aeroplane.gear.main.station --gear-window
  wheelsoff ladder workshop          stacks changes and shares out what they gain
  wheelsoff spread my-jet.toml       how sure, and what decides it
  wheelsoff vary my-jet.toml "aeroplane.mass=2.8 kg:3.6 kg:25"
  wheelsoff check my-jet.toml        where the watts go, and what is at its limit
  wheelsoff fit my-jet.toml strip.csv             grip from tow test, coast-down
  wheelsoff replay my-jet.toml -o my-jet.gif      watch it roll, forces to scale
  wheelsoff tinker my-jet.toml                    sliders, and the roll follows
  wheelsoff card my-jet.toml -o card.pdf          one page for the wall and the field

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
With = Annotated[
    list[str] | None,
    typer.Option(
        "--with",
        metavar="NAME",
        help="Lay a change of the file, [change.NAME], over it; FILE.toml:NAME for one of another"
        " scenario. Repeatable, in this order; --set comes last.",
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


@dataclass(frozen=True)
class Layers:
    """What is laid over the file: changes, then single keys."""

    changes: With = None
    overrides: Overrides = None


NO_LAYERS = Layers()


def grouped(command: Callable[..., Any]) -> Callable[..., Any]:
    """A command whose parameters of a dataclass, such as `Layers`, are one option per field."""
    hints = get_type_hints(command, include_extras=True)
    groups: dict[str, Any] = {name: kind for name, kind in hints.items() if is_dataclass(kind)}
    options: list[Parameter] = []
    for parameter in signature(command).parameters.values():
        kind = groups.get(parameter.name)
        if kind is None:
            options.append(parameter.replace(annotation=hints[parameter.name]))
            continue
        inner = get_type_hints(kind, include_extras=True)
        options += [
            parameter.replace(name=f.name, annotation=inner[f.name], default=f.default)
            for f in fields(kind)
        ]

    @wraps(command)
    def flat(**given: Any) -> Any:
        for name, kind in groups.items():
            given[name] = kind(**{f.name: given.pop(f.name) for f in fields(kind)})
        return command(**given)

    flat.__signature__ = signature(command).replace(parameters=options)  # type: ignore[attr-defined]
    flat.__annotations__ = {option.name: option.annotation for option in options}
    return flat


def run_command(arguments: list[str]) -> int:
    """Run one command and return its exit code; every message of an error goes to stderr."""
    from sim.commands.tasks import complain
    from sim.scenario.problems import QuestionError, ScenarioError

    try:
        code = app(args=arguments or ["--help"], prog_name="wheelsoff", standalone_mode=False)
    except ScenarioError as wrong:
        complain(wrong.told())
        return BAD_INPUT
    except QuestionError as wrong:
        complain(str(wrong))
        return BAD_INPUT
    except OutputError as wrong:
        complain(f"Nothing was written: {wrong}.")
        return BAD_INPUT
    except UsageProblem as wrong:
        wrong.show(file=sys.stderr)
        return int(wrong.exit_code)
    except typer.Exit as done:
        return int(done.exit_code)
    except typer.Abort:
        raise KeyboardInterrupt from None
    return code if isinstance(code, int) else 0


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
