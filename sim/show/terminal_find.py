"""What was found, as text for the terminal."""

from typing import TYPE_CHECKING

from rich.console import Console, Group, RenderableType
from rich.text import Text

from sim.show.terminal_assumptions import bullets
from sim.show.words_find import clause_words, lead_words, notes, present_words
from sim.show.words_gear_window import case_words, wanted_words
from sim.show.words_gear_window import notes as window_notes
from sim.study.find import Search

if TYPE_CHECKING:
    from sim.study.gear_window import GearWindow


def print_found(search: Search, console: Console, system: str = "si") -> None:
    """Print the answer for the first condition of a search."""
    found = search.found[0]
    wanted = " and ".join(clause_words(clause, system) for clause in found.condition.clauses)
    parts: list[RenderableType] = [
        Text(search.prepared.title, style="bold"),
        Text(f"{search.knob.key} so that {wanted}"),
        Text(lead_words(search, found, system), style="bold"),
    ]
    now = present_words(search, found, system)
    if now:
        parts.append(Text(now))
    parts += [Text(), bullets(notes(search, found, system))]
    console.print(Group(*parts), highlight=False)


def print_gear_window(window: "GearWindow", console: Console, system: str = "si") -> None:
    """Print the gear windows of a scenario."""
    parts: list[RenderableType] = [
        Text(window.cases[0].search.prepared.title, style="bold"),
        Text(wanted_words(window, system)),
    ]
    parts += [Text(case_words(case, system), style="bold") for case in window.cases]
    parts += [Text(), bullets(window_notes(window, system))]
    console.print(Group(*parts), highlight=False)
