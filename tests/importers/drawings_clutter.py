"""What else is on a designer's sheet: furniture, trees, title block, grid bubbles, notes."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import TYPE_CHECKING

from layoutdesk.geometry.vector import Vector

if TYPE_CHECKING:
    from tests.importers.drawings import Scene


def clutter(scene: Scene) -> None:
    """Draw some of everything, each with its own chance."""
    for chance, part in (
        (0.6, _furniture),
        (0.6, _plumbing),
        (0.5, _trees),
        (0.4, _shrubs),
        (0.6, _title),
        (0.5, _grid),
        (0.5, _north),
        (0.5, _boundary),
        (0.7, _notes),
        (0.6, _dimensions),
        (0.35, _slab),
        (0.3, _downspouts),
        (0.3, _lights),
        (0.3, _door_tags),
        (0.3, _legend),
        (0.3, _callouts),
        (0.3, _condenser),
        (0.3, _boards),
        (0.2, _roof),
        (0.25, _car),
        (0.3, _patio),
        (0.25, _garage),
        (0.3, _schedule),
        (0.35, _sizes),
        (0.25, _joists),
        (0.2, _eaves),
        (0.25, _pots),
        (0.2, _fence),
    ):
        if scene.rng.random() < chance:
            scene.habits["with"] = scene.habits.get("with", "") + part.__name__
            part(scene)


def _bounds(scene: Scene) -> tuple[Vector, Vector]:
    xs = [p.at[0] for p in scene.piers] + [0.0, scene.width]
    ys = [p.at[1] for p in scene.piers] + [0.0, scene.depth]
    return (min(xs), min(ys)), (max(xs), max(ys))


def _indoors(scene: Scene) -> Vector:
    low = max(y for _, y in scene.steps) + 1200.0
    return scene.rng.uniform(1500, scene.width - 1500), scene.rng.uniform(low, max(low + 10, scene.depth - 1200.0))


def _furniture(scene: Scene) -> None:
    sketch, layer, rng = scene.sketch, scene.layers["furniture"], scene.rng
    x, y = _indoors(scene)
    sketch.circle(layer, (x, y), 500.0)
    for n in range(4):
        turn = math.radians(45.0 + 90.0 * n)
        at = (x + 750.0 * math.cos(turn), y + 750.0 * math.sin(turn))
        sketch.box(layer, (at[0] - 220.0, at[1] - 220.0), (at[0] + 220.0, at[1] + 220.0))
    x, y = _indoors(scene)
    sketch.box(layer, (x - 950.0, y - 450.0), (x + 950.0, y + 450.0))
    if rng.random() < 0.4:  # out on the patio
        x, y = scene.width / 2 + rng.uniform(-900, 900), -rng.uniform(900, 1400)
        sketch.circle(layer, (x, y), 450.0)
        for n in range(3):
            turn = math.radians(120.0 * n)
            sketch.circle(layer, (x + 700.0 * math.cos(turn), y + 700.0 * math.sin(turn)), 200.0)


def _plumbing(scene: Scene) -> None:
    sketch, layer = scene.sketch, scene.layers["plumbing"]
    x, y = _indoors(scene)
    sketch.box(layer, (x, y), (x + 600.0, y + 450.0))
    sketch.circle(layer, (x + 300.0, y + 225.0), 160.0)
    x, y = _indoors(scene)
    sketch.box(layer, (x, y), (x + 600.0, y + 520.0))
    for dx, dy in ((150, 130), (450, 130), (150, 390), (450, 390)):
        sketch.circle(layer, (x + dx, y + dy), 95.0)
    x, y = _indoors(scene)
    sketch.circle(layer, (x, y), 75.0)
    sketch.circle(layer, (x, y), 60.0)


def _trees(scene: Scene) -> None:
    sketch, layer, rng = scene.sketch, scene.layers["tree"], scene.rng
    (lx, ly), (hx, _) = _bounds(scene)
    for _ in range(rng.randint(1, 4)):
        x, y, r = rng.choice([lx - 3500.0, hx + 3500.0]), ly - rng.uniform(-2500, 3000), rng.uniform(500, 2000)
        sketch.circle(layer, (x, y), r)
        sketch.circle(layer, (x, y), 90.0)
        for n in range(8):
            turn = math.radians(45.0 * n)
            sketch.line(layer, (x, y), (x + r * math.cos(turn), y + r * math.sin(turn)))
        if rng.random() < 0.5:
            sketch.text(
                scene.layers["text"],
                (x - 200.0, y + 150.0),
                rng.choice(['12" OAK', "TREE", "EXIST. MAPLE"]),
                scene.text,
            )


def _shrubs(scene: Scene) -> None:
    sketch, layer, rng = scene.sketch, scene.layers["tree"], scene.rng
    (lx, ly), _ = _bounds(scene)
    r = rng.uniform(200, 450)
    for n in range(rng.randint(3, 7)):
        sketch.circle(layer, (lx - 5500.0 + rng.uniform(-250, 250), ly + n * 1000.0 + rng.uniform(-250, 250)), r)


def _title(scene: Scene) -> None:
    sketch, layer, rng = scene.sketch, scene.layers["title"], scene.rng
    (lx, ly), (hx, hy) = _bounds(scene)
    low, high = (lx - 9000.0, ly - 7500.0), (hx + 9000.0, hy + 6000.0)
    if rng.random() < 0.5:
        sketch.box(layer, low, high)
        sketch.box(layer, (low[0] + 250.0, low[1] + 250.0), (high[0] - 250.0, high[1] - 250.0))
    else:
        corners = (low, (high[0], low[1]), high, (low[0], high[1]))
        for n in range(4):
            sketch.line(layer, corners[n], corners[(n + 1) % 4])
    x, y = high[0] - 6250.0, low[1] + 250.0
    sketch.box(layer, (x, y), (x + 6000.0, y + 2400.0))
    for n in range(1, 6):
        sketch.line(layer, (x, y + 400.0 * n), (x + 6000.0, y + 400.0 * n))
        sketch.text(
            layer,
            (x + 150.0, y + 400.0 * n - 300.0),
            ("DATE", "SHEET S-1", "SCALE", "DRAWN", "JOB 21")[n - 1],
            180.0,
        )
    sketch.line(layer, (x + 2000.0, y), (x + 2000.0, y + 2400.0))
    sketch.circle(layer, (x + 1000.0, y + 2900.0), 350.0)


def _grid(scene: Scene) -> None:
    sketch, layer, rng = scene.sketch, scene.layers["grid"], scene.rng
    (lx, ly), (hx, hy) = _bounds(scene)
    r = rng.choice([200.0, 250.0, 300.0])
    both = rng.random() < 0.4
    top, bottom = hy + 1800.0, ly - 1500.0
    for n, column in enumerate(scene.columns):
        x = column[0][0]
        sketch.line(layer, (x, bottom if both else ly - 600.0), (x, top), dashed=True)
        ends = (top + r, bottom - r) if both else (top + r,)
        for y in ends:
            sketch.circle(layer, (x, y), r)
            sketch.text(layer, (x - 60.0, y - 75.0), str(n + 1), 150.0)
    for n, row in enumerate(scene.rows[:20]):
        y = row[0][1]
        sketch.line(layer, (lx - 1800.0, y), (hx + 600.0, y), dashed=True)
        sketch.circle(layer, (lx - 1800.0 - r, y), r)
        sketch.text(layer, (lx - 1860.0 - r, y - 75.0), chr(65 + n), 150.0)


def _north(scene: Scene) -> None:
    (lx, ly), _ = _bounds(scene)
    at = (lx - 3000.0, ly - 4000.0)
    scene.sketch.circle(scene.layers["symbol"], at, 450.0)
    scene.sketch.line(scene.layers["symbol"], (at[0], at[1] - 450.0), (at[0], at[1] + 650.0))
    scene.sketch.line(
        scene.layers["symbol"], (at[0] - 120.0, at[1]), (at[0], at[1] + 450.0), (at[0] + 120.0, at[1]), closed=True
    )
    scene.sketch.text(scene.layers["text"], (at[0] - 60.0, at[1] + 750.0), "N", 200.0)


def _boundary(scene: Scene) -> None:
    (lx, ly), (hx, hy) = _bounds(scene)
    scene.sketch.line(
        scene.layers["site"],
        (lx - 6500.0, ly - 5000.0),
        (hx + 6500.0, ly - 5400.0),
        (hx + 6200.0, hy + 3500.0),
        (lx - 6800.0, hy + 3600.0),
        closed=True,
        dashed=scene.rng.random() < 0.7,
    )


def _notes(scene: Scene) -> None:
    (_, _), (hx, hy) = _bounds(scene)
    notes = (
        "NOTES:",
        '1. ALL PIERS 12" DIA. U.N.O.',
        "2. CONCRETE 3000 PSI",
        "3. VERIFY DIMENSIONS ON SITE",
        "4. SEE S-2 FOR DETAILS",
    )
    for n, note in enumerate(notes):
        scene.sketch.text(scene.layers["text"], (hx + 2500.0, hy - 300.0 * n), note, scene.text)


def _dimensions(scene: Scene) -> None:
    """Draw dimensions in pieces, as they are when they were taken apart."""
    sketch, layer = scene.sketch, scene.layers["dimension"]
    (_, ly), _ = _bounds(scene)
    y = ly - 1000.0
    xs = [column[0][0] for column in scene.columns]
    for a, b in pairwise(xs):
        sketch.line(layer, (a, y), (b, y))
        sketch.text(layer, ((a + b) / 2 - 200.0, y + 40.0), f"{b - a:.0f}", scene.text)
    for x in xs:
        sketch.line(layer, (x, ly - 550.0), (x, y - 100.0))
        sketch.line(layer, (x - 60.0, y - 60.0), (x + 60.0, y + 60.0))


def _slab(scene: Scene) -> None:
    y = min(scene.wall_at(1200.0), scene.wall_at(3800.0))
    scene.sketch.box(scene.layers["slab"], (1200.0, y - 1100.0), (3800.0, y))
    scene.sketch.text(scene.layers["text"], (1500.0, y - 600.0), "EXIST. CONC. SLAB", scene.text)


def _downspouts(scene: Scene) -> None:
    for x in (120.0, scene.width - 120.0):
        scene.sketch.circle(scene.layers["plumbing"], (x, scene.wall_at(x) - 60.0), 38.0)


def _lights(scene: Scene) -> None:
    low = max(y for _, y in scene.steps) + 900.0
    for n in range(3):
        for m in range(2):
            at = (1500.0 + 1400.0 * n, low + 1300.0 * m)
            scene.sketch.circle(scene.layers["light"], at, 90.0)


def _door_tags(scene: Scene) -> None:
    for n in range(4):
        x, y = _indoors(scene)
        scene.sketch.circle(scene.layers["symbol"], (x, y), 190.0)
        scene.sketch.text(scene.layers["symbol"], (x - 130.0, y - 60.0), str(101 + n), 120.0)


def _legend(scene: Scene) -> None:
    (lx, ly), _ = _bounds(scene)
    size = scene.piers[0].size
    scene.sketch.circle(scene.layers["pier"], (lx - 3000.0, ly - 6200.0), size / 2)
    scene.sketch.text(scene.layers["text"], (lx - 2300.0, ly - 6250.0), "INDICATES NEW CONCRETE PIER", scene.text)


def _callouts(scene: Scene) -> None:
    (_, ly), (hx, _) = _bounds(scene)
    for n in range(2):
        at = (hx + 3000.0, ly + 2500.0 * n)
        scene.sketch.circle(scene.layers["symbol"], at, 230.0)
        scene.sketch.line(scene.layers["symbol"], (at[0] - 230.0, at[1]), (at[0] + 230.0, at[1]))
        scene.sketch.text(scene.layers["symbol"], (at[0] - 50.0, at[1] + 50.0), str(n + 1), 110.0)
        scene.sketch.text(scene.layers["symbol"], (at[0] - 110.0, at[1] - 160.0), "S-2", 110.0)
        scene.sketch.line(scene.layers["symbol"], (at[0] - 230.0, at[1]), (at[0] - 1500.0, at[1]))


def _condenser(scene: Scene) -> None:
    x = -1200.0
    scene.sketch.box(scene.layers["plumbing"], (x, 500.0), (x + 800.0, 1300.0))
    scene.sketch.circle(scene.layers["plumbing"], (x + 400.0, 900.0), 300.0)
    scene.sketch.text(scene.layers["text"], (x + 250.0, 860.0), "A/C", scene.text)


def _boards(scene: Scene) -> None:
    """Draw a floor of boards, or a hatch that was taken apart."""
    (lx, ly), (hx, _) = _bounds(scene)
    y, low = ly + 300.0, lx + 100.0
    while y < -200.0:
        scene.sketch.line(scene.layers["hatch"], (low, y), (hx, y))
        y += 140.0


def _roof(scene: Scene) -> None:
    (lx, ly), (hx, hy) = _bounds(scene)
    scene.sketch.box(scene.layers["symbol"], (lx - 450.0, ly - 450.0), (hx + 450.0, hy + 450.0), dashed=True)


def _car(scene: Scene) -> None:
    x, y = scene.width + 2500.0, 500.0
    scene.sketch.box(scene.layers["furniture"], (x, y), (x + 1800.0, y + 4400.0))
    for dx, dy in ((250.0, 700.0), (1550.0, 700.0), (250.0, 3600.0), (1550.0, 3600.0)):
        scene.sketch.box(
            scene.layers["furniture"], (x + dx - 90.0, y + dy - 300.0), (x + dx + 90.0, y + dy + 300.0)
        )


def _patio(scene: Scene) -> None:
    """Draw the edge of paving round the piers, from wall to wall, without a word."""
    (lx, ly), (hx, _) = _bounds(scene)
    low = (max(lx, 0.0) - 200.0, ly - 700.0)
    right = min(hx, scene.width) + 200.0
    scene.sketch.line(
        scene.layers["slab"], (low[0], scene.wall_at(low[0])), low, (right, low[1]), (right, scene.wall_at(right))
    )


def _garage(scene: Scene) -> None:
    x, y = scene.width + 6500.0, scene.rng.uniform(-1000, 3000)
    for inset in (0.0, 140.0):
        scene.sketch.box(scene.layers["wall"], (x + inset, y + inset), (x + 6000.0 - inset, y + 6500.0 - inset))


def _schedule(scene: Scene) -> None:
    """Draw a table of the footings, their marks in it."""
    (_, ly), (hx, _) = _bounds(scene)
    x, y, layer = hx + 2500.0, ly - 1000.0, scene.layers["text"]
    marks = list(dict.fromkeys(p.mark or f"T{n}" for n, p in enumerate(scene.piers)))[:8]
    for n in range(len(marks) + 2):
        scene.sketch.line(layer, (x, y - 300.0 * n), (x + 3000.0, y - 300.0 * n))
    for dx in (0.0, 800.0, 3000.0):
        scene.sketch.line(layer, (x + dx, y), (x + dx, y - 300.0 * (len(marks) + 1)))
    scene.sketch.text(layer, (x + 100.0, y - 220.0), "MARK", 120.0)
    for n, mark in enumerate(marks):
        scene.sketch.text(layer, (x + 150.0, y - 300.0 * (n + 1) - 220.0), mark, 120.0)
        scene.sketch.text(layer, (x + 900.0, y - 300.0 * (n + 1) - 220.0), "3 - #4 VERT.", 120.0)


def _sizes(scene: Scene) -> None:
    """Write the size of some piers beside them."""
    for pier in scene.piers[:: scene.rng.choice([1, 2, 3])]:
        x, y = pier.at[0] - pier.size / 2 - 9 * scene.text, pier.at[1] - pier.size / 2 - 1.3 * scene.text
        scene.sketch.text(scene.layers["text"], (x, y), f'{pier.size / 25.4:.0f}" DIA. PIER', 0.8 * scene.text)


def _joists(scene: Scene) -> None:
    (lx, ly), (hx, _) = _bounds(scene)
    y = ly + 133.0
    while y < -150.0:
        scene.sketch.line(
            scene.layers["beam"], (max(lx, 0.0), y), (min(hx, scene.width), y), dashed=scene.habits["unit"] != "1"
        )
        y += 406.4


def _eaves(scene: Scene) -> None:
    scene.sketch.box(scene.layers["symbol"], (-450.0, -450.0), (scene.width + 450.0, scene.depth + 450.0))


def _pots(scene: Scene) -> None:
    """Draw plant pots in a row before the wall."""
    for n in range(scene.rng.randint(2, 5)):
        at = (700.0 + 1100.0 * n, scene.wall_at(700.0 + 1100.0 * n) - 250.0)
        scene.sketch.circle(scene.layers["tree"], at, 170.0)


def _fence(scene: Scene) -> None:
    """Draw a fence with its posts."""
    (lx, ly), _ = _bounds(scene)
    x = lx - 4200.0
    scene.sketch.line(scene.layers["site"], (x, ly - 2000.0), (x, 3000.0))
    y = ly - 2000.0
    while y < 3000.0:
        scene.sketch.box(scene.layers["site"], (x - 50.0, y - 50.0), (x + 50.0, y + 50.0))
        y += 2400.0
