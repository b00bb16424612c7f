"""Before and after on one page to show to others, with everything in one file."""

from dataclasses import dataclass
from math import isfinite

from sim.roll.verdict import Verdict
from sim.scenario import Change, Scenario
from sim.show.compare import Named
from sim.show.compare_keys import differences
from sim.show.compare_words import Line, headline, lines, looked_at
from sim.show.figures.budget import budget_figure
from sim.show.figures.overlay import overlay_figure
from sim.show.figures.save import figure_of, picture_bytes, plain_letters
from sim.show.page.shell import bullets, picture, shell, tag, text
from sim.show.power_words import passed_limits
from sim.show.units import formatter, quantity
from sim.show.words import VERDICTS

STYLE = """
.lead { font-size: 1.1rem; font-weight: 600; }
.pair { display: grid; gap: .8rem; grid-template-columns: minmax(0, 1fr); }
.roll { border: 1px solid var(--rule); border-left-width: 5px; border-radius: 4px; padding: .6rem; }
.roll.good { border-left-color: var(--third); }
.roll.failed { border-left-color: var(--limit); }
.verdict { font-weight: 600; }
.over { font-weight: 600; color: var(--limit); }
.better { color: var(--third); }
.worse { color: var(--limit); }
th[scope=row] { width: 34%; }
.numbers { overflow-wrap: normal; }
.numbers th[scope=row] { width: 31%; }
.numbers td:not(:last-child) { width: 21%; }
td.better, td.worse { font-weight: 600; }
@media (min-width: 46rem) { .pair { grid-template-columns: repeat(2, minmax(0, 1fr)); } }
"""
WHEN = ("Before", "After")
NEVER = "The heavy line comes down to nothing at no speed it can roll at."


@dataclass(frozen=True)
class Shown:
    """A roll on the page: its report by name, and the scenario it was rolled from."""

    named: Named
    scenario: Scenario


def compare_page(before: Shown, after: Shown, system: str = "si") -> bytes:
    """The page in UTF-8: same rolls, same bytes.

    Parameters
    ----------
    before, after
        the two rolls; the first is what the second is held against.
    system
        "si" or "imperial".

    """
    both = before.named, after.named
    with plain_letters():
        pictures = _pictures(both, system)
    body = (
        tag("h1", "Before and after")
        + tag("p", headline(*both, system), "lead")
        + _rolls((before, after), system)
        + _changed(before, after, system)
        + _numbers(before, after, system)
        + pictures
        + _estimates((before, after))
        + tag("h2", "Mind")
        + bullets(dict.fromkeys((*before.named.report.cautions, *after.named.report.cautions)))
    )
    names = " and ".join(one.name for one in both)
    return shell(f"Before and after: {names}", body, STYLE)


def _rolls(both: tuple[Shown, Shown], system: str) -> str:
    told = "".join(_roll(when, one, system) for when, one in zip(WHEN, both, strict=True))
    return f'{tag("h2", "What came of it, and why")}<div class="pair">\n{told}</div>\n'


def _roll(when: str, shown: Shown, system: str) -> str:
    report = shown.named.report
    verdict = report.result.verdict
    over = passed_limits(report.prepared.power, system)
    kind = "good" if verdict == Verdict.AIRBORNE else "failed"
    return (
        f'<section class="roll whole {kind}">\n{tag("h3", f"{when}: {shown.scenario.title}")}'
        f"{tag('p', f'Verdict: {VERDICTS[verdict]} ({verdict})', 'verdict')}"
        f"{tag('p', report.reason.text(formatter(system)))}"
        f"{''.join(tag('p', line, 'over') for line in over)}"
        f"{tag('p', f'Scenario: {shown.named.name}', 'small')}</section>\n"
    )


