"""The walk through a layout of a DXF and the blocks in it, bounded however the file is made."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from itertools import chain
from typing import Any, Final

from ezdxf.document import Drawing as Document
from ezdxf.lldxf.const import DXFError

from layoutdesk.geometry.vector import Vector
from layoutdesk.importers import dxf_passed as passed
from layoutdesk.importers.dxf_codes import whole
from layoutdesk.importers.dxf_dimensions import DIMENSIONS, DimensionReader, words_of_arc
from layoutdesk.importers.dxf_file import too_much
from layoutdesk.importers.dxf_frames import WORLD, Frame, block_frame
from layoutdesk.importers.dxf_layers import Layer, Layers
from layoutdesk.importers.dxf_plain import Plain
from layoutdesk.importers.dxf_round import Form
from layoutdesk.importers.dxf_shapes import ORIGIN, SHAPES, is_mesh
from layoutdesk.importers.dxf_words import WORDS, text
from layoutdesk.importers.linework import MOST_SHAPES, BlockUse, Drawn, Progress, Shape, Words

DEEPEST: Final = 16
FARTHEST: Final = 1e9
MOST_POINTS: Final = 3_000_000

_XREF: Final = 4 | 8
_INVISIBLE: Final = 1
_BREAKS = (DXFError, ArithmeticError, ValueError, TypeError, LookupError, AttributeError)
"""What the library and arithmetic raise over a thing that the file tells only half."""


_Attribute = tuple[dict[str, Any], Any]


@dataclass(frozen=True, slots=True)
class Inside:
    """Where the walk is: frame, use and what is inherited from the uses of blocks round it."""

    frame: Frame = WORLD
    use: int | None = None
    layer: Layer | None = None
    dashed: bool = False
    names: frozenset[str] = frozenset()


class Walk:
    """Collects what a layout draws.

    Args:
        document: the file as the library holds it.
        name: the file's name, for sentences.
        on_paper: whether the layout is a sheet of paper.
        tell: is told how much is done, from 0 to 1.
    """

    def __init__(self, document: Document, name: str, *, on_paper: bool, tell: Progress) -> None:
        self.layers = Layers(document)
        self.shapes: list[Shape] = []
        self.words: list[Words] = []
        self.drawn: list[Drawn] = []
        self.uses: list[BlockUse] = []
        self.passed = passed.PassedOver()
        self.used: set[str] = set()
        self._boxes: list[list[float]] = []
        self._document = document
        self._name = name
        self._tell = tell
        self._dimensions = DimensionReader(document, on_paper=on_paper)
        self._points = 0
        self._done = 0
        self._share = 0.0

    def run(self, plain: Iterable[Plain], entities: Iterable[Any], count: int) -> None:
        """Walk through a layout of so many things, the plain ones first.

        Raises:
            FileError: when it draws more than a plan can hold.
        """
        top = Inside()
        others = ((entity.dxftype(), vars(entity.dxf), entity) for entity in entities)
        for k, (kind, values, entity) in enumerate(chain(((kind, values, None) for kind, values in plain), others)):
            if not k % 1000:
                self._share = k / max(1, count)
                self._tell(self._share)
            self._one(kind, values, entity, top)
        self.uses = [
            replace(use, low=(box[0], box[1]), high=(box[2], box[3])) if box[0] <= box[2] else use
            for use, box in zip(self.uses, self._boxes, strict=True)
        ]

    def _one(self, kind: str, values: dict[str, Any], entity: Any, inside: Inside) -> None:
        """Read one thing, whatever it is."""
        try:
            if values.get("invisible"):
                self.passed.add(passed.NOT_SEEN)
            elif kind in SHAPES:
                self._shapes(entity, kind, values, inside)
            elif kind == "INSERT":
                self._insert(entity, values, inside)
            elif kind in WORDS:
                self._words(entity, kind, values, inside)
            elif kind in DIMENSIONS:
                self._dimension(entity, values, inside)
            elif kind == "ACAD_TABLE":
                self._table(values, inside)
            else:
                self._pass_over(entity, kind, values, inside)
        except _BREAKS:
            self.passed.add(passed.DAMAGED)

    def _layer(self, values: dict[str, Any], inside: Inside) -> Layer:
        """Return the layer that a thing shows on: a block's own layer 0 is that of its use."""
        name = values.get("layer", "0")
        outer = inside.layer
        if outer is not None and (name == "0" or outer.frozen):
            return outer
        layer = self.layers.layer(name)
        self.used.add(layer.name)
        return layer

    def _dashed(self, values: dict[str, Any], layer: Layer, inside: Inside) -> bool:
        line = values.get("linetype")
        if line is None:
            return layer.dashed
        by = line.upper()
        return (
            layer.dashed if by == "BYLAYER" else inside.dashed if by == "BYBLOCK" else self.layers.is_dashed(line)
        )

    def _shapes(self, entity: Any, kind: str, values: dict[str, Any], inside: Inside) -> None:
        if kind == "POLYLINE" and is_mesh(values):
            self.passed.kind("POLYMESH")
            return
        forms = SHAPES[kind](entity, values, inside.frame)
        layer = self._layer(values, inside)
        dashed = self._dashed(values, layer, inside)
        for form in forms:
            if form is None:
                self.passed.add(passed.NO_LENGTH)
            elif not _within(form):
                self.passed.add(passed.TOO_FAR)
            else:
                self._count(len(form.points))
                self.shapes.append(
                    Shape(
                        layer=layer.name,
                        points=form.points,
                        closed=form.closed,
                        centre=form.centre,
                        radius=form.radius,
                        use=inside.use,
                        dashed=dashed,
                    )
                )
                if inside.use is not None:
                    self._stretch(self._boxes[inside.use], form)

    def _words(self, entity: Any, kind: str, values: dict[str, Any], inside: Inside) -> None:
        found = WORDS[kind](entity, values, inside.frame)
        layer = self._layer(values, inside)
        if not found and kind == "ATTDEF" and inside.use is None:
            self.passed.kind(kind)
        self._add_words(found, layer, inside.use, "")

    def _add_words(self, found: Iterable[Words], layer: Layer, use: int | None, tag: str) -> None:
        for words in found:
            if not (
                _near(words.at) and words.height < FARTHEST and words.width < FARTHEST and math.isfinite(words.turn)
            ):
                self.passed.add(passed.TOO_FAR)
                continue
            self._count(1)
            self.words.append(
                Words(
                    text=words.text,
                    at=words.at,
                    height=words.height,
                    width=words.width,
                    turn=words.turn,
                    layer=layer.name,
                    use=use,
                    tag=tag,
                )
            )

    def _dimension(self, entity: Any, values: dict[str, Any], inside: Inside) -> None:
        drawn = self._dimensions.read(entity, inside.frame, self._layer(values, inside).name)
        if drawn is None:
            self.passed.add(passed.NO_MEASURE)
        elif not (_near(drawn.start) and _near(drawn.end) and _near((drawn.factor, drawn.along or 0.0))):
            self.passed.add(passed.TOO_FAR)
        else:
            self._count(2)
            # Where its line and its text stand is worth something only where it can be.
            line_at = drawn.line_at if drawn.line_at and _near(drawn.line_at) else None
            middle = drawn.middle if drawn.middle and _near(drawn.middle) else None
            self.drawn.append(replace(drawn, line_at=line_at, middle=middle))

    def _pass_over(self, entity: Any, kind: str, values: dict[str, Any], inside: Inside) -> None:
        if kind == "VIEWPORT" and values.get("id", 0) == 1:
            return  # every sheet has one for itself
        self.passed.kind(kind)
        if kind == "ARC_DIMENSION":
            self._add_words(words_of_arc(entity, self._dimensions), self._layer(values, inside), inside.use, "")

    def _table(self, values: dict[str, Any], inside: Inside) -> None:
        """Read a table through the block that shows it."""
        self._block(str(values.get("geometry", "")), {"insert": values.get("insert", ORIGIN)}, inside, ())

    def _insert(self, entity: Any, values: dict[str, Any], inside: Inside) -> None:
        if entity is None:
            attributes = [(attribute, None) for attribute in values.get("attributes", ())]
        else:
            attributes = [(vars(attribute.dxf), attribute) for attribute in entity.attribs]
        self._block(str(values.get("name", "")), values, inside, attributes)

    def _block(self, name: str, values: dict[str, Any], inside: Inside, attributes: Iterable[_Attribute]) -> None:
        """Draw what a block holds, once or as an array, and the attributes of its use."""
        layer = self._layer(values, inside)
        block: Any = self._document.blocks.get(name)
        if block is None:
            self.passed.add(passed.MISSING_BLOCK)
            return
        head = vars(block.block.dxf)
        if head.get("flags", 0) & _XREF:
            other = whole(str(head.get("xref_path", "") or name)).replace("\\", "/").rpartition("/")[2]
            self.passed.add((f"uses of the other drawing “{other[:60]}”", "it is another file and not in this one"))
            return
        key = name.lower()
        if key in inside.names:
            self.passed.add(passed.IN_ITSELF)
            return
        if len(inside.names) >= DEEPEST:
            self.passed.add(passed.TOO_DEEP)
            return
        columns, rows = max(1, values.get("column_count", 1)), max(1, values.get("row_count", 1))
        self._count(columns * rows, ahead=True)
        dashed = self._dashed(values, layer, inside)
        names = inside.names | {key}
        first = len(self.uses)
        for row in range(rows):
            for column in range(columns):
                cell = (column * values.get("column_spacing", 0.0), row * values.get("row_spacing", 0.0))
                frame = _frame(values, head.get("base_point", ORIGIN), inside.frame, cell)
                use = self._use(block.name, layer, frame, head.get("base_point", ORIGIN), inside.use)
                if use is None:
                    self.passed.add(passed.TOO_FAR)
                    continue
                deeper = Inside(frame, use, layer, dashed, names)
                for entity in block:
                    self._one(entity.dxftype(), vars(entity.dxf), entity, deeper)
        for worth, attribute in attributes:
            self._attribute(worth, attribute, inside, layer, use=first if first < len(self.uses) else None)

    def _attribute(
        self, values: dict[str, Any], attribute: Any, inside: Inside, outer: Layer, *, use: int | None
    ) -> None:
        if values.get("flags", 0) & _INVISIBLE or values.get("invisible"):
            self.passed.add(passed.HIDDEN)
            return
        layer = outer if outer.frozen or values.get("layer", "0") == "0" else self._layer(values, inside)
        found = text(attribute, values, inside.frame)
        if attribute is not None and attribute.has_embedded_mtext_entity:
            paragraph = attribute.virtual_mtext_entity()
            found = WORDS["MTEXT"](paragraph, vars(paragraph.dxf), inside.frame)
        self._add_words(found, layer, use, whole(str(values.get("tag", ""))))

    def _use(self, name: str, layer: Layer, frame: Frame, base: Any, outer: int | None) -> int | None:
        """Note one use of a block; return its index, None when it lies nowhere."""
        self._count(1)
        x, y = frame.way(1.0, 0.0), frame.way(0.0, 1.0)
        wide = math.hypot(*x)
        tall = (x[0] * y[1] - x[1] * y[0]) / wide if wide else 0.0
        at = frame.plan(*base)
        if not (_near(at) and wide < FARTHEST and abs(tall) < FARTHEST):
            return None
        self.uses.append(
            BlockUse(
                name=whole(name),
                layer=layer.name,
                at=at,
                turn=math.degrees(math.atan2(x[1], x[0])),
                scale=(wide, tall),
                inside=outer,
                low=at,
                high=at,
            )
        )
        self._boxes.append([math.inf, math.inf, -math.inf, -math.inf])
        return len(self.uses) - 1

    def _count(self, points: int, *, ahead: bool = False) -> None:
        """Count one more thing of so many points, and end where no plan goes on; ahead: before it is drawn."""
        self._done += not ahead
        self._points += 0 if ahead else points
        many = self._done + (points if ahead else 0)
        if many > MOST_SHAPES or self._points > MOST_POINTS:
            raise too_much(self._name)
        if not self._done % 5000:
            self._tell(self._share)

    @staticmethod
    def _stretch(box: list[float], form: Form) -> None:
        """Make a box hold a form."""
        if form.centre is not None and not form.points:
            (x, y), r = form.centre, form.radius
            spots: tuple[Vector, ...] = ((x - r, y - r), (x + r, y + r))
        else:
            spots = form.points
        for x, y in spots:
            box[0], box[1] = min(box[0], x), min(box[1], y)
            box[2], box[3] = max(box[2], x), max(box[3], y)


def _frame(values: dict[str, Any], base: Any, outer: Frame, cell: Vector) -> Frame:
    return block_frame(
        outer,
        at=values.get("insert", ORIGIN),
        base=base,
        scale=(values.get("xscale", 1.0), values.get("yscale", 1.0), values.get("zscale", 1.0)),
        turn=values.get("rotation", 0.0),
        extrusion=values.get("extrusion"),
        cell=cell,
    )


def _near(place: Vector) -> bool:
    """Return whether a place is finite and not out of this world."""
    return -FARTHEST < place[0] < FARTHEST and -FARTHEST < place[1] < FARTHEST


def _within(form: Form) -> bool:
    if form.centre is not None and not (_near(form.centre) and form.radius < FARTHEST):
        return False
    return all(-FARTHEST < x < FARTHEST and -FARTHEST < y < FARTHEST for x, y in form.points)
