"""The proof on the sheet: tapes, planned and staked places, moves as arrows, and ellipses, all drawn larger."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QLineF, QPointF, QRectF
from PySide6.QtGui import QPainter, QPolygonF

from layoutdesk.desk.canvas.names import Writer
from layoutdesk.desk.canvas.scene import Scene
from layoutdesk.desk.canvas.staked import MARK_PX, Staked, stakes_in_picture
from layoutdesk.desk.canvas.strokes import fill, halfway, pen, stroke
from layoutdesk.desk.theme import Theme, colour
from layoutdesk.units import format_small

if TYPE_CHECKING:
    from layoutdesk.engine.proof.entries import Proof, ProofTape, Verdict

MOST_WRITTEN: Final = 60
"""With more stakes than this, lengths are written only beside moves that were cut short."""
_HEAD: Final = 8.0


def paint_proof_tapes(painter: QPainter, scene: Scene) -> None:
    """Paint every tape as a thin line between planned places, and suspect ones thick and broken with a triangle."""
    proof = scene.proof
    if proof is None:
        return
    places = {p.id: scene.camera.to_screen(p.planned) for p in proof.points}
    plain = halfway(scene.theme.check, scene.theme.paper)
    stroke(painter, pen(plain, 1.1))
    painter.drawLines([line for tape in proof.tapes if not tape.suspect for line in _lines(places, tape)])
    stroke(painter, pen(scene.theme.look, 2.4, (9, 5)))
    for tape in proof.tapes:
        if tape.suspect:
            for line in _lines(places, tape):
                painter.drawLine(line)


def _lines(places: dict[str, QPointF], tape: ProofTape) -> Iterator[QLineF]:
    ends = (tape.start, tape.end) if tape.kind != "right angle" else (tape.end, tape.start, tape.third or "")
    for a, b in pairwise(ends):
        if a in places and b in places:
            yield QLineF(places[a], places[b])


def paint_proof(painter: QPainter, scene: Scene, writer: Writer) -> None:
    """Paint ellipses, moves and stakes over the piers, the tape that is shown, and how much larger it all is."""
    _shown_tape(painter, scene, writer)
    proof = scene.proof
    if proof is None:
        return
    stakes = stakes_in_picture(scene)
    _ellipses(painter, scene, stakes)
    _moves(painter, scene, stakes)
    _marks(painter, scene, stakes)
    write = len(proof.points) <= MOST_WRITTEN
    for stake in stakes:
        if stake.cut or (write and stake.point.verdict == "move"):
            _write_move(scene, stake, writer)
    _triangles(painter, scene, proof)
    _say_factor(painter, scene, scene.plan.proof.exaggeration)


def _ellipses(painter: QPainter, scene: Scene, stakes: Sequence[Staked]) -> None:
    """Paint the 95 % ellipses round the staked places, as much larger as the moves are."""
    size = scene.camera.scale * scene.plan.proof.exaggeration
    right, down = scene.camera.right, scene.camera.down
    painter.setBrush(colour(scene.theme.check, 0.10))
    painter.setPen(pen(scene.theme.check, 1.3))
    before = painter.transform()
    for stake in stakes:
        point = stake.point
        if stake.stands is None or not math.isfinite(point.semi_major + point.semi_minor):
            continue
        if point.semi_major * size < MARK_PX:
            continue  # it lies under the mark
        turn = math.radians(point.turn)
        x, y = math.cos(turn), math.sin(turn)
        on_screen = math.degrees(math.atan2(x * down[0] + y * down[1], x * right[0] + y * right[1]))
        painter.translate(stake.stands)
        painter.rotate(on_screen)
        painter.drawEllipse(QPointF(0, 0), point.semi_major * size, point.semi_minor * size)
        painter.setTransform(before)


def _moves(painter: QPainter, scene: Scene, stakes: Sequence[Staked]) -> None:
    """Paint the moves: dots to what is left where it stands, arrows to where the others belong."""
    theme = scene.theme
    left = [QLineF(s.at, s.stands) for s in stakes if s.stands is not None and s.point.verdict == "leave"]
    stroke(painter, pen(_ink(theme, "leave"), 1.2, (2, 2)))
    painter.drawLines(left)
    for stake in stakes:
        if stake.stands is not None and stake.point.verdict != "leave":
            _arrow(painter, stake.stands, stake.at, _ink(theme, stake.point.verdict), theme, broken=stake.cut)


def _marks(painter: QPainter, scene: Scene, stakes: Sequence[Staked]) -> None:
    """Paint both places of every stake: the planned one hollow, so that what is filled is what stands."""
    theme = scene.theme
    by_verdict: dict[Verdict, list[Staked]] = {}
    for stake in stakes:
        if stake.stands is None:
            _lost(painter, scene, stake.at)
        else:
            by_verdict.setdefault(stake.point.verdict, []).append(stake)
    for verdict, some in by_verdict.items():
        ink = _ink(theme, verdict)
        painter.setBrush(colour(theme.paper))
        painter.setPen(pen(ink, 1.8))
        for stake in some:
            painter.drawEllipse(stake.at, MARK_PX - 0.8, MARK_PX - 0.8)
        painter.setBrush(colour(ink))
        painter.setPen(pen(theme.paper, 1.2))
        for stake in some:
            if stake.stands is not None:
                _mark(painter, stake.stands, verdict)


def _write_move(scene: Scene, stake: Staked, writer: Writer) -> None:
    """Write how far a stake is to be moved, where that hides neither its mark nor its arrow."""
    if stake.stands is None or not scene.area.contains(stake.at):
        return
    words = format_small(stake.point.out, scene.plan.units, scene.plan.rounding)
    words = f"{words}, drawn shorter" if stake.cut else words
    stands, drawn = stake.stands, stake.stands - stake.at
    size = scene.lettering.width(words, 11, "bold") / 2 + 18
    # Beyond the stake first, where the arrow is not.
    far = max(math.hypot(drawn.x(), drawn.y()), 1e-9)
    spots = [stands + QPointF(drawn.x() / far * size, drawn.y() / far * 20)]
    ways = ((1, -14), (-1, -14), (1, 16), (-1, 16), (0, 24), (0, -24), (1.4, 0), (-1.4, 0), (1, -34), (-1, -34))
    spots += [stands + QPointF(x * size, y) for x, y in (*ways, (1, 36), (-1, 36), (0, 44), (0, -44))]
    ink = _ink(scene.theme, stake.point.verdict)
    writer.pill(spots, words, edge=ink, ink=ink, pixels=11)


def _ink(theme: Theme, verdict: Verdict) -> str:
    return {"leave": theme.holds, "move": theme.wrong, "within the tapes": theme.look}.get(verdict, theme.soft)


def _mark(painter: QPainter, at: QPointF, verdict: Verdict) -> None:
    """Paint a staked place: a disc to leave, a square to move, a diamond where the tapes cannot tell."""
    r = MARK_PX
    if verdict == "move":
        painter.drawRect(QRectF(at.x() - r, at.y() - r, 2 * r, 2 * r))
    elif verdict == "within the tapes":
        r *= 1.35
        ways = (QPointF(0, -r), QPointF(r, 0), QPointF(0, r), QPointF(-r, 0))
        painter.drawPolygon(QPolygonF([at + way for way in ways]))
    else:
        painter.drawEllipse(at, r, r)


def _arrow(painter: QPainter, start: QPointF, end: QPointF, ink: str, theme: Theme, *, broken: bool) -> None:
    """Paint the move: from where the stake stands to where it belongs; broken where it was cut short."""
    line = QLineF(start, end)
    if line.length() < 2 * MARK_PX + 2:
        return
    for width, name in ((4.6, theme.paper), (2.2, ink)):
        stroke(painter, pen(name, width, (6, 4) if broken else ()))
        painter.drawLine(line)
    unit = (end - start) / line.length()
    tip, side = end - unit * (MARK_PX + 0.5), QPointF(-unit.y(), unit.x())
    back = tip - unit * _HEAD
    fill(painter, ink)
    painter.drawPolygon(QPolygonF([tip, back + side * (_HEAD * 0.5), back - side * (_HEAD * 0.5)]))


def _lost(painter: QPainter, scene: Scene, at: QPointF) -> None:
    """Paint a stake whose place the tapes do not say: hollow, with a question mark."""
    painter.setBrush(colour(scene.theme.paper))
    painter.setPen(pen(scene.theme.soft, 1.6, (3, 2)))
    painter.drawEllipse(at, 8.5, 8.5)
    scene.lettering.write(painter, at, "?", 12, scene.theme.soft, weight="bold", anchor="middle")


def _triangles(painter: QPainter, scene: Scene, proof: Proof) -> None:
    """Set a triangle on every suspect tape, so that its colour is not its only sign."""
    places = {p.id: scene.camera.to_screen(p.planned) for p in proof.points}
    for tape in proof.tapes:
        if not tape.suspect:
            continue
        for line in _lines(places, tape):
            middle = line.pointAt(0.44)
            r = 9.0
            shape = [middle + QPointF(0, -r), middle + QPointF(r, r * 0.8), middle + QPointF(-r, r * 0.8)]
            painter.setBrush(colour(scene.theme.paper))
            painter.setPen(pen(scene.theme.look, 2.0))
            painter.drawPolygon(QPolygonF(shape))
            at = middle + QPointF(0, 2)
            scene.lettering.write(painter, at, "!", 11, scene.theme.look, weight="bold", anchor="middle")


def _shown_tape(painter: QPainter, scene: Scene, writer: Writer) -> None:
    """Paint the tape that is worth taking next from point to point, with what it is planned to read."""
    if scene.tape is None or scene.layout is None:
        return
    points = scene.layout.points
    try:
        a, b = (points[points.index(i)].at for i in scene.tape)
    except KeyError:
        return
    line = QLineF(scene.camera.to_screen(a), scene.camera.to_screen(b))
    stroke(painter, pen(scene.theme.work, 2.4, (10, 5)))
    painter.drawLine(line)
    words = f"tape next  {scene.length(math.dist(a, b))}"
    spots = [line.pointAt(share) for share in (0.5, 0.4, 0.6, 0.3, 0.7)]
    writer.pill(spots, words, edge=scene.theme.work, ink=scene.theme.work, pixels=12)


def _say_factor(painter: QPainter, scene: Scene, factor: float) -> None:
    """Write at the foot of the sheet how much larger moves and ellipses are."""
    words = f"moves and ellipses {factor:g} times larger" if factor != 1 else "moves and ellipses to scale"
    size = scene.lettering.laid_out(words, 12, "bold").size()
    box = QRectF(0, 0, size.width() + 20, size.height() + 8)
    box.moveBottomLeft(scene.area.bottomLeft() + QPointF(10, -10))
    painter.setBrush(colour(scene.theme.paper, 0.94))
    painter.setPen(pen(scene.theme.check, 1.2))
    painter.drawRoundedRect(box, 4, 4)
    scene.lettering.write(painter, box.center(), words, 12, scene.theme.check, weight="bold", anchor="middle")
