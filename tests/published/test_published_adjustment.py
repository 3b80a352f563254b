"""The adjustment against worked examples with their printed digits.

A level net has heights in place of places: here they are the x of points of which y is pinned, so that the level
lines go through the same normal equations, factor and inverse as tapes do.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from scipy.special import ndtri

from layoutdesk.engine.proof import normal
from layoutdesk.engine.proof.adjust import adjust
from layoutdesk.engine.proof.covariance import Covariance
from layoutdesk.engine.proof.derivatives import Linearised, Readings
from layoutdesk.engine.proof.network import DISTANCE
from layoutdesk.engine.proof.normal import Unknowns
from layoutdesk.engine.proof.selection import SHOWS
from layoutdesk.engine.proof.statistics import ellipses
from tests.engine.networks import Row, network
from tests.published.checks import on_topic, published

NETS = [check for check in on_topic("adjustment") if "lines" in check["inputs"]]


@pytest.mark.parametrize("full_up_to", [normal.FULL_UP_TO, 0], ids=["full", "banded"])
@pytest.mark.parametrize("check", NETS, ids=lambda check: check["id"])
def test_level_net(check: dict[str, Any], full_up_to: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(normal, "FULL_UP_TO", full_up_to)
    given, expected = check["inputs"], check["expected"]
    names = ["", *sorted({name for line in given["lines"] for name in line} - {""})]
    lines = np.array([[names.index(name) for name in line] for line in given["lines"]])
    observed = np.array(given["observed"])
    weights = np.array(given.get("weights", np.ones(len(lines))), dtype=np.float64)
    if "deviations" in given:
        weights = 1 / np.array(given["deviations"]) ** 2
    rows: list[Row] = [
        (DISTANCE, a, b, -1, 1.0, 1 / w**0.5) for (a, b), w in zip(lines.tolist(), weights.tolist(), strict=True)
    ]
    net = network([[0.0, 0.0]] * len(names), rows, held=(0,))
    readings = Readings(net.observations, np.ones(len(rows), dtype=np.bool_))
    pinned = tuple((point, 1) for point in range(1, len(names)))
    unknowns = Unknowns(readings, ~net.held, pinned, np.zeros(len(names)))

    nought = np.zeros(len(rows))
    slope = np.stack((-readings.weight, nought, readings.weight, nought))
    start = Linearised(-observed * readings.weight, slope, np.empty((6, 0)))
    move = unknowns.factor(start).solve(unknowns.right_side(start, np.zeros(unknowns.count)))
    heights = np.zeros((len(names), 2))
    heights[unknowns.points] = move.reshape(-1, 2)
    residuals = heights[lines[:, 1], 0] - heights[lines[:, 0], 0] - observed
    unit = np.sqrt((weights * residuals**2).sum() / (len(rows) - len(names) + 1))
    covariance = Covariance(unknowns, start, heights, np.ones(len(names), dtype=np.bool_), None)

    within = check["tolerance"]
    assert heights[1:, 0] == pytest.approx(expected["heights"], abs=within)
    assert residuals == pytest.approx(expected["residuals"], abs=within)
    assert unit == pytest.approx(expected["unit"], abs=within)
    assert unit * np.sqrt(covariance.blocks[1:, 0, 0]) == pytest.approx(expected["deviations"], abs=within)
    assert covariance.shares.sum() == pytest.approx(len(names) - 1)


def test_a_point_from_three_distances() -> None:
    check = published()["three-distances-to-a-point"]
    control = check["inputs"]["control"]
    rows: list[Row] = [(DISTANCE, k, 3, -1, far, 1.0) for k, far in enumerate(check["inputs"]["distances"])]
    found = adjust(network([*control, [6800.0, 3800.0]], rows, held=(0, 1, 2)))
    assert found.xy[3] == pytest.approx(check["expected"]["place"], abs=check["tolerance"])
    assert found.residual == pytest.approx(check["expected"]["residuals"], abs=check["tolerance"])
    assert found.weighted == pytest.approx(check["expected"]["weighted"], abs=check["tolerance"])
    assert found.degrees == 1


@pytest.mark.parametrize("check", on_topic("trilateration"), ids=lambda check: check["id"])
def test_plane_network_of_distances(check: dict[str, Any]) -> None:
    """Coordinates, residuals and standard deviations come out to the digits that are printed.

    Lengths are a thousand times as large here, as metres are in millimetres.
    """
    given, expected, near = check["inputs"], check["expected"], check["tolerance"]
    held, count = len(given["control"]), given["new"]
    start = np.concatenate((np.array(given["control"]), np.array(given["start"]).reshape(-1, 2))) * 1000.0
    rows: list[Row] = [
        (DISTANCE, i, j, -1, 1000.0 * far, 1.0)
        for (i, j), far in zip(given["lines"], given["distances"], strict=True)
    ]
    found = adjust(network(start, rows, held=range(held)))
    assert found.converged
    assert found.xy[held:] / 1000 == pytest.approx(np.array(expected["places"]), abs=near)
    if "residuals" in expected:
        unit = np.sqrt(found.weighted / found.degrees) / 1000
        assert found.degrees == len(rows) - 2 * count
        assert found.residual / 1000 == pytest.approx(expected["residuals"], abs=near)
        assert unit == pytest.approx(expected["unit"], abs=near)
        variances = found.covariance[held:].diagonal(axis1=1, axis2=2).ravel()
        assert unit * np.sqrt(variances) == pytest.approx(expected["deviations"], abs=near)


def test_ellipses_of_two_stations() -> None:
    check = published()["ellipses-of-two-stations"]
    longer, shorter, turn = ellipses(np.array(check["inputs"]["covariances"]))
    assert longer == pytest.approx(check["expected"]["longer"], abs=check["tolerance"])
    assert shorter == pytest.approx(check["expected"]["shorter"], abs=check["tolerance"])
    assert turn == pytest.approx(check["expected"]["turn"], abs=0.006)


def test_what_an_error_must_be_to_show() -> None:
    check = published()["what-an-error-must-be-to-show"]
    shift = ndtri(1 - check["inputs"]["significance"] / 2) + ndtri(check["inputs"]["power"])
    assert shift**2 == pytest.approx(check["expected"]["squared"], abs=check["tolerance"])
    assert pytest.approx(check["expected"]["shift"], abs=check["tolerance"]) == SHOWS
    assert shift == pytest.approx(SHOWS, abs=check["tolerance"])
