"""What several answers together show: not wrong, but worth a second look at the tape."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from sim.checks.stance import NOSE_SHARE_LIMITS
from sim.scenario.fields import Trigger

GRAVITY = 9.80665
WING_LOADINGS = (2.0, 20.0)
"""Usual wing loadings of model jets [kg/m2]: common practice, from memory, no source."""
THRUST_SHARES = (0.25, 2.0)
"""Usual static thrust over weight of model jets [-]: common practice, from memory, no source."""


@dataclass(frozen=True)
class Known:
    """Readings [SI], with a short way to several of them."""

    values: Mapping[str, Any]

    def numbers(self, *paths: str) -> tuple[float, ...] | None:
        """Numbers at paths under `aeroplane`, None when one is missing."""
        found = [self.values.get(f"aeroplane.{path}") for path in paths]
        if any(not isinstance(value, float) for value in found):
            return None
        return tuple(float(value) for value in found if value is not None)


def remarks(values: Mapping[str, Any]) -> list[str]:
    """Everything worth remarking on, one sentence each."""
    known = Known(values)
    return [words for rule in RULES for words in rule(known)]


def _balance(known: Known) -> Iterator[str]:
    share = _nose_share(known)
    if share is None:
        return
    if share <= 0.0:
        yield "The CG lies behind the main wheels: it would sit on its tail."
        return
    limit = NOSE_SHARE_LIMITS[1]
    if share > limit.high:
        yield f"{share:.0%} of the weight on the nose wheel: hard to rotate. Check both stations."
    elif share < limit.low:
        yield f"Only {share:.0%} of the weight on the nose wheel: hardly any load to steer with."


def _nose_share(known: Known) -> float | None:
    """Share of the weight on the nose wheel, reference line level."""
    scales = known.numbers("weighing.nose", "weighing.mains")
    if scales:
        return scales[0] / sum(scales)
    found = known.numbers("gear.nose.station", "cg.station", "gear.main.station")
    return (found[2] - found[1]) / (found[2] - found[0]) if found else None


def _mass(known: Known) -> float | None:
    found = known.numbers("mass") or known.numbers("weighing.nose", "weighing.mains")
    return sum(found) if found else None


def _outline(known: Known) -> Iterator[str]:
    for name in ("wing", "tail"):
        chords = known.numbers(f"{name}.root_chord", f"{name}.tip_chord")
        if chords and chords[1] > chords[0]:
            yield f"The {name} is wider at the tip than at the root."
    fronts = known.numbers("wing.root_leading_edge.station", "tail.root_leading_edge.station")
    if fronts and fronts[1] <= fronts[0]:
        yield "The tail lies ahead of the wing: the model here is made for a tail behind it."
    end = known.numbers("length", "scrape_point.station")
    if end and end[1] > 1.1 * end[0]:
        yield "What touches first lies behind the end of the fuselage."


def _loading(known: Known) -> Iterator[str]:
    found = known.numbers("wing.span", "wing.root_chord", "wing.tip_chord")
    mass = _mass(known)
    if not found or mass is None:
        return
    span, root, tip = found
    loading = mass / (span * 0.5 * (root + tip))
    if not WING_LOADINGS[0] <= loading <= WING_LOADINGS[1]:
        yield f"Wing loading {loading:.1f} kg/m2 is unusual: check mass, span and chords."


def _cg_on_wing(known: Known) -> Iterator[str]:
    root = "wing.root_leading_edge.station"
    found = known.numbers("cg.station", root, "wing.root_chord")
    if found and not found[1] <= found[0] <= found[1] + found[2]:
        yield "The CG lies ahead of or behind the wing's root chord: check the datum."


def _thrust(known: Known) -> Iterator[str]:
    mass = _mass(known)
    thrust = known.values.get("power.static_thrust")
    if mass is None or not isinstance(thrust, float):
        return
    share = thrust / (mass * GRAVITY)
    if not THRUST_SHARES[0] <= share <= THRUST_SHARES[1]:
        yield f"Thrust over weight is {share:.2f}, which is unusual: check the scale's unit."


def _pull(known: Known) -> Iterator[str]:
    pull, length = known.values.get("pilot.pull_at"), known.values.get("strip.length")
    if not isinstance(pull, Trigger) or not isinstance(length, float):
        return
    if pull.kind == "place" and pull.value >= length:
        yield "The pilot would pull beyond the end of the strip."


RULES: tuple[Callable[[Known], Iterator[str]], ...] = (
    _balance,
    _outline,
    _loading,
    _cg_on_wing,
    _thrust,
    _pull,
)
