"""`new` and `schema`: starting from nothing. Heavy rooms are imported where they are used."""

# ruff: noqa: PLC0415 - so that help and mistakes of the command line come at once

from pathlib import Path
from typing import Annotated, Any

import typer

from sim.commands.app import BAD_INPUT, Force, app


@app.command()
def new(
    file: Annotated[Path, typer.Argument(help="The file to write.")] = Path("my-jet.toml"),
    example: Annotated[
        str | None,
        typer.Option(
            "--from",
            metavar="EXAMPLE",
            help="Ask nothing: write a commented copy of this file or shipped scenario.",
        ),
    ] = None,
    drawings: Annotated[
        bool, typer.Option("--drawings/--no-drawings", help="Draw where to put the tape.")
    ] = True,
    force: Force = False,
) -> None:
    """Write a scenario file by answering questions, one measurement at a time.

    \b
    wheelsoff new my-jet.toml
    wheelsoff new my-jet.toml --from meadow-jet

    Answers carry a unit (490 mm, 19.3 in). "?" tells how to measure, "back" goes to the question
    before, an empty line takes what stands in brackets or leaves out what is not known. Whoever
    stops early finds what was answered in a file beside it, my-jet.unfinished.toml.
    """  # noqa: D301
    from sim.show.files import check_targets, write_text

    check_targets([file], force)
    if example is not None:
        from sim.ask import copied

        text = copied(example)
    else:
        text = _asked(file, drawings)
    write_text(file, text, force)
    _prove(file)


def _asked(file: Path, drawings: bool) -> str:
    """The text of a file out of the answers, or an end that keeps those there are."""
    from sim.ask import UnfinishedError, commented
    from sim.commands.tasks import complain
    from sim.show.asking import ask_scenario

    try:
        tree = ask_scenario(drawings)
    except UnfinishedError as end:
        interrupted = isinstance(end.__cause__, KeyboardInterrupt)
        complain("" if interrupted else "The input ended before the last question.")
        _keep(end.tree, file)
        raise KeyboardInterrupt if interrupted else typer.Exit(BAD_INPUT) from None
    return commented(tree, "Written from measurements. Keys with a # are left out.")


def _keep(tree: dict[str, Any], file: Path) -> None:
    """Write the answers of a conversation that ended early beside the file it was to make."""
    from sim.ask import commented
    from sim.commands.tasks import complain
    from sim.show.files import free_name, write_text

    if not tree:
        complain("Nothing was answered, nothing was written.")
        return
    kept = free_name(file, "unfinished")
    heading = (
        "What was answered so far. Fill in the lines with a # that are needed; run names them."
    )
    write_text(kept, commented(tree, heading))
    complain(f"{file} was not written. What was answered stands in {kept}.")
    complain(f"To go on, fill in what is missing: wheelsoff run {kept} names it.")


def _prove(file: Path) -> None:
    """Load what was written, and say what to do with it."""
    from sim.scenario import load_scenario, shipped_scenarios

    # a file named like a scenario that comes with the program is meant by its path
    name = f"./{file}" if str(file) in shipped_scenarios() else str(file)
    scenario = load_scenario(name)
    print(f"Wrote {file}: {scenario.title}")
    print(f"It loads. Next: wheelsoff run {name}")


@app.command()
def schema(
    output: Annotated[
        Path | None,
        typer.Option("-o", "--output", metavar="FILE", help="Write to this file instead."),
    ] = None,
    force: Force = False,
) -> None:
    """Print the JSON Schema of a scenario file (draft 2020-12), for editors.

    \b
    wheelsoff schema -o scenario.schema.json

    An editor with a TOML language server then completes and checks a scenario whose first line is

    \b
    #:schema ./scenario.schema.json
    """  # noqa: D301
    import json

    from sim.scenario.schema import scenario_schema

    text = json.dumps(scenario_schema(), indent=2, ensure_ascii=False) + "\n"
    from sim.commands.tasks import print_json, save

    if output is None:
        print_json(text)
    else:
        save({output: text.encode("utf-8")}, force)
