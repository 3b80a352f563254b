"""A photograph made by arithmetic: round marks of a plan, warped by a known map, found again in its pixels."""

from __future__ import annotations

import math

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy import ndimage

from layoutdesk.geometry import projective as pm
from layoutdesk.geometry.projective import Map9
from layoutdesk.geometry.vector import Vector, distance

WIDTH, HEIGHT = 1600, 1200
MARKS = tuple((600.0 + 1200.0 * column, 500.0 + 1000.0 * row) for row in range(5) for column in range(6))
"""Places of the marks in mm, on a yard of 7.2 by 5 m."""
CORNERS = (0, 5, 29, 24)
"""The four marks whose distances are measured: the corners of a rectangle of 6 by 4 m."""


def _photograph(to_ground: Map9) -> NDArray[np.float64]:
    """Return the picture: white ground, dark round marks of 120 mm, each pixel the mean of 5 × 5 samples."""
    sub = (np.arange(5) + 0.5) / 5
    xs = (np.arange(WIDTH)[:, None] + sub).reshape(-1)
    picture = np.empty((HEIGHT, WIDTH))
    for row in range(HEIGHT):
        x, y = np.meshgrid(xs, row + sub)
        z = to_ground[6] * x + to_ground[7] * y + to_ground[8]
        u = (to_ground[0] * x + to_ground[1] * y + to_ground[2]) / z
        v = (to_ground[3] * x + to_ground[4] * y + to_ground[5]) / z
        # The marks lie on a regular grid: each sample has one nearest mark.
        du = u - (600 + 1200 * np.clip(np.round((u - 600) / 1200), 0, 5))
        dv = v - (500 + 1000 * np.clip(np.round((v - 500) / 1000), 0, 4))
        white = np.where((z > 0) & (np.hypot(du, dv) < 60), 0.0, 1.0)
        picture[row] = white.reshape(5, WIDTH, 5).mean(axis=(0, 2))
    noise = np.random.default_rng(7).normal(0, 0.02, picture.shape)
    return np.clip(picture + noise, 0, 1)


def _marks_in(picture: NDArray[np.float64]) -> list[Vector]:
    """Return the middles of the dark spots, in pixels: (0, 0) is the picture's corner."""
    dark = 1 - picture
    spots, count = ndimage.label(dark > 0.25)  # type: ignore[attr-defined]
    weight = np.where(dark > 0.25, dark, 0)
    middles = ndimage.center_of_mass(weight, spots, range(1, count + 1))  # type: ignore[attr-defined]
    return [(float(x) + 0.5, float(y) + 0.5) for y, x in middles]


@pytest.mark.parametrize(
    ("name", "camera"),
    [
        ("from the porch", ((330.0, 330.0), (1290.0, 300.0), (1530.0, 1080.0), (70.0, 1120.0))),
        ("turned and from the side", ((240.0, 620.0), (900.0, 130.0), (1520.0, 560.0), (760.0, 1130.0))),
        ("almost from above", ((190.0, 110.0), (1420.0, 120.0), (1405.0, 1080.0), (205.0, 1090.0))),
    ],
)
def test_four_measured_points_set_a_photograph_right(
    name: str, camera: tuple[Vector, Vector, Vector, Vector]
) -> None:
    real = pm.through_four(camera, [MARKS[i] for i in reversed(CORNERS)])  # y runs down in the picture, up here
    seen = pm.apply(pm.inverse(real), MARKS)
    found = _marks_in(_photograph(real))
    assert len(found) == len(MARKS)
    nearest = [min(found, key=lambda f, p=p: distance(f, p)) for p in seen]  # type: ignore[misc]
    assert len(set(nearest)) == len(MARKS)

    # All that a person gives: four spots of the picture, and six distances between them.
    lying, off = pm.quad_from_distances((6000, 4000, 6000, 4000), math.hypot(6000, 4000), math.hypot(6000, 4000))
    assert off == pytest.approx(0, abs=1e-9)
    fitted = pm.through_four([nearest[i] for i in CORNERS], lying)

    wanted = [(x - 600, y - 500) for x, y in MARKS]
    in_pixels = [distance(p, q) for p, q in zip(pm.apply(pm.inverse(fitted), wanted), nearest, strict=True)]
    on_ground = [distance(p, q) for p, q in zip(pm.apply(fitted, nearest), wanted, strict=True)]
    print(f"{name}: worst {max(in_pixels):.2f} px, {max(on_ground):.1f} mm")  # noqa: T201  # the number for the docs
    assert max(in_pixels) < 2
    assert max(p / pm.scale_at(fitted, q) for p, q in zip(on_ground, nearest, strict=True)) < 2
