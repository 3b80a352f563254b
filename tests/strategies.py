"""Hypothesis strategies that every property shares: lengths, names, whole plans, and edits on a plan."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from hypothesis import strategies as st

from layoutdesk.geometry.vector import Vector
from layoutdesk.plan import edits
from layoutdesk.plan.model import (
    ATTACHMENT_KINDS,
    KEEPOUT_KINDS,
    PAPERS,
    SIDES,
    TAPE_CLASSES,
    WRITTEN_KINDS,
    Attachment,
    BagProduct,
    Baseline,
    Bay,
    BeamLine,
    Benchmark,
    Chain,
    Control,
    Detail,
    Extra,
    Keepout,
    Levels,
    Pier,
    Plan,
    Reading,
    Slab,
    Tape,
    TapeAtHand,
    Underlay,
    Wall,
    Written,
)
from layoutdesk.plan.rules import wrong_map
from layoutdesk.units import UNITS

Edit = Callable[[Plan], Plan]

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


def _maybe(ids: Sequence[str]) -> st.SearchStrategy[str | None]:
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
    controls = [Control(id=i, at=draw(point), extra=draw(extra)) for i in ids("C")]
    details = [
        Detail(id=i, profile=draw(profiles), reveal=draw(st.floats(-500, 500)), extra=draw(extra)) for i in ids("D")
    ]
    lines = [
        BeamLine(
            id=i,
            start=draw(point),
            end=draw(point),
            attachment=draw(_maybe([a.id for a in attachments])),
            extra=draw(extra),
        )
        for i in ids("L")
    ]
    piers = [
        Pier(
            id=i,
            at=draw(point),
            line=draw(_maybe([line.id for line in lines])),
            detail=draw(_maybe([d.id for d in details])),
            mark=draw(st.just("") | names),
            extra=draw(extra),
        )
        for i in ids("P")
    ]
    corners = [*(p.id for p in piers), *(a.id for a in attachments)]
    stops = [*corners, *(c.id for c in controls)]
    return Plan(
        title=draw(texts),
        units=draw(st.sampled_from(UNITS)),
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
        details=tuple(details),
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
        tapes=_tapes(draw, stops, extra),
        levels=draw(_levels(extra)),
        tape_at_hand=draw(
            st.builds(TapeAtHand, length=st.floats(1, 1e6), tape_class=st.sampled_from(TAPE_CLASSES), extra=extra)
        ),
        bags=tuple(
            draw(
                st.lists(
                    st.builds(BagProduct, product=names, yield_m3=st.floats(1e-4, 10), extra=extra), max_size=2
                )
            )
        ),
        written=_written(draw, ids("N", 1), stops, point, extra),
        chains=_chains(draw, ids("H", 1), stops, point, extra),
        underlays=tuple(draw(_underlays(i, extra)) for i in ids("U", 1)),
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
    two = st.lists(st.sampled_from(stops), min_size=2, max_size=2, unique=True)
    return tuple(
        Tape(
            start=start,
            end=end,
            distance=draw(st.floats(0.001, 1e5)),
            tape_class=draw(st.sampled_from(TAPE_CLASSES)),
            extra=draw(extra),
        )
        for start, end in draw(st.lists(two, max_size=3))
    )


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
            start_on=draw(_maybe(stops)),
            end_on=draw(_maybe(stops)),
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


def _levels(extra: st.SearchStrategy[Extra]) -> st.SearchStrategy[Levels]:
    marks = st.lists(
        st.builds(Benchmark, id=names, elevation=st.floats(-1e5, 1e5), extra=extra),
        max_size=2,
        unique_by=lambda mark: mark.id,
    )
    readings = st.lists(
        st.builds(
            Reading,
            setup=st.integers(0, 9),
            point=names,
            kind=st.sampled_from(("back", "fore")),
            reading=st.floats(-5000, 5000),
            extra=extra,
        ),
        max_size=3,
    )
    return st.builds(Levels, benchmarks=marks.map(tuple), readings=readings.map(tuple), extra=extra)


def edits_on(plan: Plan) -> st.SearchStrategy[Edit]:
    """Return edits that a person may try on a plan; some are refused with an EditError."""
    on_sheet = [piece.id for piece in plan.pieces()]
    lines = [line.id for line in plan.lines]
    details = [detail.id for detail in plan.details]
    choices = [*_drawing(lines, details), *_settings()]
    if on_sheet:
        choices += _on_pieces(on_sheet, [*on_sheet, *details, *(bay.id for bay in plan.bays)])
    if plan.piers:
        some = st.lists(st.sampled_from([pier.id for pier in plan.piers]), min_size=1, max_size=4)
        choices += [
            _edit(edits.assign_line, some, _maybe(lines)),
            _edit(edits.assign_detail, some, _maybe(details)),
        ]
    return st.one_of([*choices, *_on_kinds(plan)])


def _on_kinds(plan: Plan) -> list[st.SearchStrategy[Edit]]:
    """Return the edits that each suit one kind of piece, as far as the plan has such pieces."""
    attachments = [attachment.id for attachment in plan.attachments]
    corners = [*attachments, *(pier.id for pier in plan.piers)]
    choices: list[st.SearchStrategy[Edit]] = []
    if len(corners) >= 4:
        choices.append(_edit(edits.add_bay, st.lists(st.sampled_from(corners), min_size=4, max_size=4)))
    for edit, ids, values in (
        (edits.attach_line, [line.id for line in plan.lines], _maybe(attachments)),
        (edits.set_attachment_kind, attachments, st.sampled_from(ATTACHMENT_KINDS)),
        (edits.set_keepout_kind, [keepout.id for keepout in plan.keepouts], st.sampled_from(KEEPOUT_KINDS)),
        (edits.set_thickness, [slab.id for slab in plan.slabs], lengths),
        (edits.set_house_side, [wall.id for wall in plan.walls], st.sampled_from(SIDES)),
    ):
        if ids:
            choices.append(_edit(edit, st.sampled_from(ids), values))
    if plan.details:
        new = st.builds(
            Detail,
            id=st.sampled_from([detail.id for detail in plan.details]),
            profile=profiles,
            reveal=st.floats(0, 300),
        )
        choices.append(_edit(edits.replace_detail, new))
    return choices


def _edit(
    edit: Callable[..., Plan],
    *given: st.SearchStrategy[Any],
    **options: st.SearchStrategy[Any],
) -> st.SearchStrategy[Edit]:
    """Return an edit with drawn arguments, as the desk would hand it to the document."""
    return st.builds(
        lambda args, kwargs: lambda plan: edit(plan, *args, **kwargs),
        st.tuples(*given),
        st.fixed_dictionaries(options),
    )


def _drawing(lines: list[str], details: list[str]) -> list[st.SearchStrategy[Edit]]:
    rings = st.lists(places, min_size=3, max_size=5)
    runs = st.lists(lengths, min_size=1, max_size=4)
    return [
        _edit(edits.add_wall, st.lists(places, min_size=2, max_size=4), house_side=st.sampled_from(SIDES)),
        _edit(edits.add_attachment, places, kind=st.sampled_from(ATTACHMENT_KINDS)),
        _edit(edits.add_control, places),
        _edit(edits.add_line, places, places),
        _edit(edits.add_pier, places, line=_maybe(lines), detail=_maybe(details)),
        _edit(edits.add_row, places, places, runs, detail=_maybe(details)),
        _edit(edits.add_grid, places, places, runs, st.lists(lengths, max_size=2)),
        _edit(edits.add_slab, rings, thickness=lengths),
        _edit(edits.add_keepout, rings, kind=st.sampled_from(KEEPOUT_KINDS)),
        _edit(edits.add_detail, profiles, reveal=st.floats(0, 300)),
    ]


def _settings() -> list[st.SearchStrategy[Edit]]:
    return [
        _edit(edits.set_baseline, places, places, yard_side=st.sampled_from(SIDES)),
        _edit(edits.flip_baseline),
        _edit(edits.clear_baseline),
        _edit(edits.set_title, texts),
        _edit(edits.set_units, st.sampled_from(UNITS)),
        _edit(edits.set_rounding, st.floats(0.1, 10)),
        _edit(edits.set_paper, st.sampled_from(PAPERS)),
        _edit(edits.set_tape_at_hand, lengths, st.sampled_from(TAPE_CLASSES)),
        _edit(edits.set_issue, texts),
        _edit(edits.set_date, texts),
        _edit(edits.set_bags, st.lists(st.builds(BagProduct, product=names, yield_m3=st.floats(0, 1)), max_size=2)),
    ]


def _on_pieces(on_sheet: list[str], named: list[str]) -> list[st.SearchStrategy[Edit]]:
    one = st.sampled_from(on_sheet)
    some = st.lists(one, min_size=1, max_size=5).map(tuple)
    return [
        _edit(edits.move, some, places),
        _edit(edits.move_place, one, st.integers(0, 3), places),
        _edit(edits.copy, some, places),
        _edit(edits.mirror, some, places, places, keep=st.booleans()),
        _edit(edits.turn, some, places, st.floats(-360, 360)),
        _edit(edits.delete, st.lists(st.sampled_from(named), max_size=3)),
        _edit(edits.align, some, by=st.sampled_from(("station", "offset"))),
        _edit(edits.space_equally, some),
        _edit(edits.set_station_offset, one, coordinates, coordinates),
        _edit(
            edits.set_distance,
            one,
            one,
            lengths,
            sets=st.sampled_from(("spacing", "row", "overall", "from wall", "side")),
        ),
        _edit(
            edits.set_equal_distances,
            st.lists(st.tuples(one, one), min_size=1, max_size=4),
            lengths,
            sets=st.sampled_from(("spacing", "row")),
            beyond=st.lists(one, max_size=2),
        ),
        _edit(edits.rename, st.sampled_from(named), names),
    ]
