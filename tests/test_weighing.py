"""Weighings: against statics with forces at the contacts, and through a scenario."""

import math

import numpy as np
import pytest

from sim.aeroplane.weighing import Wheels, level_station, tilted_height
from sim.prepare import prepare
from sim.scenario import ScenarioError, parse_scenario, with_changes, with_overrides
from sim.scenario.merging import merged
from sim.study.knobs import knob_of
from sim.study.variants import base_for, variant
from tests.documents import laid
from tests.test_scenario_sample import example

WHEELS = Wheels(0.210, -0.124, 0.655, -0.118)
MASS, STATION, HEIGHT = 3.1, 0.565, 0.012


def scale_readings(angle, nose_radius=0.0325, main_radius=0.035, braked=False):
    """Nose and mains readings [kg] by statics of the whole aeroplane on level scales.

    Unknown: normal and fore-and-aft force at each contact. Balance of forces along and up,
    moments about the world's origin, and one wheel that turns freely: no fore-and-aft force
    at the rim of the nose wheel, or of the mains when the nose wheel is braked.
    """
    c, s = math.cos(angle), math.sin(angle)

    def place(station, height):
        ahead, up = -station, height
        return ahead * c - up * s, ahead * s + up * c

    nose = place(WHEELS.nose_station, WHEELS.nose_height)
    main = place(WHEELS.main_station, WHEELS.main_height)
    cg = place(STATION, HEIGHT)
    nose_contact = (nose[0], nose[1] - nose_radius)  # level scales touch straight below the axle
    main_contact = (main[0], main[1] - main_radius)
    free = [0.0, 0.0, 0.0, 1.0] if braked else [0.0, 0.0, 1.0, 0.0]
    matrix = [
        [1.0, 1.0, 0.0, 0.0],
        [0.0, 0.0, 1.0, 1.0],
        [nose_contact[0], main_contact[0], -nose_contact[1], -main_contact[1]],
        free,
    ]
    nose_load, main_load, *along = np.linalg.solve(matrix, [MASS, 0.0, MASS * cg[0], 0.0])
    assert np.allclose(along, 0.0)
    return float(nose_load), float(main_load)


def test_level_readings_give_the_station():
    nose, mains = scale_readings(0.0)
    assert level_station(nose, mains, WHEELS) == pytest.approx(STATION, abs=1e-12)
    # the worked number, by hand: 655 - 445*0.32/3.10
    assert level_station(0.32, 2.78, WHEELS) == pytest.approx(0.609065, abs=1e-6)


@pytest.mark.parametrize("degrees", [3.0, 8.0, 12.0, 25.0, 45.0])
@pytest.mark.parametrize("radii", [(0.0325, 0.035), (0.02, 0.09), (0.1, 0.01)])
@pytest.mark.parametrize("braked", [False, True])
def test_tilted_readings_give_the_height_whatever_the_wheels(degrees, radii, braked):
    nose, _ = scale_readings(math.radians(degrees), *radii, braked)
    height = tilted_height(STATION, nose / MASS, math.radians(degrees), WHEELS)
    assert height == pytest.approx(HEIGHT, abs=1e-12)


def test_the_nose_gets_lighter_as_it_is_raised_and_more_so_for_a_high_cg():
    level, tilted = scale_readings(0.0)[0], scale_readings(math.radians(12.0))[0]
    assert tilted < level
    low = tilted_height(STATION, 1.02 * tilted / MASS, math.radians(12.0), WHEELS)
    assert low < HEIGHT


def test_the_error_of_the_docstring():
    angle, more = math.radians(12.0), 0.01 / MASS
    nose = scale_readings(angle)[0]
    shift = HEIGHT - tilted_height(STATION, nose / MASS + more, angle, WHEELS)
    assert shift == pytest.approx(more * 0.445 / math.tan(angle), rel=0.02)


def weighed(**keys):
    document = laid(example(), aeroplane__weighing=keys)
    del document["aeroplane"]["mass"], document["aeroplane"]["cg"]
    return document


def refused(document):
    with pytest.raises(ScenarioError) as caught:
        parse_scenario(document)
    return {problem.key: problem for problem in caught.value.problems}


def test_a_weighed_aeroplane_is_the_one_it_was_weighed_as():
    # the example: 3.20 kg, CG 560 mm, axles 215 and 690 mm: nose share 130/475
    nose = 3.2 * 130.0 / 475.0
    document = weighed(nose=f"{nose!r} kg", mains=f"{3.2 - nose!r} kg")
    found = prepare(parse_scenario(document))
    plain = prepare(parse_scenario(laid(example(), aeroplane__cg={"station": "560 mm"})))
    for name in ("mass", "main_x", "nose_x", "pitch_inertia", "main_z", "aft_x"):
        expected = getattr(plain.setup.parameters, name)
        assert getattr(found.setup.parameters, name) == pytest.approx(expected, abs=1e-12)
    assert found.resolved["mass_properties"]["mass_kg"] == pytest.approx(3.2)
    assert any(note.startswith("weighed: 3.2 kg") for note in found.notes)


