"""A sketch of a drawing for tests: what is drawn, in millimetres, given as linework or as a DXF document."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import Any

from layoutdesk.geometry.vector import Vector
from layoutdesk.importers.linework import BlockUse, Linework, Shape, Words


@dataclass(frozen=True)
class Line:
    layer: str
    points: tuple[Vector, ...]
    closed: bool = False
    dashed: bool = False


@dataclass(frozen=True)
class Arc:
    layer: str
    centre: Vector
    radius: float
    start: float = 0.0
    end: float = 360.0


@dataclass(frozen=True)
class Text:
    layer: str
    at: Vector
    text: str
    height: float
    tag: str = ""


@dataclass(frozen=True)
class Use:
    layer: str
    name: str
    at: Vector
    turn: float = 0.0
    size: float = 1.0
    attributes: tuple[Text, ...] = ()


Mark = Line | Arc | Text | Use


@dataclass
class Sketch:
    """Marks in the house's own millimetres; ``place`` puts them where the drawing has them, in its units."""

    unit: float = 1.0
    turn: float = 0.0
    origin: Vector = (0.0, 0.0)
    marks: list[Mark] = field(default_factory=list)
    blocks: dict[str, list[Mark]] = field(default_factory=dict)

    def line(self, layer: str, *points: Vector, closed: bool = False, dashed: bool = False) -> None:
        self.marks.append(Line(layer, points, closed, dashed))

    def box(self, layer: str, low: Vector, high: Vector, *, dashed: bool = False) -> None:
        self.line(layer, low, (high[0], low[1]), high, (low[0], high[1]), closed=True, dashed=dashed)

    def circle(self, layer: str, centre: Vector, radius: float) -> None:
        self.marks.append(Arc(layer, centre, radius))

    def arc(self, layer: str, centre: Vector, radius: float, start: float, end: float) -> None:
        self.marks.append(Arc(layer, centre, radius, start, end))

    def text(self, layer: str, at: Vector, text: str, height: float) -> None:
        self.marks.append(Text(layer, at, text, height))

    def use(
        self, layer: str, name: str, at: Vector, *, turn: float = 0.0, size: float = 1.0, **attributes: str
    ) -> None:
        words = tuple(Text(layer, (at[0] + 250, at[1] + 100), v, 120.0, k) for k, v in attributes.items())
        self.marks.append(Use(layer, name, at, turn, size, words))

    def ground(self, at: Vector) -> Vector:
        """Return where a place of the house's own is on the ground of the drawing, in millimetres."""
        c, s = math.cos(math.radians(self.turn)), math.sin(math.radians(self.turn))
        return c * at[0] - s * at[1] + self.origin[0], s * at[0] + c * at[1] + self.origin[1]

    def linework(self, name: str = "sketch.dxf") -> Linework:
        """Return the sketch as a reader would give it."""
        made = _Lines(self)
        whole = _Place(self.origin, self.turn, 1.0 / self.unit, self.unit)
        made.draw(self.marks, whole, None, "0")
        layers = tuple(dict.fromkeys([s.layer for s in made.shapes] + [w.layer for w in made.words]))
        return Linework(
            name=name,
            kind="dxf",
            unit=self.unit,
            shapes=tuple(made.shapes),
            words=tuple(made.words),
            uses=tuple(made.uses),
            layers=layers,
        )

    def document(self, version: str = "R2010") -> Any:
        """Return the sketch as a DXF document."""
        import ezdxf

        codes = {1.0: 4, 25.4: 1, 304.8: 2, 1000.0: 6, 10.0: 5}
        document = ezdxf.new(version, units=codes[self.unit], setup=["linetypes"])
        for name, content in self.blocks.items():
            block = document.blocks.new(name)
            for mark in content:
                _add(block, mark, _Place((0.0, 0.0), 0.0, 1.0, 1.0))
        for mark in self.marks:
            _add(document.modelspace(), mark, _Place(self.origin, self.turn, 1.0 / self.unit, self.unit))
        return document


