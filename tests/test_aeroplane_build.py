"""The build of one aeroplane: points, drag parts, limits, notes, reuse."""

import inspect
import time
from dataclasses import replace

import pytest

from sim.aeroplane import body, build, drag, flaps, inertia, section, stall
from sim.aeroplane.build import build_aeroplane
from sim.aeroplane.drag import Stream
from sim.aeroplane.flaps import flap_drag, flap_max_lift, flapped_share
from sim.aeroplane.geometry import Body, Section
from sim.aeroplane.stall import NAMED_SECTIONS, named_section
from sim.aeroplane.table import build_table, make_solver
from tests.test_aeroplane_cases import jet

STREAM = Stream(15.0)


def test_example_jet() -> None:
    made = build_aeroplane(jet(), STREAM)
    assert made.reference_area == pytest.approx(0.3275)
    assert made.lift_station == pytest.approx(0.58536, abs=1e-5)
    assert abs(made.wing_centre_station - made.lift_station) < 0.05 * made.reference_chord
    tail = jet().tail.surface
    assert abs(made.tail_centre_station - tail.quarter_station) < 0.08 * tail.mean_chord
    assert made.tail_lag_length == pytest.approx(0.46, abs=0.02)
    assert made.tail_max_lift == pytest.approx(0.9 * 0.9 * 0.8752 * tail.area / 0.3275, rel=1e-3)
    assert made.notes == ()


def test_drag_parts_add_up_and_lie_where_they_are() -> None:
    made = build_aeroplane(jet(), STREAM)
    assert made.zero_lift_drag == pytest.approx(sum(p.coefficient for p in made.drag_parts))
    assert 0.02 < made.zero_lift_drag < 0.05
    assert all(part.coefficient > 0 for part in made.drag_parts)
    assert -0.122 < made.drag_height < 0.0  # gear below, everything else near the reference line
    assert len({part.name for part in made.drag_parts}) == len(made.drag_parts)


def test_drag_worked_numbers() -> None:
    assert drag.surface_drag(jet().wing, 0.27, STREAM, 0.3275) == pytest.approx(0.0102, abs=5e-5)
    assert drag.body_drag(jet().body, STREAM, 0.3275) == pytest.approx(0.0052, abs=5e-5)
    assert drag.wheel_drag(jet().main, 0.3275) == pytest.approx(0.00263, abs=1e-5)
    assert drag.leg_drag(jet().main, 0.06, 0.3275) == pytest.approx(0.00232, abs=1e-5)
    assert drag.friction(3.6e5) == pytest.approx(0.00513, abs=1e-5)
    assert body.moment_slope(jet().body, 0.3275, 0.3544) == pytest.approx(0.1781, abs=1e-4)


def test_faster_means_less_friction() -> None:
    slow, fast = (build_aeroplane(jet(), Stream(v)).zero_lift_drag for v in (8.0, 20.0))
    assert fast < slow


def test_flaps_on_the_aeroplane() -> None:
    plane = jet()
    wing = plane.wing
    by_hand = 0.21 * (wing.chord_at(0.085) + wing.chord_at(0.295)) / wing.area
    assert flapped_share(plane) == pytest.approx(by_hand)
    assert flap_drag(plane, 0.0) == 0.0 < flap_drag(plane, 0.3)
    assert 0.0 < flap_max_lift(plane, 0.3) < flap_max_lift(plane, 0.6) < 0.6
    assert flap_drag(jet(flaps=None), 0.5) == flap_max_lift(jet(flaps=None), 0.5) == 0.0


def test_body_turns_the_nose_up() -> None:
    thin, thick = (
        build_aeroplane(jet(body=Body(1.28, w, w)), STREAM).table.values[0, 6] for w in (0.05, 0.13)
    )
    assert thick > thin + 0.1


def test_solved_once_for_what_the_lattice_does_not_feel() -> None:
    first = build_aeroplane(jet(), STREAM)
    other_air = build_aeroplane(jet(), Stream(18.0, 1.1))
    higher = replace(jet().tail, surface=replace(jet().tail.surface, root_height=0.1))
    limp = replace(jet().wing, section=Section(0.12, max_lift=0.8))
    other_section = build_aeroplane(jet(wing=limp), STREAM)
    assert other_air.table is first.table
    assert other_section.table is first.table
    assert other_section.wing_max_lift < first.wing_max_lift
    assert build_aeroplane(jet(), STREAM) is first
    elsewhere = build_aeroplane(jet(cg_station=0.561, cg_height=0.01), STREAM)
    assert elsewhere.table is first.table
    assert elsewhere.wing_centre_station == first.wing_centre_station
    assert build_aeroplane(jet(tail=higher), STREAM).table is not first.table


def test_one_build_is_quick() -> None:
    """Under 0.3 s, the best of three (35 ms measured alone)."""
    spent = []
    for _ in range(3):
        start = time.perf_counter()
        build_table(make_solver(jet()))
        spent.append(time.perf_counter() - start)
    assert min(spent) < 0.3


def test_notes_name_what_is_out_of_range() -> None:
    stub = replace(jet().tail.surface, span=0.25)
    slow = build_aeroplane(
        jet(tail=replace(jet().tail, surface=stub), body=Body(0.5, 0.2, 0.2)), Stream(4.0)
    )
    text = " | ".join(slow.notes)
    assert "tail: aspect ratio" in text and "Reynolds" in text and "body: length" in text


def test_a_surface_below_the_strip_is_lifted_and_said() -> None:
    low = replace(jet().wing, root_height=-0.2)
    made = build_aeroplane(jet(wing=low), STREAM)
    assert any("reaches the strip" in note for note in made.notes)


def test_named_sections() -> None:
    for name, entry in NAMED_SECTIONS.items():
        assert entry.max_lift_low < entry.section.max_lift < entry.max_lift_high
        assert named_section(name) is entry
    with pytest.raises(KeyError, match="flat foam"):
        named_section("round")


FORMULAS = [
    section.mean_line,
    section.zero_lift_angle,
    section.quarter_moment,
    section.flap_values,
    flaps.drag_rise,
    flaps.max_lift_rise,
    flaps.fade_law,
    stall.surface_max_lift,
    stall.section_min_lift,
    stall.tail_max_lift,
    drag.friction,
    drag.surface_form_factor,
    drag.body_form_factor,
    drag.surface_drag,
    drag.body_drag,
    drag.wheel_drag,
    drag.leg_drag,
    body.apparent_mass_factor,
    body.moment_slope,
    inertia.estimated_inertia,
    inertia.swung_inertia,
]


@pytest.mark.parametrize("formula", FORMULAS, ids=lambda f: f.__name__)
def test_every_correlation_says_formula_units_range_number_and_source(formula: object) -> None:
    text = inspect.getdoc(formula) or ""
    for word in ("[", "`", "Range:", "Worked:", "Source:"):
        assert word in text


def test_public_names_are_documented() -> None:
    for name, value in vars(build).items():
        if inspect.isfunction(value) and value.__module__ == build.__name__:
            assert value.__doc__, name