def _changed(before: Shown, after: Shown, system: str) -> str:
    found = differences(before.scenario, after.scenario, system)
    work = "".join(
        tag("p", f"{when}, these changes are laid over the file:") + bullets(told)
        for when, one in zip(WHEN, (before, after), strict=True)
        if (told := [_change(change, system) for change in one.named.report.prepared.changes])
    )
    rows = "".join(_row((one.key, one.before, one.after)) for one in found)
    heads = ("key of the file", *map(str.lower, WHEN))
    table = _table("keys", "Every key whose value is another, and both values.", heads, rows)
    nothing = tag("p", "No key of the file differs.")
    return tag("h2", "What was changed") + work + (table if found else nothing)


def _change(change: Change, system: str) -> str:
    """A change and the masses it brings."""
    masses = [f"{row.item} {quantity(row.mass, 'mass', system, 3)}" for row in change.added]
    return f"{change.name}: {change.text}" + (f" ({'; '.join(masses)})" if masses else "")


def _numbers(before: Shown, after: Shown, system: str) -> str:
    rows = "".join(_number(line) for line in lines(before.named, after.named, system))
    heads = ("number", *map(str.lower, WHEN), "how it moved")
    table = _table("numbers", looked_at(before.named, after.named), heads, rows)
    return tag("h2", "The numbers side by side") + table


def _number(line: Line) -> str:
    return _row((line.words, line.before, line.after), tag("td", line.change, line.sense))


def _row(words: tuple[str, str, str], last: str = "") -> str:
    """Its name, which may be broken after a dot, and what stands beside it."""
    cells = "".join(tag("td", word) for word in words[1:])
    return f'<tr><th scope="row">{text(words[0]).replace(".", ".<wbr>")}</th>\n{cells}{last}</tr>\n'


def _table(kind: str, caption: str, heads: tuple[str, ...], rows: str) -> str:
    row = "".join(f'<th scope="col">{text(head)}</th>' for head in heads)
    head = f"<thead><tr>{row}</tr></thead>\n"
    top = f'<table class="{kind}">\n{tag("caption", caption)}'
    return f"{top}{head}<tbody>\n{rows}</tbody>\n</table>\n"


def _pictures(both: tuple[Named, Named], system: str) -> str:
    """Both rolls over each other, then who holds the nose wheel down in each."""
    called = [Named(when, one.report) for when, one in zip(WHEN, both, strict=True)]
    over = picture_bytes(overlay_figure(called, system))
    instead = "Three panels against distance: ground speed, pitch, nose-wheel load. " + " ".join(
        f"{one.name}: {one.report.reason.text(formatter(system))}" for one in called
    )
    caption = (
        "Look where the pitch leaves its level and the load on the nose wheel comes to nothing:"
        " there the nose wheel leaves (dot), then the last wheel (triangle). The dotted line is the"
        " end of the strip."
    )
    budgets = "".join(_budget(when, one, system) for when, one in zip(WHEN, both, strict=True))
    pictures = picture(over, instead, caption)
    return f'{tag("h2", "Pictures")}{pictures}<div class="pair">\n{budgets}</div>\n'


def _budget(when: str, named: Named, system: str) -> str:
    report = named.report
    png = picture_bytes(figure_of(budget_figure(report, None, system)))
    needed = report.outlook.needed
    at = quantity(needed, "speed", system)
    zero = f"The heavy line comes down to nothing at {at}" if isfinite(needed) else ""
    leaves = f"{zero}: from there the nose wheel can leave." if zero else NEVER
    instead = f"{when}: nose-load budget, loads against airspeed. {leaves}"
    caption = f"{when}: who holds the nose wheel down, who lifts it, with the full pull. {leaves}"
    return picture(png, instead, caption)


def _estimates(both: tuple[Shown, Shown]) -> str:
    """What was not measured, by key: a page to show to others must not look surer than it is."""
    first, second = (
        ", ".join(estimate.key for estimate in one.named.report.prepared.estimates) for one in both
    )
    told = {" and ".join(WHEN).capitalize(): first} if first == second else {}
    told = told or dict(zip(WHEN, (first, second), strict=True))
    rows = [f"{when}: {keys or 'nothing'}" for when, keys in told.items()]
    return tag("h2", "Estimated, not measured") + bullets(rows)
