"""Volumes and bags against published figures, numeric integration and a solid of revolution.

Sources: shared/published.toml, beside each value.
"""

from __future__ import annotations

import math
import tomllib
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
import trimesh
from scipy.integrate import quad

from layoutdesk.engine.concrete.sections import frustum, gross_volume, parts_of
from layoutdesk.engine.derive import derive
from layoutdesk.engine.order import stock_bags, whole_bags
from layoutdesk.places import RESOURCES
from layoutdesk.plan.model import Detail, Pier, Plan
from layoutdesk.units import to_unit
from tests.published.checks import on_topic, published

INCH = 25.4
FOOT3, YARD3, INCH3 = 304.8**3, 914.4**3, INCH**3
PROFILES = {
    "straight": [(0.0, 300.0), (800.0, 300.0)],
    "tapered": [(0.0, 450.0), (900.0, 250.0)],
    "belled": [(0.0, 304.8), (609.6, 304.8), (812.8, 406.4)],
    "stepped": [(0.0, 300.0), (550.0, 300.0), (550.0, 600.0), (900.0, 600.0)],
    "cone to a point and out again": [(0.0, 400.0), (300.0, 1.0), (700.0, 500.0)],
    "many": [(0.0, 500.0), (100.0, 400.0), (100.0, 300.0), (650.0, 310.0), (700.0, 600.0), (760.0, 590.0)],
}


@pytest.mark.parametrize(
    "check", [c for c in on_topic("volume") if "profile_in" in c["inputs"]], ids=lambda check: check["id"]
)
def test_volume_of_a_published_hole(check: dict[str, Any]) -> None:
    """Sources: US FHWA drilled-shaft tutorial; the 12 in and 16 in holes are common practice, no source."""
    profile = [(depth * INCH, diameter * INCH) for depth, diameter in check["inputs"]["profile_in"]]
    volume = gross_volume(parts_of(profile))
    for key, value in check["expected"].items():
        if key == "in3_with_pi_3_14":
            assert volume / INCH3 * 3.14 / math.pi == pytest.approx(value, abs=0.005)
        else:
            unit = {"ft3": FOOT3, "yd3": YARD3}[key]
            assert volume / unit == pytest.approx(value, abs=check["tolerance"])


def test_belled_pier_of_a_textbook() -> None:
    """Source: an estimating textbook, solved review problem; every step is published."""
    check = published()["belled-pier-50-deg"]
    given, expected = check["inputs"], check["expected"]
    shaft, bell, depth = given["shaft_in"] * INCH, given["bell_in"] * INCH, given["depth_ft"] * 304.8
    height = math.tan(math.radians(given["bell_deg"])) * (bell - shaft) / 2
    assert height / 304.8 == pytest.approx(expected["bell_height_ft"], abs=0.001)
    assert frustum(height, shaft, bell) / FOOT3 == pytest.approx(expected["bell_ft3"], abs=0.01)
    assert frustum(depth - height, shaft, shaft) / FOOT3 == pytest.approx(expected["shaft_ft3"], abs=0.01)
    detail = Detail(id="D1", profile=((0.0, shaft), (depth - height, shaft), (depth, bell)))
    piers = tuple(Pier(id=f"P{k}", at=(3000.0 * k, 0.0), detail="D1") for k in range(given["count"]))
    concrete = derive(Plan(piers=piers, details=(detail,))).concrete
    assert concrete.net_m3 * 1e9 / FOOT3 == pytest.approx(expected["four_ft3"], abs=check["tolerance"])


@pytest.mark.parametrize("profile", PROFILES.values(), ids=PROFILES)
def test_volume_equals_numeric_integration(profile: list[tuple[float, float]]) -> None:
    """Oracle: adaptive quadrature of the area over the depth, to 1e-9."""
    depths, diameters = zip(*profile, strict=True)

    def area(depth: float, a: int) -> float:
        (z1, d1), (z2, d2) = profile[a], profile[a + 1]
        diameter = d1 + (d2 - d1) * (depth - z1) / (z2 - z1)
        return math.pi * diameter**2 / 4

    pieces = [
        quad(area, depths[a], depths[a + 1], args=(a,))[0]
        for a in range(len(depths) - 1)
        if depths[a + 1] > depths[a]
    ]
    assert gross_volume(parts_of(profile)) == pytest.approx(sum(pieces), rel=1e-9)
    assert max(diameters) > 0