def test_left_and_right_are_both_mains_and_unevenness_is_told():
    even = prepare(
        parse_scenario(weighed(nose="0.9 kg", main_left="1.16 kg", main_right="1.14 kg"))
    )
    assert even.setup.parameters.mass == pytest.approx(3.2)
    assert not [note for note in even.notes if "lateral" in note]
    uneven = prepare(
        parse_scenario(weighed(nose="0.9 kg", main_left="1.1 kg", main_right="1.2 kg"))
    )
    (note,) = [note for note in uneven.notes if "lateral" in note]
    assert note.startswith("the right main wheel carries 100 g more") and "4.3 %" in note


def test_weighed_tilted_gives_the_height_and_no_estimate():
    keys = {"nose": "0.8758 kg", "mains": "2.3242 kg"}
    level = prepare(parse_scenario(weighed(**keys)))
    assert "aeroplane.cg.height" in {estimate.key for estimate in level.estimates}
    keys["tilted"] = {"angle": "12 deg", "nose": "0.69 kg"}
    scenario = parse_scenario(weighed(**keys))
    found = prepare(scenario)
    assert "aeroplane.cg.height" not in {estimate.key for estimate in found.estimates}
    station, height = (found.coefficients[f"cg_{name}_m"] for name in ("station", "height"))
    # moments about the main contact, the nose up by 12 deg: lever of the CG is the share's
    c, s = math.cos(math.radians(12.0)), math.sin(math.radians(12.0))
    lever = (0.69 - station) * c - (height + 0.122) * s
    assert lever / (0.475 * c) == pytest.approx(0.69 / 3.2, abs=1e-9)
    assert any("10 g on the nose scale move it by" in note for note in found.notes)


def test_a_nose_axle_told_by_the_attitude_serves_as_well():
    document = weighed(nose="0.9 kg", mains="2.3 kg", tilted={"angle": "12 deg", "nose": "0.69 kg"})
    gear = document["aeroplane"]["gear"]
    gear["ground_attitude"] = "0 deg"
    by_height = prepare(parse_scenario(weighed(**document["aeroplane"]["weighing"])))
    del gear["nose"]["axle_height"]
    by_angle = prepare(parse_scenario(document))
    assert by_angle.coefficients["cg_height_m"] == pytest.approx(
        by_height.coefficients["cg_height_m"], abs=1e-12
    )


# by hand, the main axle at -122 mm: h = -122 - (475 cos 12 n/3.2 - 130 cos 12)/sin 12 [mm]
@pytest.mark.parametrize(("nose", "said"), [("0.95 kg", "-173.8 mm"), ("0.3 kg", "280.1 mm")])
def test_a_height_outside_the_aeroplane_is_refused_with_its_number(nose, said):
    keys = {"nose": "0.8758 kg", "mains": "2.3242 kg"}
    problems = refused(weighed(**keys, tilted={"angle": "12 deg", "nose": nose}))
    problem = problems["aeroplane.weighing.tilted.nose"]
    assert set(problems) == {problem.key} and said in problem.allowed


@pytest.mark.parametrize(
    ("keys", "wrong"),
    [
        ({"nose": "0.9 kg"}, "aeroplane.weighing.mains"),
        ({"nose": "0.9 kg", "main_left": "1.1 kg"}, "aeroplane.weighing.main_right"),
        ({"nose": "0.9 kg", "mains": "2 kg", "main_left": "1 kg"}, "aeroplane.weighing.main_left"),
        ({"mains": "2.3 kg"}, "aeroplane.weighing.nose"),
        ({"nose": "0 kg", "mains": "2.3 kg"}, "aeroplane.weighing.nose"),
        ({"nose": "9 N", "mains": "2.3 kg"}, "aeroplane.weighing.nose"),
        (
            {"nose": "0.9 kg", "mains": "2.3 kg", "tilted": {"angle": "12 deg"}},
            "aeroplane.weighing.tilted.nose",
        ),
        (
            {"nose": "0.9 kg", "mains": "2.3 kg", "tilted": {"angle": "1 deg", "nose": "1 kg"}},
            "aeroplane.weighing.tilted.angle",
        ),
    ],
)
def test_weighings_that_are_none(keys, wrong):
    assert set(refused(weighed(**keys))) == {wrong}


def test_exactly_one_road_to_mass_and_cg():
    keys = {"nose": "0.9 kg", "mains": "2.3 kg"}
    assert set(refused(laid(example(), aeroplane__weighing=keys))) == {"aeroplane.weighing"}
    document = example()
    del document["aeroplane"]["mass"], document["aeroplane"]["cg"]
    assert set(refused(document)) == {"aeroplane.mass", "aeroplane.cg.station"}
    height = laid(weighed(**keys), aeroplane__cg={"height": "5 mm"})
    assert prepare(parse_scenario(height)).coefficients["cg_height_m"] == 0.005
    height["aeroplane"]["weighing"] |= {"tilted": {"angle": "12 deg", "nose": "0.69 kg"}}
    assert set(refused(height)) == {"aeroplane.weighing.tilted"}


