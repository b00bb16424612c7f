"""What the commands do, one small step each: build, save, print."""

# ruff: noqa: PLC0415 - a run without pictures never loads the drawing library

import sys
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from io import StringIO
from pathlib import Path
from shutil import get_terminal_size
from textwrap import TextWrapper
from typing import TYPE_CHECKING

from rich.console import Console
from rich.text import Text

from sim.show.files import write_all

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from sim.commands.app import Layers
    from sim.report import Report
    from sim.scenario import Scenario
    from sim.show.compare import Named

WIDEST = 100
"""Longer lines tire the eye, however wide the terminal is."""


def loaded(scenario: str, over: "Layers") -> "Scenario":
    """The scenario of a name or path, with what the command line lays over it."""
    from sim.scenario import load_scenario

    return load_scenario(scenario, over.overrides or (), over.changes or ())


def build(scenario: str, over: "Layers", with_advice: bool, wanted: str = "rolled") -> "Report":
    """From the name of a scenario, changes and overrides laid over it, to its report."""
    from sim.prepare import prepare
    from sim.report import build_report

    with to_be(wanted):
        prepared = prepare(loaded(scenario, over))
    return build_report(prepared, with_advice=with_advice)


@contextmanager
def to_be(done: str) -> Iterator[None]:
    """Let what is wrong with a scenario say what it was wanted for, such as "checked"."""
    from sim.scenario.problems import ScenarioError

    try:
        yield
    except ScenarioError as wrong:
        if wrong.about == ScenarioError.about:
            wrong.about = f"This scenario cannot be {done}"
        raise


def save(contents: Mapping[Path, bytes], force: bool) -> None:
    """Write files, all or none of them, and say so on standard error, watched or not."""
    write_all(contents, force)
    for path in contents:
        print(f"wrote {path}", file=sys.stderr)


def drawn(draw: "Callable[[], Figure]") -> bytes:
    """The bytes of a picture; drawing takes a moment, so it is told."""
    tell("drawing pictures ...")
    from sim.show.figures.save import picture_bytes, plain_letters

    with plain_letters():
        return picture_bytes(draw())


def targets(name: str, table: Path | None, plots: Path | None) -> list[Path]:
    """Every file a run is going to write."""
    files = [table] if table else []
    if plots:
        from sim.show.names import picture_paths

        files += picture_paths(plots, name)
    return files


def save_run(
    report: "Report", name: str, table: Path | None, plots: Path | None, system: str, force: bool
) -> None:
    """Write table and pictures, all or none of them."""
    contents: dict[Path, bytes] = {}
    if table:
        from sim.show.table_file import trace_csv

        contents[table] = trace_csv(report, system).encode("utf-8")
    if plots:
        tell("drawing pictures ...")
        from sim.show.figures.save import pictures

        contents |= pictures(report, plots, name, system)
    save(contents, force)


def overlay_path(folder: Path) -> Path:
    """File of the comparison's picture."""
    return folder / "compared.png"


def save_overlay(reports: "list[Named]", folder: Path, system: str, force: bool) -> None:
    """Write the picture of several rolls laid over each other."""
    from sim.show.figures.overlay import overlay_figure

    save({overlay_path(folder): drawn(lambda: overlay_figure(reports, system))}, force)


def tell(words: str) -> None:
    """Progress, for somebody who watches: only on a terminal, never on stdout."""
    if sys.stderr.isatty():
        print(words, file=sys.stderr)


def complain(words: str) -> None:
    """Say on standard error what went wrong; on a terminal no word or path is broken in two."""
    if sys.stderr.isatty():
        words = folded(words, min(get_terminal_size().columns, WIDEST))
    print(words, file=sys.stderr)


def folded(words: str, width: int) -> str:
    """Text with its lines folded at blanks, each below its own indent; a longer word stands whole.

    Parameters
    ----------
    words
        one line or several.
    width
        columns.

    """
    lines = []
    for line in words.split("\n"):
        indent = " " * (len(line) - len(line.lstrip()))
        wrapper = TextWrapper(
            width, initial_indent=indent, subsequent_indent=f"{indent}  ",
            break_long_words=False, break_on_hyphens=False,
        )  # fmt: skip
        lines += wrapper.wrap(line.strip()) or [""]
    return "\n".join(lines)


def show(printer: Callable[[Console], None]) -> None:
    """Let something print to standard output: colour and the width of a terminal only on one."""
    found = Console()
    if found.is_terminal:
        printer(Console(width=min(found.width, WIDEST)))
        return
    from sim.show.terminal import WIDTH, trimmed

    plain = Console(file=StringIO(), width=WIDTH, color_system=None, force_terminal=False)
    printer(plain)
    assert isinstance(plain.file, StringIO)
    print(trimmed(plain.file.getvalue()), end="")


def print_run(report: "Report", as_json: bool, system: str) -> None:
    """The report, or nothing but its document."""
    if as_json:
        from sim.show.document import to_json

        print_json(to_json(report))
        return
    from sim.show.terminal import print_report

    show(lambda console: print_report(report, console, system))


def print_compared(reports: "list[Named]", as_json: bool, system: str) -> None:
    """The comparison, or nothing but its document."""
    from sim.show.compare import compare_document, print_comparison

    if as_json:
        from sim.show.document import json_text

        print_json(json_text(compare_document(reports)))
        return
    show(lambda console: print_comparison(reports, console, system))


def print_json(text: str) -> None:
    """JSON in UTF-8 whatever the terminal's encoding, and no other byte."""
    sys.stdout.flush()
    binary = getattr(sys.stdout, "buffer", None)
    if binary is None:  # a stand-in without bytes below it
        sys.stdout.write(text)
        return
    binary.write(text.encode("utf-8"))
    binary.flush()


def print_scenarios() -> None:
    """Name and title of each shipped scenario."""
    from sim.scenario import load_scenario, shipped_scenarios
    from sim.show.terminal_events import plain_table

    table = plain_table()
    table.show_header = False
    table.add_column(no_wrap=True, style="bold")
    table.add_column()
    for name in shipped_scenarios():
        table.add_row(name, Text(load_scenario(name).title))
    show(lambda console: console.print(table, highlight=False))
