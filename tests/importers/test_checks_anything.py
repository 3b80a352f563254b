"""Whatever a drawing holds, what is made of its dimensions is a plan that can be saved, or it is passed over."""

from __future__ import annotations

import math
from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from layoutdesk.importers.checks import chains_of, check_dimensions
from layoutdesk.importers.linework import Drawn, Linework, Shape, Words
from layoutdesk.importers.scale import guess_scale
from layoutdesk.plan.model import Plan
from layoutdesk.plan.validate import check

_NUMBER = st.one_of(
    st.floats(),
    st.floats(-1e3, 1e3),
    st.sampled_from([0.0, 1e-9, 98.0, 2400.0, 1e9, -1e12, 1e300, math.inf, math.nan]),
)
_PLACE = st.tuples(_NUMBER, _NUMBER)
_TEXT = st.sampled_from((
    "8'-2\"", "2400", "3.500", "4 @ 8'-2\" = 32'-8\"", "9999 @ 1 m", "4 @ 0 = 8", "±8'", "8' MIN.", "EQ", "0", "-2",
    "", "x", "12345678 m", 'Ø12"', "\x00 8'-0\"", "1e5", "2' [610]", "8-2", "0.001", "999999999",
))  # fmt: skip
_DRAWN = st.builds(
    Drawn,
    kind=st.sampled_from(["distance", "ordinate", "diameter", "radius", "angle"]),
    start=_PLACE,
    end=_PLACE,
    measured=_NUMBER,
    text=st.one_of(_TEXT, st.text(max_size=9)),
    along=st.one_of(st.none(), _NUMBER),
    typed=st.booleans(),
    factor=_NUMBER,
    line_at=st.one_of(st.none(), _PLACE),
    middle=st.one_of(st.none(), _PLACE),
)
_SHAPE = st.builds(
    Shape,
    layer=st.just("0"),
    points=st.lists(_PLACE, max_size=5).map(tuple),
    closed=st.booleans(),
    centre=st.one_of(st.none(), _PLACE),
    radius=_NUMBER,
)
_WORDS = st.builds(Words, text=_TEXT, at=_PLACE, height=_NUMBER, width=_NUMBER, turn=_NUMBER)
_LINEWORK = st.builds(
    Linework,
    name=st.just("any"),
    kind=st.sampled_from(["dxf", "pdf"]),
    unit=st.sampled_from([None, 1.0, 25.4, 1000.0]),
    shapes=st.lists(_SHAPE, max_size=8).map(tuple),
    words=st.lists(_WORDS, max_size=8).map(tuple),
    drawn=st.one_of(st.just(()), st.lists(_DRAWN, max_size=8).map(tuple)),
)


@given(_LINEWORK)
@settings(deadline=None, max_examples=150)
def test_any_drawing(linework: Linework) -> None:
    guess = guess_scale(linework)
    assert math.isfinite(guess.scale)
    assert guess.scale > 0
    assert guess.why
    for scale in (guess.scale, 25.4):
        found = check_dimensions(linework, scale)
        written = tuple(replace(w, id=f"N{i}") for i, w in enumerate(found.written))
        chains = tuple(replace(c, id=f"H{i}") for i, c in enumerate((*found.chains, *chains_of(found.written))))
        check(Plan(written=written, chains=chains))
        assert len(found.written) == len(found.line_at)
        assert all(n.why for n in found.not_used)
