"""The rows of everything that is dug, sawn, caged and poured, as screens, sheets and files show them.

Lengths are mm, volumes m³, masses kg, chances shares of one. Depths are below the ground, negative above it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:  # scipy loads late
    from layoutdesk.engine.concrete.over_dig import OverDig
    from layoutdesk.engine.concrete.pours import Batches
    from layoutdesk.engine.concrete.sections import Part
    from layoutdesk.engine.concrete.shortage import CountChance, Need
    from layoutdesk.engine.concrete.supply import Bag, Supply
    from layoutdesk.engine.cutting.contract import Cutting
    from layoutdesk.engine.steel.cage import Pieces
    from layoutdesk.geometry.vector import Vector


HoleVerdict = Literal["as planned", "good", "to mend", "not logged"]
"""``good`` is other than planned and may be poured so; ``to mend`` is not to be poured as it is."""


@dataclass(frozen=True, slots=True)
class SectionBar:
    """A bar in a section, as it is seen from the side: where its middle is, and its two ends as depths.

    ``across`` is from the axis of the pier, ``hook`` how far the foot stands out sideways, signed; 0 for none.
    """

    across: float
    top: float
    bottom: float
    diameter: float
    hook: float


@dataclass(frozen=True, slots=True)
class Section:
    """The section of one detail, ready to be drawn and written.

    Attributes:
        detail: its id.
        parts: from the top of the pier down, the reveal among them as the first.
        top: depth of the pier's top: the reveal with its sign turned.
        bottom: depth of the hole.
        tube: (top, bottom) depths of the form tube, its inside is the first width; None for none.
        cast_in: (top, bottom, width, kind) of what is cast in; a post goes on above its top. None for nothing.
        bars: the bars of the cage, from the left; all of them, those behind others too.
        hoops: the depths of the hoops, from the top.
        hoop_width: out to out; 0 without hoops.
        hoop_diameter: of the bar they are bent from; 0 without hoops.
        cover: (beside, at the top, at the bottom) as it comes out; None without steel.
        says: sentences about it apart from its steel: what it holds, its tube, what is cast in.
        steel_says: sentences about its steel, the good ones too: bars, cover, hoops, hooks.
        pieces_say: a sentence for each kind of piece that is cut, and one for the mass of all.
        gross_m3: what the hole and the reveal hold, nothing deducted.
        trouble: why the steel cannot be drawn or reckoned, one sentence; empty.
    """

    detail: str
    parts: tuple[Part, ...]
    top: float
    bottom: float
    tube: tuple[float, float] | None
    cast_in: tuple[float, float, float, str] | None
    bars: tuple[SectionBar, ...]
    hoops: tuple[float, ...]
    hoop_width: float
    hoop_diameter: float
    cover: tuple[float, float, float] | None
    says: tuple[str, ...]
    steel_says: tuple[str, ...]
    pieces_say: tuple[str, ...]
    gross_m3: float
    trouble: str


@dataclass(frozen=True, slots=True)
class PierSteel:
    """The steel of one pier, piece by piece; empty for a pier without any."""

    pier: str
    label: str
    detail: str | None
    kinds: tuple[Pieces, ...]
    mass: float


@dataclass(frozen=True, slots=True)
class SteelSize:
    """All pieces of one size of bar.

    ``length`` is of all pieces together; ``stock`` the lengths that are sold, and ``cutting`` how the pieces come
    out of them; None where a piece is longer than any stock, which ``says`` then tells.
    """

    size: str
    count: int
    length: float
    mass: float
    stock: tuple[float, ...]
    cutting: Cutting | None
    says: str


@dataclass(frozen=True, slots=True)
class SteelList:
    """The steel of the job.

    ``kinds`` are pieces that are alike over all piers, in the order of details; ``sizes`` what is bought; ``says``
    tells for which height bars are cut, and which details cannot be reckoned.
    """

    piers: tuple[PierSteel, ...]
    kinds: tuple[tuple[str, Pieces], ...]
    sizes: tuple[SteelSize, ...]
    mass: float
    says: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class ProductOrder:
    """What is ordered of one bag product at the chosen chance of running short."""

    bag: Bag
    supply: Supply


@dataclass(frozen=True, slots=True)
class ConcreteOrder:
    """How much concrete to order while it is not known how big the holes come out.

    Attributes:
        need: what the holes that are not poured yet may take.
        belief: how much bigger than drawn holes are reckoned to come out, with what the log has taught.
        chance: of running short that is borne.
        products: one order for every bag product, in the order of :attr:`Concrete.orders`.
        chosen: the index among them of the product that is bought.
        truck: the order from a truck; its cost is 0 while no price was asked.
        curve: of the chosen product: the chance for every count that matters, rising counts.
        batches: of the chosen product in the mixer; None while the mixer is not known or holds less than a bag.
        pours: labels of the piers, pour by pour, and what each takes on average; piers are whole.
        spoil_loose: what lies beside the holes, m³.
        says: sentences: the order, batches and water, pours and cold joints, spoil. Good and bad.
        trouble: why no order can be reckoned, one sentence; empty.
        left: labels of the piers that are still to be poured.
    """

    need: Need | None
    belief: OverDig
    chance: float
    products: tuple[ProductOrder, ...]
    chosen: int
    truck: Supply | None
    curve: tuple[CountChance, ...]
    batches: Batches | None
    pours: tuple[tuple[tuple[str, ...], float], ...]
    spoil_loose: float
    says: tuple[str, ...]
    trouble: str
    left: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SawCut:
    """One straight or round cut: its way on the plan, its length, and the passes of the blade."""

    points: tuple[Vector, ...]
    length: float
    passes: int


@dataclass(frozen=True, slots=True)
class Opening:
    """A piece sawn out of existing concrete for one pier or for several whose openings join.

    Attributes:
        id: such as ``O1``.
        slab: the id of the slab.
        piers: labels of the piers in it.
        pier_ids: their ids.
        outline: in the plan, anticlockwise, within the slab.
        area: mm².
        cuts: along the outline where it lies inside the slab; along the slab's own edge nothing is sawn.
        inner: cuts that part the piece so that it can be carried.
        saw_length: of all cuts together, one pass counted once.
        pieces: how many there are to carry.
        heaviest: the mass of the heaviest of them, kg.
        rubble: m³ of concrete that goes away.
        says: one sentence.
    """

    id: str
    slab: str
    piers: tuple[str, ...]
    pier_ids: tuple[str, ...]
    outline: tuple[Vector, ...]
    area: float
    cuts: tuple[SawCut, ...]
    inner: tuple[SawCut, ...]
    saw_length: float
    pieces: int
    heaviest: float
    rubble: float
    says: str


@dataclass(frozen=True, slots=True)
class HoleRow:
    """A hole: what was planned, what was dug, and what to do.

    Attributes:
        pier: its id.
        label: what it is called.
        planned_depth: below the ground beside it, with the frost and the lowest ground seen to; None for no detail.
        planned_top: width at the ground; None for no detail.
        planned_bottom: width at the bottom; None for no detail.
        depth: as dug; None while it is not logged, as all that follow.
        top: as dug.
        bottom: as dug.
        along: centre off along the baseline, signed.
        away: centre off away from the house, signed.
        water: how deep water stands.
        factor: dug volume over planned volume.
        extra_m3: concrete that the hole takes more than planned, negative for less.
        poured: whether it is full.
        date: when it was measured.
        by: who measured it.
        verdict: may it be poured.
        says: what is found and what to do, in one sentence or two.
    """

    pier: str
    label: str
    planned_depth: float | None
    planned_top: float | None
    planned_bottom: float | None
    depth: float | None
    top: float | None
    bottom: float | None
    along: float | None
    away: float | None
    water: float | None
    factor: float | None
    extra_m3: float | None
    poured: bool
    date: str
    by: str
    verdict: HoleVerdict
    says: str


@dataclass(frozen=True, slots=True)
class HoleCover:
    """Covers of one size: a square sheet of so many mm, the mark painted on it, and the piers it is for."""

    size: float
    mark: str
    piers: tuple[str, ...]
