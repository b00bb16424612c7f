"""Handbook limits of the stance, typed a second time, and scaled full-size handling."""

from dataclasses import fields, replace
from math import cos, degrees, inf, radians, sin, sqrt, tan

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from sim.checks.scaling import (
    PITCH_ACCELERATIONS,
    model_pitch_accelerations,
    scaled_acceleration,
    scaled_rate,
)
from sim.checks.stance import (
    NOSE_SHARE_LIMITS,
    OVERTURN_LIMITS,
    TIP_BACK_LIMIT,
    stance,
)
from sim.roll.parameters import Parameters

BLANK = Parameters(**{field.name: 0.0 for field in fields(Parameters)})
JET = replace(
    BLANK,
    main_x=-0.060,
    main_z=-0.150,
    main_radius=0.035,
    nose_x=0.400,
    nose_z=-0.150,
    nose_radius=0.035,
    aft_x=-0.600,
    aft_z=0.0,
)


def test_limits_as_printed() -> None:
    """Raymer, Aircraft Design, ch. 11; Roskam, Airplane Design, part II. Mark: from memory."""
    assert [(x.low, x.high) for x in NOSE_SHARE_LIMITS] == [(0.08, 0.15), (0.05, 0.20)]
    assert (degrees(TIP_BACK_LIMIT.low), TIP_BACK_LIMIT.high) == (pytest.approx(15.0), inf)
    assert [degrees(x.high) for x in OVERTURN_LIMITS] == pytest.approx([63.0, 55.0])
    assert all(x.source and x.mark for x in (*NOSE_SHARE_LIMITS, *OVERTURN_LIMITS))


def test_sources_that_disagree_are_both_reported() -> None:
    """A track that gives about 59 deg: allowed by Raymer, not by Roskam (both from memory)."""
    wheelbase, ahead, height = 0.46, 0.40, 0.185
    delta_sine = height / tan(radians(59.0)) / ahead
    track = 2.0 * wheelbase * delta_sine / sqrt(1.0 - delta_sine**2)
    item = next(i for i in stance(JET, track=track).items if i.name == "overturn angle")
    assert degrees(item.value) == pytest.approx(59.0, abs=1e-9)
    assert item.verdicts == ("within", "above")


def test_a_layout_by_the_book_passes_all() -> None:
    """60 mm behind the CG on a 460 mm wheelbase: 13 % on the nose, the handbooks' middle."""
    figures = stance(JET, track=0.42)
    for item in figures.items:
        assert set(item.verdicts) <= {"within"}, item.name
    assert figures.nose_share == pytest.approx(0.1304, abs=1e-4)


def test_full_size_pitch_accelerations() -> None:
    """Sadraey, Aircraft Design, ch. 12. Mark: from memory. Spans: our assumption."""
    table = {f.name: (f.low, f.high) for f in PITCH_ACCELERATIONS}
    assert table == {"transports": (4, 8), "light aircraft": (8, 12), "fighters": (10, 20)}
    light = next(f for f in model_pitch_accelerations(1.0) if f.name == "light aircraft")
    assert (light.low, light.high) == pytest.approx((88.0, 132.0))
    assert "assumed 11 m" in light.note
    assert "from memory" in light.note


def test_scaling_against_two_similar_pendulums() -> None:
    """Froude scaling on bodies moved by gravity alone, integrated by scipy. Mark: computed.

    A rigid rod of length L falls from a slope: theta'' = (3 g/2 L) cos(theta). Peak rate and
    acceleration at 9 m must come back at 1 m by the two scaling rules.
    """

    def rate_and_acceleration(length: float) -> tuple[float, float]:
        k = 1.5 * 9.81 / length
        run = solve_ivp(
            lambda _, y: [y[1], -k * cos(y[0])],
            (0.0, 10.0),
            [0.5, 0.0],
            rtol=1e-10,
            atol=1e-12,
            events=_level,
        )
        return abs(run.y_events[0][0][1]), k * cos(0.0)

    small, large = rate_and_acceleration(1.0), rate_and_acceleration(9.0)
    assert scaled_rate(large[0], 9.0, 1.0) == pytest.approx(small[0], rel=1e-7)
    assert scaled_acceleration(large[1], 9.0, 1.0) == pytest.approx(small[1], rel=1e-12)
    # Energy: omega^2 = 3 g sin(0.5)/L.
    assert small[0] == pytest.approx(np.sqrt(3.0 * 9.81 * sin(0.5)), rel=1e-7)


def _level(_: float, y: np.ndarray) -> float:
    return float(y[0])


def test_scaling_refuses_no_span() -> None:
    with pytest.raises(ValueError, match="positive"):
        scaled_rate(3.0, 36.0, 0.0)
    assert scaled_rate(3.0, 36.0, 1.0) == pytest.approx(18.0)
