"""The house of a test drawing: its outline in one of many ways, rooms, doors and windows."""

from __future__ import annotations

from typing import TYPE_CHECKING

from layoutdesk.geometry.vector import Vector

if TYPE_CHECKING:
    from tests.importers.drawings import Scene


def draw_house(scene: Scene) -> None:
    """Draw the house; ``scene.steps`` becomes its faces towards the yard, from left to right."""
    rng = scene.rng
    scene.width, scene.depth = round(rng.uniform(7000, 16_000), -1), round(rng.uniform(5000, 10_000), -1)
    w = scene.width
    match scene.pick("outline", "straight", "straight", "jog", "jog", "two jogs"):
        case "straight":
            scene.steps = [(0.0, 0.0), (w, 0.0)]
        case "jog":
            x, up = round(w * rng.uniform(0.3, 0.7)), rng.choice([610.0, 762.0, 1200.0, 2000.0])
            scene.steps = [(0.0, 0.0), (x, 0.0), (x, up), (w, up)]
        case _:
            x, y, up = round(w * 0.3), round(w * 0.65), rng.choice([900.0, 1500.0])
            scene.steps = [(0.0, up), (x, up), (x, 0.0), (y, 0.0), (y, up), (w, up)]
    ring: list[Vector] = [*scene.steps, (w, scene.depth), (0.0, scene.depth)]
    wall = scene.layers["wall"]
    match scene.pick("walls", "face only", "outline", "lines", "double", "double", "broken", "broken", "broken"):
        case "face only":
            scene.sketch.line(wall, *scene.steps)
        case "outline":
            scene.sketch.line(wall, *ring, closed=True)
        case "lines":
            for a, b in zip(ring, [*ring[1:], ring[0]], strict=True):
                scene.sketch.line(wall, a, b)
        case "double":
            scene.sketch.line(wall, *ring, closed=True)
            scene.sketch.line(wall, *_inset(ring, 140.0), closed=True)
            _rooms(scene)
        case _:
            _broken(scene, ring, rng.choice([115.0, 140.0, 165.0, 300.0]))
            _rooms(scene)


def _inset(ring: list[Vector], by: float) -> list[Vector]:
    """Return a ring (anticlockwise) moved inwards."""
    moved: list[Vector] = []
    for n, p in enumerate(ring):
        a, b = ring[n - 1], ring[(n + 1) % len(ring)]
        u, v = _unit(a, p), _unit(p, b)
        moved.append((p[0] - by * (u[1] + v[1]), p[1] + by * (u[0] + v[0])))
    return moved


def _unit(a: Vector, b: Vector) -> Vector:
    far = ((b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2) ** 0.5
    return (b[0] - a[0]) / far, (b[1] - a[1]) / far


def _broken(scene: Scene, ring: list[Vector], thick: float) -> None:
    """Draw both faces, broken by doors and windows."""
    rng, sketch = scene.rng, scene.sketch
    wall, door, window = scene.layers["wall"], scene.layers["door"], scene.layers["window"]
    inner = _inset(ring, thick)
    for n, a in enumerate(ring):
        b, c, d = ring[(n + 1) % len(ring)], inner[n], inner[(n + 1) % len(ring)]
        u = _unit(a, b)
        v = (-u[1], u[0])
        size = abs(b[0] - a[0]) + abs(b[1] - a[1])
        holes: list[tuple[float, float]] = []
        at = rng.uniform(600, 1500)
        while at + 2600 < size:
            wide = rng.choice([762.0, 900.0, 1200.0, 1800.0])
            holes.append((at, at + wide))
            at += wide + rng.uniform(700, 2600)
        cuts = [0.0, *(x for hole in holes for x in hole), size]
        inner_size = abs(d[0] - c[0]) + abs(d[1] - c[1])
        shift = (c[0] - a[0]) * u[0] + (c[1] - a[1]) * u[1]
        for x0, x1 in zip(cuts[::2], cuts[1::2], strict=True):
            sketch.line(wall, _along(a, u, x0), _along(a, u, x1))
            sketch.line(wall, _along(c, u, max(0.0, x0 - shift)), _along(c, u, min(inner_size, x1 - shift)))
        for x0, x1 in holes:
            for x in (x0, x1):
                p = _along(a, u, x)
                sketch.line(wall, p, _along(p, v, thick))
            p, q = _along(a, u, x0), _along(a, u, x1)
            if rng.random() < 0.4:  # a door that opens inwards
                if x1 - x0 < 1000:
                    hinge = _along(p, v, thick)
                    sketch.line(door, hinge, _along(hinge, v, x1 - x0))
                    turn = 0.0 if u == (1.0, 0.0) else 180.0 if u == (-1.0, 0.0) else 90.0 if u[1] > 0 else 270.0
                    sketch.arc(door, hinge, x1 - x0, turn, turn + 90.0)
            else:
                for share in (0.3, 0.5, 0.7):
                    sketch.line(window, _along(p, v, share * thick), _along(q, v, share * thick))


def _along(p: Vector, way: Vector, far: float) -> Vector:
    return p[0] + way[0] * far, p[1] + way[1] * far


def _rooms(scene: Scene) -> None:
    """Draw partitions with gaps for doors, and names of rooms."""
    rng, sketch, layer = scene.rng, scene.sketch, scene.layers["inner"]
    low = max(y for _, y in scene.steps) + 300.0
    mid = low + 0.5 * (scene.depth - low)
    xs = sorted(round(rng.uniform(0.15, 0.85) * scene.width) for _ in range(rng.randint(1, 4)))
    for x in xs:
        for side in (0.0, 100.0):
            sketch.line(layer, (x + side, low), (x + side, mid - 900.0))
            sketch.line(layer, (x + side, mid), (x + side, scene.depth - 140.0))
    for side in (0.0, 100.0):
        sketch.line(layer, (140.0, mid + side), (scene.width * 0.55, mid + side))
        sketch.line(layer, (scene.width * 0.55 + 900.0, mid + side), (scene.width - 140.0, mid + side))
    for n, name in enumerate(
        rng.sample(["KITCHEN", "LIVING", "BED 1", "BED 2", "BATH", "HALL", "DINING"], len(xs))
    ):
        sketch.text(scene.layers["text"], (xs[n] + 400.0, mid + 700.0), name, scene.text * 1.3)
