"""Whatever a drawing holds and whatever is chosen, the plan is valid and can be worked with."""

from __future__ import annotations

import math

from hypothesis import given, settings
from hypothesis import strategies as st

from layoutdesk.engine.derive import derive
from layoutdesk.importers.linework import BlockUse, Linework, Shape, Words
from layoutdesk.importers.proposal import BECOMES, Becomes, ScaleGuess
from layoutdesk.importers.recognise import plan_of, propose
from layoutdesk.plan.validate import check

numbers = st.one_of(
    st.integers(-40, 40).map(lambda n: n * 250.0),
    st.sampled_from([0.0, 1e-9, 1e9, -1e12, math.nan, math.inf, 1e300]),
    st.floats(-2e4, 2e4),
)
points = st.tuples(numbers, numbers)
layers = st.sampled_from(["0", "A-WALL", "S-FNDN", "S-BEAM", "S-SLAB", "L-PLNT", "V-CTRL", "x"])
texts = st.one_of(
    st.sampled_from(["P1", "P1", "F-2", "TREE", "SLAB", "12", "A\x00B", "P" * 60]), st.text(max_size=5)
)


@st.composite
def shapes(draw: st.DrawFn) -> Shape:
    kind = draw(st.sampled_from(["circle", "arc", "run", "run", "square", "square"]))
    layer, use = draw(layers), draw(st.one_of(st.none(), st.integers(0, 1)))
    if kind == "circle":
        size = draw(st.sampled_from([0.0, 1.0, 150.0, 150.0, 400.0, 9e3, math.inf]))
        return Shape(layer=layer, centre=draw(points), radius=size, use=use)
    if kind == "square":
        (x, y), half = draw(points), draw(st.sampled_from([0.0, 150.0, 3000.0]))
        ring = ((x - half, y - half), (x + half, y - half), (x + half, y + half), (x - half, y + half))
        return Shape(layer=layer, points=ring, closed=True, use=use)
    run = tuple(draw(st.lists(points, min_size=1, max_size=6)))
    centre = draw(points) if kind == "arc" else None
    return Shape(
        layer=layer,
        points=run,
        closed=draw(st.booleans()),
        centre=centre,
        radius=50.0,
        use=use,
        dashed=draw(st.booleans()),
    )


lineworks = st.builds(
    Linework,
    name=st.sampled_from(["a.dxf", "", "\x07.dxf"]),
    kind=st.just("dxf"),
    unit=st.sampled_from([None, 1.0, 25.4]),
    shapes=st.lists(shapes(), max_size=14).map(tuple),
    words=st.lists(
        st.builds(
            Words,
            text=texts,
            at=points,
            height=st.sampled_from([0.0, 120.0]),
            turn=st.sampled_from([0.0, 90.0]),
            use=st.sampled_from([None, 0]),
        ),
        max_size=6,
    ).map(tuple),
    uses=st.just(
        (BlockUse(name="PIER", layer="0", at=(0.0, 0.0)), BlockUse(name="x", layer="0", at=(1e3, 0.0), inside=0))
    ),
    frozen=st.sampled_from([(), ("x",)]),
)


@settings(max_examples=150, deadline=None)
@given(lineworks, st.sampled_from(BECOMES), st.sampled_from([1.0, 25.4, 1e-6, 1e6]))
def test_a_plan_comes_of_anything(linework: Linework, becomes: Becomes, scale: float) -> None:
    proposal = propose(linework, ScaleGuess(scale=scale, why=""))
    used = [shape for c in proposal.candidates for shape in c.shapes]
    assert len(used) == len(set(used))
    for chosen in (proposal, proposal.choose(becomes, picked=range(len(proposal.candidates)))):
        plan = plan_of(chosen)
        check(plan)
        layout = derive(plan)
        assert layout.flags is not None
        assert len(plan.piers) <= chosen.count("pier")


@settings(max_examples=40, deadline=None)
@given(st.lists(shapes(), min_size=1, max_size=8))
def test_every_shape_that_can_be_shown_is_somewhere(some: list[Shape]) -> None:
    linework = Linework(
        name="a.dxf",
        kind="dxf",
        unit=1.0,
        shapes=tuple(some),
        uses=(BlockUse(name="B", layer="0", at=(0.0, 0.0)),) * 2,
    )
    used = sorted(shape for c in propose(linework, ScaleGuess(scale=1.0, why="")).candidates for shape in c.shapes)
    near = [
        i
        for i, s in enumerate(some)
        if all(math.isfinite(v) and abs(v) < 2e6 for p in (*s.points, s.centre or (0.0, 0.0)) for v in p)
        and s.radius < 1e6
    ]
    far = [
        s
        for s in some
        if any(not math.isfinite(v) or abs(v) > 2e6 for p in (*s.points, s.centre or (0.0, 0.0)) for v in p)
    ]
    if not far:
        assert used == near
