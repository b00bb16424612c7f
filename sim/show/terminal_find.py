"""What was found, as text for the terminal."""

from rich.console import Console, Group, RenderableType
from rich.text import Text

from sim.show.terminal_assumptions import bullets
from sim.show.words_find import clause_words, lead_words, notes, present_words
from sim.study.find import Search


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
