"""The figures of both samples against plain Python, and their keys against what is promised."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from tests.endtoend.conftest import Run
from tests.endtoend.plain_site import PlainSite

EXACT_MM = 1e-6


@pytest.fixture
def site(sample: Path) -> PlainSite:
    """Return the sample as plain Python reads it."""
    return PlainSite(sample)


@pytest.fixture
def figures(sample: Path, layoutdesk: Run) -> dict[str, Any]:
    """Return what the command prints for the sample."""
    done = layoutdesk("figures", sample)
    assert (done.returncode, done.stderr) == (0, "")
    read: dict[str, Any] = json.loads(done.stdout, parse_constant=no_constant)
    return read


def no_constant(name: str) -> None:
    """Refuse NaN and Infinity, which are no JSON."""
    raise AssertionError(name)


def test_stations_and_offsets(site: PlainSite, figures: dict[str, Any]) -> None:
    assert [pier["id"] for pier in figures["piers"]] == site.piers
    for pier in figures["piers"]:
        expected = site.station_offset(pier["id"])
        assert (pier["station"], pier["offset"]) == pytest.approx(expected, abs=EXACT_MM, rel=0)


def test_ties_to_every_control_point(site: PlainSite, figures: dict[str, Any]) -> None:
    for pier in figures["piers"]:
        assert [tie["from"] for tie in pier["ties"]] == site.controls
        for tie in pier["ties"]:
            assert tie["distance"] == pytest.approx(site.distance(tie["from"], pier["id"]), abs=EXACT_MM, rel=0)


def test_ties_that_cannot_be_taped_name_what_is_in_the_way(site: PlainSite, figures: dict[str, Any]) -> None:
    """Both samples have a tree or a box between some control point and some pier."""
    barred = {tie["blocked_by"] for pier in figures["piers"] for tie in pier["ties"] if "blocked_by" in tie}
    keepouts = {keepout["id"]: keepout["kind"] for keepout in site.file["keepouts"]}
    assert barred & {f"{kind} {name}" for name, kind in keepouts.items()}


def test_diagonals(site: PlainSite, figures: dict[str, Any]) -> None:
    """Diagonal 1 joins corners 1 and 3, diagonal 2 joins 2 and 4."""
    assert len(figures["bays"]) >= 4
    for bay in figures["bays"]:
        a, b, c, d = bay["corners"]
        expected = [site.distance(a, c), site.distance(b, d)]
        assert bay["diagonals"] == pytest.approx(expected, abs=EXACT_MM, rel=0)


def test_concrete(site: PlainSite, figures: dict[str, Any]) -> None:
    """Thin discs lie within a millionth of the true solid; holes are as deep, tops as high as the heights say."""
    for pier in figures["piers"]:
        ground, top, bottom = (pier.get(key) for key in ("ground", "top", "bottom"))
        dig = None if ground is None or bottom is None else ground - bottom
        reveal = None if ground is None or top is None else top - ground
        least, most = site.concrete(pier["id"], dig=dig, reveal=reveal)
        assert least * (1 - 1e-6) <= pier["concrete_m3"] <= most * (1 + 1e-6)
    total = sum(pier["concrete_m3"] for pier in figures["piers"])
    assert figures["concrete"]["net_m3"] == pytest.approx(total, rel=1e-9)


def test_enough_bags_are_ordered(figures: dict[str, Any]) -> None:
    orders = figures["concrete"]["order"]
    assert orders
    for order in orders:
        assert order["product"]
        assert isinstance(order["count"], int)
        assert order["count"] > 0


def test_flags_are_sentences(figures: dict[str, Any]) -> None:
    for flag in figures["flags"]:
        assert set(flag) >= {"code", "severity", "text", "about"}
        assert flag["severity"] in {"error", "warning", "note"}
        assert flag["text"].endswith((".", ".”"))
