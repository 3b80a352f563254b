"""Hypothesis strategies that every property shares: lengths, names and whole plans."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from hypothesis import strategies as st

from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.model import (
    ATTACHMENT_KINDS,
    CONTROL_TRUSTS,
    HOUSE_CHOICES,
    KEEPOUT_KINDS,
    PAPERS,
    SIDES,
    TAKEN_CLASSES,
    TAPE_CLASSES,
    TAPE_KINDS,
    WRITTEN_KINDS,
    Attachment,
    Baseline,
    Bay,
    BeamLine,
    Chain,
    Control,
    Extra,
    Keepout,
    Pier,
    Plan,
    ProofSettings,
    Slab,
    SpotHeight,
    Tape,
    TapeAtHand,
    TapeKind,
    Underlay,
    Wall,
    Written,
)
from layoutdesk.plan.rules import wrong_map
from layoutdesk.units import UNITS
from tests.hole_strategies import bags, details, holes
from tests.level_strategies import heights, levels

_PRINTABLE = st.characters(categories=("L", "M", "N", "P", "S"))

coordinates = st.one_of(
    st.integers(-6400, 6400).map(lambda n: n * 1.5875),
    st.integers(-20_000, 20_000).map(float),
    st.floats(-20_000, 20_000),
)
"""Where things on a site are, in millimetres: whole sixteenths, whole millimetres, and anything."""

far_coordinates = st.one_of(coordinates, st.floats(-1e7, 1e7))
"""Any coordinate that a plan may hold."""

places: st.SearchStrategy[Vector] = st.tuples(coordinates, coordinates)
"""Points on a site."""

lengths = st.one_of(st.integers(1, 6400).map(lambda n: n * 1.5875), st.floats(1.0, 20_000.0))
"""Lengths of more than nothing."""

names = st.text(_PRINTABLE, min_size=1, max_size=40)
"""Ids and marks that a plan may hold."""

texts = st.text(st.one_of(_PRINTABLE, st.just(" ")), max_size=60)
"""Titles and the like."""

json_values: st.SearchStrategy[Any] = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False, allow_infinity=False) | st.text(),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner, max_size=3),
    max_leaves=6,
)
"""Anything that JSON can say."""


def extras() -> st.SearchStrategy[Extra]:
    """Return keys that no version knows, mostly none at all."""
    keys = st.text(max_size=8).map(lambda text: f"x-{text}")
    some = st.dictionaries(keys, json_values, min_size=1, max_size=2).map(lambda entry: tuple(entry.items()))
    return st.one_of(st.just(()), st.just(()), st.just(()), some)


profiles = st.lists(st.tuples(st.floats(0, 3000), st.floats(1, 2000)), min_size=1, max_size=6).map(
    lambda pairs: tuple(sorted(pairs, key=lambda pair: pair[0]))
)
"""Profiles of (depth, diameter), steps among them."""


def _outlines(points: st.SearchStrategy[Vector]) -> st.SearchStrategy[tuple[Vector, ...]]:
    return st.lists(points, min_size=3, max_size=6).map(tuple)


def maybe(ids: Sequence[str]) -> st.SearchStrategy[str | None]:
    """Return one of some ids, or None."""
    return st.none() | st.sampled_from(ids) if ids else st.none()


@st.composite
def plans(draw: st.DrawFn, *, near: bool = False, most: int = 6) -> Plan:
    """Return whole plans that can be saved: degenerate ones among them, and ones with unknown keys.

    Args:
        draw: hypothesis's own.
        near: keep to the size of a building site, and leave out unknown keys: for properties of numbers.
        most: how many there are at most of each kind of piece.
    """
    axis = coordinates if near else far_coordinates
    point = st.tuples(axis, axis)
    extra = st.just(()) if near else extras()
    tail = draw(st.just("") | st.text(_PRINTABLE, max_size=6))

    def ids(prefix: str, most: int = most) -> list[str]:
        return [f"{prefix}{n}{tail}" for n in range(1, draw(st.integers(0, most)) + 1)]

    walls = [
        Wall(
            id=i,
            points=tuple(draw(st.lists(point, min_size=2, max_size=5))),
            house_side=draw(st.sampled_from(SIDES)),
            extra=draw(extra),
        )
        for i in ids("W")
    ]
    attachments = [
        Attachment(id=i, at=draw(point), kind=draw(st.sampled_from(ATTACHMENT_KINDS)), extra=draw(extra))
        for i in ids("A")
    ]
    controls = [Control(id=i, at=draw(point), measured=draw(st.booleans()), extra=draw(extra)) for i in ids("C")]
    sections = [draw(details(i, profiles, extra, names)) for i in ids("D")]
    lines = [
        BeamLine(
            id=i,
            start=draw(point),
            end=draw(point),
            attachment=draw(maybe([a.id for a in attachments])),
            extra=draw(extra),
        )
        for i in ids("L")
    ]
    piers = [
        Pier(
            id=i,
            at=draw(point),
            line=draw(maybe([line.id for line in lines])),
            detail=draw(maybe([d.id for d in sections])),
            mark=draw(st.just("") | names),
            extra=draw(extra),
        )
        for i in ids("P")
    ]
    spots = [
        SpotHeight(id=i, at=draw(point), elevation=draw(st.none() | heights), extra=draw(extra)) for i in ids("G")
    ]
    corners = [*(p.id for p in piers), *(a.id for a in attachments)]
    stops = [*corners, *(c.id for c in controls)]
    units = draw(st.sampled_from(UNITS))
    return Plan(
        title=draw(texts),
        units=units,
        rounding=draw(st.sampled_from((1.0, 1.5875, 0.396875, 3.175)) | st.floats(1e-6, 1000)),
        issue=draw(texts),
        date=draw(texts),
        paper=draw(st.sampled_from(PAPERS)),
        walls=tuple(walls),
        attachments=tuple(attachments),
        baseline=draw(
            st.none()
            | st.builds(Baseline, origin=point, toward=point, yard_side=st.sampled_from(SIDES), extra=extra)
        ),
        controls=tuple(controls),
        lines=tuple(lines),
        piers=tuple(piers),
        details=tuple(sections),
        slabs=tuple(
            Slab(id=i, outline=draw(_outlines(point)), thickness=draw(st.floats(1, 500)), extra=draw(extra))
            for i in ids("S")
        ),
        keepouts=tuple(
            Keepout(
                id=i, outline=draw(_outlines(point)), kind=draw(st.sampled_from(KEEPOUT_KINDS)), extra=draw(extra)
            )
            for i in ids("K")
        ),
        bays=_bays(draw, ids("B"), corners, extra),
        spots=tuple(spots),
        tapes=_tapes(draw, stops, extra),
        levels=levels(draw, [*stops, *(s.id for s in spots)], lines, piers, extra=extra, names=names),
        tape_at_hand=draw(
            st.builds(TapeAtHand, length=st.floats(1, 1e6), tape_class=st.sampled_from(TAPE_CLASSES), extra=extra)
        ),
        bags=tuple(draw(st.lists(bags(extra, names), max_size=2))),
        holes=holes(draw, [p.id for p in piers], units, extra, texts),
        written=_written(draw, ids("N", 1), stops, point, extra),
        chains=_chains(draw, ids("H", 1), stops, point, extra),
        underlays=tuple(draw(_underlays(i, extra)) for i in ids("U", 1)),
        proof=draw(_proof([a.id for a in attachments], extra)),
        extra=draw(extra),
    )


def _bays(draw: st.DrawFn, ids: list[str], corners: list[str], extra: st.SearchStrategy[Extra]) -> tuple[Bay, ...]:
    if len(corners) < 4:
        return ()
    four = st.lists(st.sampled_from(corners), min_size=4, max_size=4, unique=True)
    return tuple(Bay(id=i, corners=(c[0], c[1], c[2], c[3]), extra=draw(extra)) for i in ids for c in [draw(four)])


def _tapes(draw: st.DrawFn, stops: list[str], extra: st.SearchStrategy[Extra]) -> tuple[Tape, ...]:
    if len(stops) < 2:
        return ()
    return tuple(draw(_tape(stops, extra)) for _ in range(draw(st.integers(0, 3))))


@st.composite
def _tape(draw: st.DrawFn, stops: list[str], extra: st.SearchStrategy[Extra]) -> Tape:
    """Return a measure of any kind, with any corrections that it may have."""
    kind: TapeKind = draw(st.sampled_from(TAPE_KINDS if len(stops) > 2 else TAPE_KINDS[:1]))
    count = 2 if kind == "distance" else 3
    points = draw(st.lists(st.sampled_from(stops), min_size=count, max_size=count, unique=True))
    size = st.floats(0.001, 1e5)
    distance: dict[TapeKind, st.SearchStrategy[float]] = {
        "distance": size,
        "square": size | size.map(lambda length: -length),
        "string": st.just(0.0) | st.floats(-500, 500),
        "right angle": st.just(90.0) | st.floats(1, 179),
    }
    taped = draw(distance[kind])
    tape_class = draw(st.sampled_from(TAKEN_CLASSES))
    own = st.tuples(st.floats(0.01, 10), st.floats(0, 10))
    legs = st.tuples(st.floats(300, 5000), st.floats(300, 5000))
    # A rise that leaves something of the length whatever temperature and pull take from it.
    rises = st.none() | st.floats(-0.5, 0.5).map(lambda share: share * taped)
    rise = draw(rises)
    return Tape(
        start=points[0],
        end=points[1],
        distance=taped,
        tape_class=tape_class,
        kind=kind,
        third=points[2] if count == 3 else None,
        own=draw(own) if tape_class == "own" else None,
        legs=draw(legs) if kind == "right angle" or (kind == "square" and draw(st.booleans())) else None,
        rise=rise,
        slope=draw(st.none() | st.floats(-45, 45)) if rise is None else None,
        temperature=draw(st.none() | st.floats(-20, 50)),
        pull=draw(st.none() | st.floats(0, 200)),
        section=draw(st.none() | st.floats(1, 10)),
        extra=draw(extra),
    )


def _proof(attachments: list[str], extra: st.SearchStrategy[Extra]) -> st.SearchStrategy[ProofSettings]:
    """Return settings of the proof; one attachment is held only where there is one."""

    def settled(held: str | None) -> st.SearchStrategy[ProofSettings]:
        free = HOUSE_CHOICES[:2]
        return st.builds(
            ProofSettings,
            control=st.sampled_from(CONTROL_TRUSTS),
            control_deviation=st.floats(0.1, 20),
            tolerance=st.floats(1, 100),
            house=st.sampled_from(free) if held is None else st.just(HOUSE_CHOICES[2]),
            held_attachment=st.just(held),
            exaggeration=st.floats(1, 200),
            read_to=st.sampled_from((0.0, 1.0, 1.5875)),
            extra=extra,
        )

    return st.just(ProofSettings()) | maybe(attachments).flatmap(settled)


_steps = st.just(0.0) | st.sampled_from((25.4, 1.5875, 10.0)) | st.floats(0, 1000)


def _written(
    draw: st.DrawFn,
    ids: list[str],
    stops: list[str],
    point: st.SearchStrategy[Vector],
    extra: st.SearchStrategy[Extra],
) -> tuple[Written, ...]:
    return tuple(
        Written(
            id=i,
            start=draw(point),
            end=draw(point),
            value=draw(lengths),
            kind=draw(st.sampled_from(WRITTEN_KINDS)),
            along=draw(st.none() | st.sampled_from((0.0, 90.0)) | st.floats(-360, 360)),
            text=draw(texts),
            step=draw(_steps),
            start_on=draw(maybe(stops)),
            end_on=draw(maybe(stops)),
            extra=draw(extra),
        )
        for i in ids
    )


def _chains(
    draw: st.DrawFn,
    ids: list[str],
    stops: list[str],
    point: st.SearchStrategy[Vector],
    extra: st.SearchStrategy[Extra],
) -> tuple[Chain, ...]:
    about = st.lists(st.sampled_from(stops), max_size=3).map(tuple) if stops else st.just(())
    return tuple(
        Chain(
            id=i,
            parts=tuple(draw(st.lists(lengths, min_size=1, max_size=4))),
            overall=draw(st.none() | lengths),
            start=draw(st.none() | point),
            end=draw(st.none() | point),
            about=draw(about),
            text=draw(texts),
            step=draw(_steps),
            extra=draw(extra),
        )
        for i in ids
    )


def _underlays(name: str, extra: st.SearchStrategy[Extra]) -> st.SearchStrategy[Underlay]:
    size = st.floats(1, 1e5)
    share = st.floats(-1e6, 1e6)
    rows = st.tuples(*[share] * 9).filter(lambda rows: wrong_map(rows) is None)
    return st.builds(
        Underlay,
        id=st.just(name),
        file=names,
        size=st.tuples(size, size),
        to_plan=rows,
        page=st.integers(0, 9),
        strength=st.floats(0, 1),
        locked=st.booleans(),
        shown=st.booleans(),
        extra=extra,
    )