@pytest.mark.parametrize("top", [0.0, 100.0, 330.0, 640.0])
@pytest.mark.parametrize("profile", PROFILES.values(), ids=PROFILES)
def test_volume_below_a_sunken_top_equals_numeric_integration(
    profile: list[tuple[float, float]], top: float
) -> None:
    """Oracle: adaptive quadrature piece by piece below the pier's top."""
    expected = 0.0
    for (z1, d1), (z2, d2) in pairwise(profile):
        low = max(z1, top)
        if z2 > low:
            slope = (d2 - d1) / (z2 - z1)
            expected += quad(lambda z, d=d1, s=slope, a=z1: math.pi * (d + s * (z - a)) ** 2 / 4, low, z2)[0]
    assert gross_volume(parts_of(profile), top=top) == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize("profile", PROFILES.values(), ids=PROFILES)
def test_volume_equals_that_of_a_turned_solid(profile: list[tuple[float, float]]) -> None:
    """Oracle: a mesh turned about its axis; with 4096 facets it lacks under a millionth of the volume."""
    line = [(0.0, -profile[0][0]), *((d / 2, -z) for z, d in profile), (0.0, -profile[-1][0])]
    solid = trimesh.creation.revolve(np.array(line[::-1]), sections=4096)
    assert gross_volume(parts_of(profile)) == pytest.approx(abs(solid.volume), rel=1e-6)


def test_reveal_is_a_cylinder_of_the_top() -> None:
    detail = Detail(id="D1", profile=((0.0, 300.0), (800.0, 500.0)), reveal=150.0)
    (pier,) = derive(Plan(piers=(Pier(id="P1", at=(0.0, 0.0), detail="D1"),), details=(detail,))).concrete.piers
    assert pier.reveal_m3 == pytest.approx(math.pi * 0.3**2 / 4 * 0.15, rel=1e-12)
    assert pier.net_m3 == pier.below_m3 + pier.reveal_m3
    assert (pier.depth, pier.widest) == (800.0, 500.0)


def test_bags_yield_what_is_published() -> None:
    """Source: yields as published by makers and trade sites; an 80 lb bag makes 0.6 ft³ (common practice)."""
    check = published()["bag-yields"]
    yields = [bag.yield_m3 * 1e9 / FOOT3 for bag in stock_bags("imperial")]
    assert yields == pytest.approx(check["expected"]["yield_ft3"], abs=check["tolerance"])
    assert [bag.product for bag in stock_bags("imperial")] == [f"{lb} lb bag" for lb in check["inputs"]["bag_lb"]]
    yard = YARD3 / 1e9
    counts = [whole_bags(yard, bag.yield_m3) for bag in stock_bags("imperial")]
    assert counts == check["expected"]["bags_per_yd3"]
    assert stock_bags("imperial")[0].yield_m3 * 1e9 / FOOT3 == pytest.approx(
        published()["bag-80-lb"]["expected"]["yield_ft3"]
    )


@pytest.mark.parametrize("system", ["imperial", "metric"])
def test_yields_in_cubic_metres_agree_with_their_published_text(system: str) -> None:
    """Oracle: pint, from the text as it is published."""
    with (RESOURCES / "concrete.toml").open("rb") as file:
        entries = tomllib.load(file)[system]
    for entry in entries:
        number, unit = entry["yield_text"].split(" ", 1)
        assert entry["yield_m3"] == pytest.approx(to_unit(float(number), unit, "m**3"), rel=1e-12)
        assert entry["source"]


def test_metric_bags_say_that_they_have_no_source() -> None:
    with (RESOURCES / "concrete.toml").open("rb") as file:
        entries = tomllib.load(file)["metric"]
    assert all("no source: read the bag" in entry["source"] for entry in entries)
    density = [float(entry["product"].split()[0]) / entry["yield_m3"] for entry in entries]
    assert max(density) / min(density) == pytest.approx(1, abs=0.02)
