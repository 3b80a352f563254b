"""Volumes of piers of any shape against meshes and numeric integration."""

from __future__ import annotations

import math
import random

import numpy as np
import pytest
import trimesh
from scipy.integrate import quad

from layoutdesk.engine.concrete.sections import (
    Part,
    gross_volume,
    parts_of,
)
from layoutdesk.engine.concrete.supply import swells
from layoutdesk.engine.piers import PierShape
from layoutdesk.engine.reckoning import ReckoningError
from layoutdesk.plan.model import Detail


def random_parts(seed: int) -> tuple[Part, ...]:
    """Return one to seven parts on one another, round and square, straight, tapered, belled and stepped."""
    draw = random.Random(seed)  # noqa: S311 - shapes, no secrets
    depth = draw.choice([0.0, -draw.uniform(20.0, 400.0)])
    parts: list[Part] = []
    for _ in range(draw.randint(1, 7)):
        below = depth + draw.uniform(5.0, 900.0)
        upper = parts[-1].lower if parts and draw.random() < 0.5 else draw.uniform(80.0, 1200.0)
        lower = upper if draw.random() < 0.3 else draw.uniform(80.0, 1200.0)
        parts.append(Part(depth, below, upper, lower, draw.choice(["round", "square"])))
        depth = below
    return tuple(parts)


def prism_mesh(part: Part) -> trimesh.Trimesh:
    """Return a square part as a mesh: eight corners, twelve faces."""
    corners = np.array([(x, y) for x, y in ((-1, -1), (1, -1), (1, 1), (-1, 1))], dtype=float) / 2
    upper = np.column_stack((corners * part.upper, np.full(4, -part.top)))
    lower = np.column_stack((corners * part.lower, np.full(4, -part.bottom)))
    solid: trimesh.Trimesh = trimesh.Trimesh(np.vstack((upper, lower))).convex_hull
    return solid


def turned_mesh(part: Part, sections: int) -> trimesh.Trimesh:
    """Return a round part as a mesh of flat faces, in a scale of its own height so that no face is lost."""
    line = [
        (0.0, 0.0),
        (part.lower / 2, 0.0),
        (part.upper / 2, part.bottom - part.top),
        (0.0, part.bottom - part.top),
    ]
    return trimesh.creation.revolve(np.array(line), sections=sections)


@pytest.mark.parametrize("seed", range(200))
def test_volume_equals_numeric_integration_of_the_area(seed: int) -> None:
    """Oracle: adaptive quadrature over the depth of every part, to 1e-9."""
    parts = random_parts(seed)
    expected = 0.0
    for part in parts:
        shape = math.pi / 4 if part.shape == "round" else 1.0
        slope = (part.lower - part.upper) / (part.bottom - part.top)
        expected += quad(
            lambda z, p=part, c=shape, s=slope: c * (p.upper + s * (z - p.top)) ** 2, part.top, part.bottom
        )[0]
    assert gross_volume(parts) == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize("seed", range(200))
def test_volume_equals_that_of_meshes(seed: int) -> None:
    """Oracle: meshes; a turned one of n faces lacks exactly the share that its n-gon lacks of the circle."""
    n = 64
    polygon = n / (2 * math.pi) * math.sin(2 * math.pi / n)
    expected = 0.0
    parts = random_parts(seed)
    for part in parts:
        if part.shape == "square":
            expected += prism_mesh(part).volume
        else:
            expected += abs(turned_mesh(part, n).volume) / polygon
    assert gross_volume(parts) == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize("seed", range(40))
def test_two_halves_are_the_whole(seed: int) -> None:
    parts = random_parts(seed)
    cut = random.Random(seed).uniform(parts[0].top, parts[-1].bottom)  # noqa: S311 - a depth
    assert gross_volume(parts, bottom=cut) + gross_volume(parts, top=cut) == pytest.approx(
        gross_volume(parts), rel=1e-12
    )


@pytest.mark.parametrize("top", [0.0, 130.0, 590.0])
def test_round_profile_is_that_of_the_plan(top: float) -> None:
    profile = [(100.0, 300.0), (550.0, 320.0), (550.0, 600.0), (900.0, 640.0)]
    pier = PierShape(Detail(id="D1", profile=tuple(profile), reveal=-top)).drawn
    assert gross_volume(parts_of(profile), top=top) == pytest.approx(pier.below * 1e9, rel=1e-12)


def test_square_pad_under_a_round_pedestal() -> None:
    pier = [Part(-150.0, 600.0, 300.0, 300.0), Part(600.0, 900.0, 700.0, 700.0, "square")]
    assert gross_volume(pier) == pytest.approx(math.pi / 4 * 300**2 * 750 + 700**2 * 300)


@pytest.mark.parametrize(
    "profile",
    [
        [(0.0, 300.0), (-100.0, 300.0)],
        [(0.0, 300.0), (500.0, 300.0), (400.0, 300.0)],
        [(0.0, 0.0), (500.0, 300.0)],
        [(0.0, 300.0), (math.nan, 300.0)],
        [(0.0, math.inf), (500.0, 300.0)],
    ],
)
def test_impossible_profile_is_refused_in_a_sentence(profile: list[tuple[float, float]]) -> None:
    with pytest.raises(ReckoningError) as trouble:
        parts_of(profile)
    assert str(trouble.value).endswith(".")


def test_nothing_takes_nothing() -> None:
    assert parts_of([]) == ()
    assert gross_volume(()) == 0


def test_swell_of_clay_is_more_than_that_of_sand() -> None:
    known = swells()
    assert known["sand or gravel"] < known["loam"] < known["common earth"] < known["clay"]
