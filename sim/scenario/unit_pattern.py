"""Quantities with units as regular expressions, for editors that check a scenario by schema.

Built from the unit table alone. The patterns keep to what every dialect of regular expressions
knows. They take one or two units of any kind, and three of the base kinds or of those the
quantity is usually read in; `parse_quantity` takes still longer products as well.
"""

from collections import defaultdict
from collections.abc import Iterator
from functools import lru_cache
from itertools import combinations, permutations, product

from sim.scenario.unit_table import DIMENSIONS, OFFSET_UNITS, SPELLINGS, UNITS, Vector

NUMBER = r"[+-]?([0-9]{1,25}(\.[0-9]{0,25})?|\.[0-9]{1,25})([eE][+-]?[0-9]{1,3})?"
_POWER = r" ?(\^|\*\*) ?"
_JOIN = {1: r" *[*·] *", -1: " */ *"}
_SUPERSCRIPT = {2: "²", 3: "³"}
_POWERS = (1, -1, 2, -2, 3, -3)

Term = tuple[Vector, int]


@lru_cache(maxsize=64)
def quantity_pattern(dimension: str) -> str:
    """Pattern of a quantity such as "490 mm" (anchored at both ends).

    Parameters
    ----------
    dimension
        its kind, a key of `sim.scenario.unit_table.DIMENSIONS` other than "bare".

    """
    wanted = DIMENSIONS[dimension].vector
    units = sorted(_single(wanted, offsets=True), key=lambda name: (len(name), name))
    texts = [f" *{_names(units)}{_power(1)}"] if units else []
    texts += [text for terms in _products(wanted, dimension) for text in _spellings(terms)]
    return f"^ *{NUMBER}({'|'.join(texts)}) *$"


def _single(vector: Vector, offsets: bool = False) -> list[str]:
    """Units of a kind, with their other spellings."""
    names = [u for u, (_, v) in UNITS.items() if v == vector and (offsets or u not in OFFSET_UNITS)]
    swaps = [(name, other) for other, name in SPELLINGS.items() if name[0].isalpha()]
    others = [u.replace(name, other) for u in names for name, other in swaps if name in u]
    return names + list(dict.fromkeys(others))


def _names(units: list[str]) -> str:
    return units[0] if len(units) == 1 else f"({'|'.join(units)})"


def _power(power: int) -> str:
    """A power behind a unit, the one that may be left out as well."""
    if power == 1:
        return f"({_POWER}1)?"
    other = f"|{_SUPERSCRIPT[power]}" if power in _SUPERSCRIPT else ""
    return f"({_POWER}{power}{other})"


def _products(wanted: Vector, dimension: str) -> Iterator[tuple[Term, ...]]:
    """Products of units, each kind once, that make the wanted kind."""
    kinds = tuple(dict.fromkeys(vector for _, vector in UNITS.values()))
    readable = {v for v in kinds if sum(map(abs, v)) == sum(v) == 1} | _usual(dimension)
    few = tuple(v for v in kinds if v in readable)
    found = [*_by_kind(kinds, 1)[wanted], *_by_kind(kinds, 2)[wanted], *_by_kind(few, 3)[wanted]]
    yield from (terms for terms in found if terms != ((wanted, 1),) and _plain(terms, wanted))


@lru_cache(maxsize=64)
def _by_kind(kinds: tuple[Vector, ...], count: int) -> dict[Vector, list[tuple[Term, ...]]]:
    """Every product of so many different kinds, by what it makes. Not to be changed."""
    found: dict[Vector, list[tuple[Term, ...]]] = defaultdict(list)
    for vectors in combinations(kinds, count):
        for powers in product(_POWERS, repeat=count):
            terms = tuple(zip(vectors, powers, strict=True))
            found[_sum(terms)].append(terms)
    return found


def _usual(dimension: str) -> set[Vector]:
    """Kinds of the units a quantity is shown in."""
    kind = DIMENSIONS[dimension]
    text = f"{kind.metric} {kind.imperial}"
    for sign in "*/^0123456789":
        text = text.replace(sign, " ")
    return {UNITS[name][1] for name in text.split() if name in UNITS}


def _plain(terms: tuple[Term, ...], wanted: Vector) -> bool:
    """Whether a product has no part that is the wanted kind by itself."""
    return not any(
        _sum(part) in (wanted, (0,) * 7)
        for count in range(1, len(terms))
        for part in combinations(terms, count)
    )


def _sum(terms: tuple[Term, ...]) -> Vector:
    a, b, c, d, e, f, g = (sum(p * v[i] for v, p in terms) for i in range(7))
    return (a, b, c, d, e, f, g)


def _spellings(terms: tuple[Term, ...]) -> Iterator[str]:
    """A product in every order, each unit behind the first multiplied or divided."""
    for order in permutations(terms):
        rest = "".join(_behind(term) for term in order[1:])
        (_, power), names = order[0], _names(_single(order[0][0]))
        yield f" *{names}{_power(power)}{rest}"
        if power < 0:
            yield f" +1{_JOIN[-1]}{names}{_power(-power)}{rest}"


def _behind(term: Term) -> str:
    vector, power = term
    names = _names(_single(vector))
    times = f"{_JOIN[1]}{names}{_power(power)}"
    return times if power > 0 else f"({_JOIN[-1]}{names}{_power(-power)}|{times})"