def test_a_weighing_laid_over_a_mass_takes_its_place():
    scenario = parse_scenario(example())
    over = with_overrides(scenario, ["aeroplane.weighing={nose='0.9 kg', mains='2.3 kg'}"])
    assert over.aeroplane.mass is None and over.aeroplane.cg.height == 0.0
    with pytest.raises(ScenarioError) as caught:
        with_overrides(over, ["aeroplane.mass=3 kg"])
    assert [p.key for p in caught.value.problems] == ["aeroplane.cg.station"]
    back = with_overrides(over, ["aeroplane.mass=3 kg", "aeroplane.cg.station=550 mm"])
    assert back.aeroplane.weighing is None


LEGS = {"main": {"station": "650 mm"}}
LEG = {"nose": {"axle_height": "-143 mm"}}


def weighed_like(given):
    """The same document with scale readings instead of mass and station, worked out by moments."""
    scenario = parse_scenario(given)
    a = scenario.aeroplane
    base = a.gear.main.station - a.gear.nose.station
    nose = a.mass * (a.gear.main.station - a.cg.station) / base
    weighing = {"nose": f"{nose} kg", "mains": f"{a.mass - nose} kg"}
    document = laid(given, aeroplane__weighing=weighing)
    del document["aeroplane"]["mass"], document["aeroplane"]["cg"]["station"]
    return document


def by_set(document, gear):
    ((wheel, keys),) = gear.items()
    ((key, value),) = keys.items()
    return with_overrides(parse_scenario(document), [f"aeroplane.gear.{wheel}.{key}={value}"])


def by_change(document, gear):
    change = {"legs": {"text": "other legs", "aeroplane": {"gear": gear}}}
    return with_changes(parse_scenario(document | {"change": change}), ["legs"])


def by_file(document, gear):
    return parse_scenario(merged(document, {"aeroplane": {"gear": gear}}))


@pytest.mark.parametrize("road", [by_set, by_change, by_file])
@pytest.mark.parametrize("gear", [LEGS, LEG], ids=["legs", "leg"])
def test_other_legs_do_not_move_the_balance_that_was_weighed(road, gear):
    """The scales were read on the old legs: weighed or given, the aeroplane is the same."""
    given = example()
    weighed = prepare(road(weighed_like(given), gear)).setup.parameters
    known = prepare(road(given, gear)).setup.parameters
    before = prepare(parse_scenario(given)).setup.parameters
    for name in ("mass", "pitch_inertia", "main_x", "main_z", "nose_x", "nose_z", "lift_x"):
        assert getattr(weighed, name) == pytest.approx(getattr(known, name), abs=1e-12), name
    assert (known.main_x, known.nose_z) != (before.main_x, before.nose_z)


def test_a_whole_new_weighing_is_read_on_the_legs_fitted_now():
    document = weighed_like(example())
    fresh = merged(
        document,
        {"aeroplane": {"gear": LEGS, "weighing": {"nose": "0.5 kg", "mains": "2.7 kg"}}},
    )
    a = parse_scenario(fresh).aeroplane
    assert a.weighing.gear is None
    station = prepare(parse_scenario(fresh)).coefficients["cg_station_m"]
    base = a.gear.main.station - a.gear.nose.station
    assert station == pytest.approx(a.gear.main.station - base * 0.5 / 3.2, abs=1e-12)


def test_varied_legs_do_not_move_it_either():
    key = "aeroplane.gear.main.station"
    scenario = parse_scenario(weighed_like(example()))
    knobs, values = [knob_of(scenario, key)], np.array([[0.62], [0.65], [0.68]])
    base = base_for(scenario, knobs, values)
    cg = {prepare(variant(base, row)).coefficients["cg_station_m"] for row in values}
    assert len(cg) == 1 and cg.pop() == pytest.approx(0.56, abs=1e-12)


SWING = {"string_separation": "500 mm", "string_length": "1.5 m", "period": "2.1 s"}


def test_a_swing_belongs_to_the_mass_it_was_swung_with():
    document = laid(example(), aeroplane__swing=SWING)
    light = prepare(parse_scenario(document)).setup.parameters.pitch_inertia
    heavy = with_overrides(parse_scenario(document), ["aeroplane.mass=4 kg"])
    assert prepare(heavy).setup.parameters.pitch_inertia == light


def test_a_swing_that_was_not_divided_by_ten_is_told():
    document = laid(example(), aeroplane__swing=SWING)
    slip = laid(example(), aeroplane__swing=SWING | {"period": "21 s"})
    assert not [n for n in prepare(parse_scenario(document)).notes if "pitch inertia" in n]
    (note,) = [n for n in prepare(parse_scenario(slip)).notes if "pitch inertia" in n]
    assert "not of ten" in note