@dataclass(frozen=True)
class _Place:
    """Where marks lie: turned and enlarged about a place that is given in millimetres."""

    origin: Vector
    turn: float
    size: float
    unit: float

    def at(self, p: Vector) -> Vector:
        c, s = math.cos(math.radians(self.turn)), math.sin(math.radians(self.turn))
        x, y = c * p[0] - s * p[1], s * p[0] + c * p[1]
        return x * self.size + self.origin[0] / self.unit, y * self.size + self.origin[1] / self.unit

    def inner(self, use: Use) -> _Place:
        x, y = self.at(use.at)
        return _Place((x * self.unit, y * self.unit), self.turn + use.turn, self.size * use.size, self.unit)


class _Lines:
    def __init__(self, sketch: Sketch) -> None:
        self.sketch = sketch
        self.shapes: list[Shape] = []
        self.words: list[Words] = []
        self.uses: list[BlockUse] = []

    def draw(self, marks: list[Mark], place: _Place, use: int | None, layer: str) -> None:
        for mark in marks:
            on = layer if mark.layer == "0" and use is not None else mark.layer
            match mark:
                case Line():
                    points = tuple(place.at(p) for p in mark.points)
                    self.shapes.append(
                        Shape(layer=on, points=points, closed=mark.closed, use=use, dashed=mark.dashed)
                    )
                case Arc():
                    self.arc(mark, place, use, on)
                case Text():
                    self.text(mark, place, use, on)
                case Use():
                    number = len(self.uses)
                    inner = place.inner(mark)
                    scale = (inner.size, inner.size)
                    at = place.at(mark.at)
                    self.uses.append(
                        BlockUse(name=mark.name, layer=on, at=at, turn=inner.turn, scale=scale, inside=use)
                    )
                    self.draw(self.sketch.blocks[mark.name], inner, number, on)
                    for words in mark.attributes:
                        self.text(words, place, number, on)

    def arc(self, mark: Arc, place: _Place, use: int | None, layer: str) -> None:
        centre, radius = place.at(mark.centre), mark.radius * place.size
        points: tuple[Vector, ...] = ()
        if mark.end - mark.start < 360.0:
            count = max(2, math.ceil((mark.end - mark.start) / 15.0) + 1)
            turns = [mark.start + (mark.end - mark.start) * n / (count - 1) + place.turn for n in range(count)]
            points = tuple(
                (centre[0] + radius * math.cos(math.radians(t)), centre[1] + radius * math.sin(math.radians(t)))
                for t in turns
            )
        self.shapes.append(Shape(layer=layer, points=points, centre=centre, radius=radius, use=use))

    def text(self, mark: Text, place: _Place, use: int | None, layer: str) -> None:
        height = mark.height * place.size
        width = 0.8 * height * len(mark.text)
        self.words.append(
            Words(
                text=mark.text,
                at=place.at(mark.at),
                height=height,
                width=width,
                turn=place.turn,
                layer=layer,
                use=use,
                tag=mark.tag,
            )
        )


def _add(space: Any, mark: Mark, place: _Place) -> None:
    """Draw a mark in a DXF layout or block."""
    named = {"layer": mark.layer}
    match mark:
        case Line():
            points = [place.at(p) for p in mark.points]
            if mark.dashed:
                named["linetype"] = "DASHED"
            if len(points) == 2 and not mark.closed:
                space.add_line(*points, dxfattribs=named)
            else:
                space.add_lwpolyline(points, close=mark.closed, dxfattribs=named)
        case Arc():
            centre, radius = place.at(mark.centre), mark.radius * place.size
            if mark.end - mark.start >= 360.0:
                space.add_circle(centre, radius, dxfattribs=named)
            else:
                space.add_arc(centre, radius, mark.start + place.turn, mark.end + place.turn, dxfattribs=named)
        case Text():
            turn = {"rotation": place.turn, **named}
            words = space.add_text(mark.text, height=mark.height * place.size, dxfattribs=turn)
            words.set_placement(place.at(mark.at))
        case Use():
            inner = place.inner(mark)
            scale = {"xscale": inner.size, "yscale": inner.size, "zscale": inner.size, "rotation": inner.turn}
            insert = space.add_blockref(mark.name, place.at(mark.at), dxfattribs={**named, **scale})
            for words in mark.attributes:
                height = words.height * place.size
                insert.add_attrib(words.tag, words.text, place.at(words.at), dxfattribs={"height": height, **named})
