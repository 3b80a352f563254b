"""Drawings as designers make them, each by habits drawn at random from a seed, with what is true of them."""

from __future__ import annotations

import random
from dataclasses import dataclass, field

from layoutdesk.geometry.vector import Vector
from tests.importers.drawings_clutter import clutter
from tests.importers.drawings_house import draw_house
from tests.importers.drawings_layers import layers_for
from tests.importers.drawings_piers import draw_beams, draw_piers
from tests.importers.drawings_sketch import Sketch, Use


@dataclass(frozen=True)
class TruePier:
    at: Vector
    size: float
    mark: str


@dataclass
class Drawing:
    """A drawing with its truth: places in millimetres on the ground."""

    seed: int
    sketch: Sketch
    habits: dict[str, str]
    piers: list[TruePier] = field(default_factory=list)
    faces: list[tuple[Vector, Vector]] = field(default_factory=list)
    beams: list[tuple[Vector, Vector]] = field(default_factory=list)
    outline: list[Vector] = field(default_factory=list)


@dataclass
class Scene:
    """What the parts of a drawing know of one another while it is drawn, in the house's own millimetres."""

    rng: random.Random
    sketch: Sketch
    layers: dict[str, str]
    habits: dict[str, str]
    text: float
    width: float = 0.0
    depth: float = 0.0
    steps: list[Vector] = field(default_factory=list)
    piers: list[TruePier] = field(default_factory=list)
    beams: list[tuple[Vector, Vector]] = field(default_factory=list)
    columns: list[list[Vector]] = field(default_factory=list)
    rows: list[list[Vector]] = field(default_factory=list)

    def pick(self, habit: str, *choices: str) -> str:
        """Return one of some habits, and note it."""
        self.habits[habit] = self.rng.choice(choices)
        return self.habits[habit]

    def wall_at(self, x: float) -> float:
        """Return how far up the yard face of the house lies at x."""
        here = [
            y for (a, y), (b, _) in zip(self.steps, self.steps[1:], strict=False) if a - 1 <= x <= b + 1 and a != b
        ]
        return min(here, default=0.0)


def drawing(seed: int) -> Drawing:
    """Return the drawing of a seed."""
    rng = random.Random(seed)  # noqa: S311 - habits, not secrets
    unit = rng.choice([1.0, 25.4, 304.8, 1000.0, 10.0, 1.0, 25.4])
    turn = rng.choice([0.0, 0.0, 0.0, 90.0, 180.0, rng.uniform(0, 360), rng.uniform(-3, 3)])
    far = rng.random()
    reach = 0.0 if far < 0.4 else 60_000.0 if far < 0.85 else 6e8
    origin = (round(rng.uniform(-reach, reach)), round(rng.uniform(-reach, reach)))
    sketch = Sketch(unit=unit, turn=turn, origin=origin)
    habits: dict[str, str] = {"unit": f"{unit:g}", "turn": f"{turn:.1f}"}
    scene = Scene(rng, sketch, layers_for(rng, habits), habits, rng.choice([90.0, 115.0, 125.0, 150.0]))
    draw_house(scene)
    draw_piers(scene)
    draw_beams(scene)
    clutter(scene)
    rng.shuffle(sketch.marks)
    if rng.random() < 0.15:  # the whole drawing lies in another as one block
        habits["carrier"] = "block"
        sketch.blocks["PLAN"], sketch.marks = sketch.marks, [Use("0", "PLAN", (0.0, 0.0))]
    place = sketch.ground
    return Drawing(
        seed=seed,
        sketch=sketch,
        habits=habits,
        piers=[TruePier(place(p.at), p.size, p.mark) for p in scene.piers],
        faces=[(place(a), place(b)) for a, b in zip(scene.steps, scene.steps[1:], strict=False)],
        beams=[(place(a), place(b)) for a, b in scene.beams],
        outline=[place(p) for p in (*scene.steps, (scene.width, scene.depth), (0.0, scene.depth))],
    )
