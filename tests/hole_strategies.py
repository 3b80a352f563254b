"""Hypothesis strategies for details with all that belongs to them, and for what is dug, sawn and poured."""

from __future__ import annotations

from collections.abc import Sequence

from hypothesis import strategies as st

from layoutdesk.plan.model import (
    CAST_IN_KINDS,
    HOOK_TURNS,
    OPENING_SHAPES,
    BagProduct,
    CastIn,
    Detail,
    DigRule,
    Extra,
    HoleLog,
    Holes,
    OpeningRule,
    Steel,
    TruckRule,
)
from layoutdesk.plan.usual import usual_holes
from layoutdesk.units import Units

_BARS = ("No. 3", "No. 4", "No. 6", "8 mm", "12 mm", "20 mm")
_MONEY = st.just(0.0) | st.floats(0, 500)


def details(
    name: str,
    profiles: st.SearchStrategy[tuple[tuple[float, float], ...]],
    extra: st.SearchStrategy[Extra],
    names: st.SearchStrategy[str],
) -> st.SearchStrategy[Detail]:
    """Return details that may be square, in a tube, with something cast in and with steel, fitting or not."""
    depths = st.none() | st.floats(0, 3000)
    return st.builds(
        Detail,
        id=st.just(name),
        profile=profiles,
        reveal=st.floats(-500, 500),
        square_from=depths,
        tube=depths,
        cast_in=st.none() | _cast_in(extra),
        steel=st.none() | _steel(extra, names),
        extra=extra,
    )


def _cast_in(extra: st.SearchStrategy[Extra]) -> st.SearchStrategy[CastIn]:
    side = st.floats(10, 600)
    return st.builds(
        CastIn, kind=st.sampled_from(CAST_IN_KINDS), width=side, depth=side, foot=st.floats(1, 3000), extra=extra
    )


def _steel(extra: st.SearchStrategy[Extra], names: st.SearchStrategy[str]) -> st.SearchStrategy[Steel]:
    return st.builds(
        Steel,
        bars=st.integers(1, 12),
        bar=st.sampled_from(_BARS) | names,
        cover=st.floats(0, 200),
        cover_ends=st.floats(0, 200),
        hoop=st.just("") | st.sampled_from(_BARS),
        spacing=st.floats(10, 1000),
        first=st.floats(0, 300),
        hook=st.sampled_from(HOOK_TURNS),
        stands_out=st.just(0.0) | st.floats(0, 1000),
        lapped=st.booleans(),
        extra=extra,
    )


def bags(extra: st.SearchStrategy[Extra], names: st.SearchStrategy[str]) -> st.SearchStrategy[BagProduct]:
    """Return bag products, with masses and prices that may not be known."""
    return st.builds(
        BagProduct,
        product=names,
        yield_m3=st.floats(1e-4, 10),
        mass_kg=st.just(0.0) | st.floats(0, 60),
        price=_MONEY,
        extra=extra,
    )


def holes(
    draw: st.DrawFn,
    piers: Sequence[str],
    units: Units,
    extra: st.SearchStrategy[Extra],
    texts: st.SearchStrategy[str],
) -> Holes:
    """Return holes as dug of some of the piers, and rules that may be the usual ones."""
    if draw(st.booleans()):
        return usual_holes(units)
    logged = draw(st.lists(st.sampled_from(piers), max_size=3, unique=True)) if piers else []
    return Holes(
        log=tuple(draw(_hole(pier, extra, texts)) for pier in logged),
        dig=draw(_dig(extra)),
        truck=draw(_truck(extra)),
        openings=draw(_openings(extra)),
        extra=draw(extra),
    )


@st.composite
def _hole(draw: st.DrawFn, pier: str, extra: st.SearchStrategy[Extra], texts: st.SearchStrategy[str]) -> HoleLog:
    depth = draw(st.floats(1, 3000))
    width, off = st.floats(1, 2000), st.just(0.0) | st.floats(-300, 300)
    return HoleLog(
        pier=pier,
        depth=depth,
        top=draw(width),
        bottom=draw(width),
        along=draw(off),
        away=draw(off),
        water=draw(st.just(0.0) | st.floats(0, depth)),
        date=draw(texts),
        by=draw(texts),
        poured=draw(st.booleans()),
        extra=draw(extra),
    )


def _dig(extra: st.SearchStrategy[Extra]) -> st.SearchStrategy[DigRule]:
    share = st.none() | st.floats(0, 0.5)
    return st.just(DigRule()) | st.builds(
        DigRule,
        over_dig=share,
        own=share,
        common=share,
        ground=st.sampled_from(("common earth", "clay", "sand or gravel")),
        chance=st.floats(0.001, 0.5),
        bag=st.just("") | st.just("80 lb bag"),
        batch_m3=st.none() | st.floats(0.01, 1),
        minutes=st.floats(1, 60),
        pour_m3=st.none() | st.floats(0.1, 10),
        extra=extra,
    )


def _truck(extra: st.SearchStrategy[Extra]) -> st.SearchStrategy[TruckRule]:
    volume = st.just(0.0) | st.floats(0, 8)
    return st.builds(
        TruckRule,
        step_m3=st.floats(0.05, 1),
        price_m3=_MONEY,
        minimum_m3=volume,
        full_m3=volume,
        short_load_fee=_MONEY,
        extra=extra,
    )


def _openings(extra: st.SearchStrategy[Extra]) -> st.SearchStrategy[OpeningRule]:
    return st.builds(
        OpeningRule,
        shape=st.sampled_from(OPENING_SHAPES),
        margin=st.floats(0, 300),
        least_strip=st.floats(0, 600),
        blade=st.floats(10, 150),
        carry=st.floats(5, 200),
        extra=extra,
    )
