"""The piers and beams of a test drawing, drawn in one of many ways."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import TYPE_CHECKING

from layoutdesk.geometry.vector import Vector

if TYPE_CHECKING:
    from tests.importers.drawings import Scene

FORMS = (
    "circle",
    "circle",
    "square",
    "four lines",
    "half arcs",
    "many corners",
    "two bends",
    "block",
    "crossed block",
    "nested block",
    "unit block",
    "pier and column",
    "square on circle",
    "turned square",
    "crossed square",
)


def draw_piers(scene: Scene) -> None:
    """Lay out and draw the piers with their marks."""
    from tests.importers.drawings import TruePier

    rng = scene.rng
    rows = rng.choice([1, 2, 2, 2, 3, 3, 4, 5, 8])
    columns = rng.randint(max(2, math.ceil(4 / rows)), 10 if rows > 3 else 7)
    gaps = [round(rng.uniform(1400, 3000), rng.choice([-1, 0, 1])) for _ in range(columns)]
    if scene.pick("spacing", "even", "even", "uneven") == "even":
        gaps = [gaps[0]] * columns
    downs = [round(rng.uniform(1300, 2800)) for _ in range(rows)]
    first = round(rng.uniform(-1500, max(0.0, scene.width - sum(gaps[1:]))))
    sizes = [rng.choice([203.2, 250.0, 300.0, 304.8, 355.6, 406.4, 450.0, 500.0, 609.6, 750.0, 914.4])]
    if scene.pick("sizes", "one", "one", "two") == "two":
        sizes.append(sizes[0] * rng.choice([0.75, 1.25, 1.5]))
    form = scene.pick("form", *FORMS)
    marked = scene.pick("marks", "none", "inside", "beside", "beside", "leader", "attribute", "types")
    if marked == "attribute" and "block" not in form:
        marked = scene.habits["marks"] = "beside"
    if marked == "inside" and min(sizes) < 2.2 * scene.text:
        marked = scene.habits["marks"] = "beside"
    scheme = scene.pick("scheme", "P1", "F-1", "A1", "1", "PT1")
    blocks = _blocks(scene, form, sizes)
    y, number = -round(rng.uniform(500, 1500)), 0
    corner = _corner(scene)
    # Piers that step in and out of their row, as round a bay.
    off = [0.0, 0.0, 355.6] if scene.pick("rows", *["straight"] * 6, "stepping") == "stepping" else [0.0]
    bare = 0.15 if scene.pick("marked", *["all"] * 5, "most") == "most" else 0.0
    for r in range(rows):
        y -= downs[r]
        x = float(first)
        row: list[Vector] = []
        for c in range(columns):
            x += gaps[c] if c else 0.0
            number += 1
            size = sizes[-1] if r == rows - 1 else sizes[0]
            mark = (
                ""
                if rng.random() < bare
                else _mark(scheme, marked, number=number, row=r, column=c, large=size == sizes[-1])
            )
            at = (x, y + rng.choice(off))
            row.append(at)
            _draw(scene, form, at, size=size, blocks=blocks, mark=mark if marked == "attribute" else "")
            _write(scene, marked, at, size=size, mark=mark, corner=corner)
            scene.piers.append(TruePier(at, size, mark))
        scene.rows.append(row)
    scene.columns = [[row[c] for row in scene.rows] for c in range(columns)]


def _corner(scene: Scene) -> Vector:
    return scene.rng.choice([(1.0, 1.0), (1.0, -1.0), (-1.0, 1.0)])


def _mark(scheme: str, marked: str, *, number: int, row: int, column: int, large: bool) -> str:
    if marked == "none":
        return ""
    if marked == "types":
        return "F2" if large else "F1"
    return f"{chr(65 + row)}{column + 1}" if scheme == "A1" else scheme.rstrip("1") + str(number)


def _blocks(scene: Scene, form: str, sizes: list[float]) -> dict[float, str]:
    """Define the blocks that a form needs, one for each size."""
    from tests.importers.drawings_sketch import Arc, Line, Use

    if "block" not in form:
        return {}
    pier = scene.rng.choice(["0", scene.layers["pier"]])
    names: dict[float, str] = {}
    for n, size in enumerate(sizes):
        half = size / 2
        name = names[size] = scene.rng.choice(["SYM", "BLK", "X", "PIER", "PAD-FTG"]) + f"-{n}"
        content = scene.sketch.blocks[name] = []
        match form:
            case "unit block":
                content.append(Arc(pier, (0.0, 0.0), 0.5))
            case "nested block":
                scene.sketch.blocks[f"IN-{n}"] = [Arc(pier, (0.0, 0.0), half)]
                content.append(Use(pier, f"IN-{n}", (0.0, 0.0), 30.0))
                content.append(Line(scene.layers["column"], _square((0.0, 0.0), size / 3), closed=True))
            case _:
                content.append(Arc(pier, (0.0, 0.0), half))
        if form == "crossed block":
            reach = half * scene.rng.choice([0.7, 1.0, 1.4])
            content.append(Line(pier, ((-reach, 0.0), (reach, 0.0))))
            content.append(Line(pier, ((0.0, -reach), (0.0, reach))))
    return names


def _square(at: Vector, size: float, turn: float = 0.0) -> tuple[Vector, ...]:
    turns = [math.radians(turn + 45.0 + 90.0 * n) for n in range(4)]
    half = size / math.sqrt(2)
    return tuple((at[0] + half * math.cos(t), at[1] + half * math.sin(t)) for t in turns)


def _round(at: Vector, size: float, count: int) -> tuple[Vector, ...]:
    turns = [2 * math.pi * n / count for n in range(count)]
    return tuple((at[0] + size / 2 * math.cos(t), at[1] + size / 2 * math.sin(t)) for t in turns)


def _draw(scene: Scene, form: str, at: Vector, *, size: float, blocks: dict[float, str], mark: str) -> None:
    rng, sketch, layer = scene.rng, scene.sketch, scene.layers["pier"]
    match form:
        case "circle":
            sketch.circle(layer, at, size / 2)
        case "square":
            sketch.line(layer, *_square(at, size), closed=True)
        case "four lines" | "crossed square":
            corners = _square(at, size)
            for n in range(4):
                sketch.line(layer, corners[n], corners[(n + 1) % 4])
            if form == "crossed square":
                sketch.line(layer, corners[0], corners[2])
                sketch.line(layer, corners[1], corners[3])
        case "half arcs":
            sketch.arc(layer, at, size / 2, 0.0, 180.0)
            sketch.arc(layer, at, size / 2, 180.0, 360.0)
        case "many corners":
            sketch.line(layer, *_round(at, size, 36), closed=True)
        case "two bends":
            corners = _round(at, size, 24)
            sketch.line(layer, *corners, corners[0])
        case "pier and column":
            sketch.circle(layer, at, size / 2)
            sketch.line(scene.layers["column"], *_square(at, size / 3), closed=True)
        case "square on circle":
            sketch.line(layer, *_square(at, size), closed=True)
            sketch.circle(scene.layers["column"], at, size / 4)
        case "turned square":
            sketch.line(layer, *_square(at, size, 45.0), closed=True)
        case _:
            scale = size if form == "unit block" else 1.0
            values = {"MARK": mark} if mark else {}
            sketch.use(layer, blocks[size], at, turn=rng.choice([0.0, 90.0]), size=scale, **values)


def _write(scene: Scene, marked: str, at: Vector, *, size: float, mark: str, corner: Vector) -> None:
    if not mark:
        return
    sketch, layer, h = scene.sketch, scene.layers["text"], scene.text
    wide = 0.8 * h * len(mark)
    half = size / 2
    match marked:
        case "inside":
            sketch.text(layer, (at[0] - wide / 2, at[1] - h / 2), mark, min(h, 0.45 * size))
        case "beside" | "types":
            x = at[0] + 0.7 * half + 40.0 if corner[0] > 0 else at[0] - 0.7 * half - 40.0 - wide
            y = at[1] + 0.7 * half + 40.0 if corner[1] > 0 else at[1] - 0.7 * half - 40.0 - h
            sketch.text(layer, (x, y), mark, h)
        case "leader":
            start = (at[0] + half * 0.7071, at[1] + half * 0.7071)
            knee = (start[0] + 350.0, start[1] + 350.0)
            tail = (knee[0] + 120.0, knee[1])
            sketch.line(scene.layers["symbol"], start, knee, tail)
            sketch.text(layer, (tail[0] + 40.0, tail[1] - h / 2), mark, h)
        case _:
            pass


def draw_beams(scene: Scene) -> None:
    """Draw the beams along the columns of piers from the wall, or along the rows."""
    rng = scene.rng
    way = scene.pick("beams", "none", "columns", "columns", "columns", "rows")
    if scene.habits["rows"] == "stepping" and way == "rows":
        way = scene.habits["beams"] = "columns"
    if way == "none":
        return
    drawn = scene.pick("beam form", "line", "dashed", "edges", "dashed edges", "box", "clipped")
    over = rng.choice([0.0, 150.0, 400.0, 600.0])
    wide = rng.choice([89.0, 114.3, 140.0, 76.2])
    for piers in scene.rows if way == "rows" else scene.columns:
        a, b = piers[0], piers[-1]
        if way == "columns":
            if len(piers) < 2 and not 0 <= a[0] <= scene.width:
                continue
            if 0 <= a[0] <= scene.width:
                a = (a[0], scene.wall_at(a[0]))
            b = (b[0], b[1] - over)
        else:
            a, b = (a[0] - over, a[1]), (b[0] + over, b[1])
        _beam(scene, drawn, a, b, wide=wide, piers=piers)
        if drawn == "clipped":  # what stops at the edge of a pier goes to its middle
            halves = {p.at: p.size / 2 for p in scene.piers}
            a = piers[0] if math.dist(a, piers[0]) <= halves[piers[0]] else a
            b = piers[-1] if math.dist(b, piers[-1]) <= halves[piers[-1]] else b
        scene.beams.append((a, b))


def _beam(scene: Scene, drawn: str, a: Vector, b: Vector, *, wide: float, piers: list[Vector]) -> None:
    sketch, layer = scene.sketch, scene.layers["beam"]
    x, y = (0.0, wide / 2) if a[1] == b[1] else (wide / 2, 0.0)
    low, high = ((a[0] - x, a[1] - y), (b[0] - x, b[1] - y)), ((a[0] + x, a[1] + y), (b[0] + x, b[1] + y))
    match drawn:
        case "line" | "dashed":
            sketch.line(layer, a, b, dashed=drawn == "dashed")
        case "edges" | "dashed edges":
            sketch.line(layer, *low, dashed=drawn != "edges")
            sketch.line(layer, *high, dashed=drawn != "edges")
        case "box":
            sketch.line(layer, *low, high[1], high[0], closed=True)
        case _:
            halves = {p.at: p.size / 2 for p in scene.piers}
            stops = [a, *(p for p in piers if p not in {a, b}), b]
            for p, q in pairwise(stops):
                far = math.dist(p, q)
                u = ((q[0] - p[0]) / far, (q[1] - p[1]) / far)
                cut0, cut1 = (
                    (halves[p] if p in halves and p != a else 0.0),
                    (halves[q] if q in halves and q != b else 0.0),
                )
                if far > cut0 + cut1:
                    sketch.line(
                        layer, (p[0] + u[0] * cut0, p[1] + u[1] * cut0), (q[0] - u[0] * cut1, q[1] - u[1] * cut1)
                    )
