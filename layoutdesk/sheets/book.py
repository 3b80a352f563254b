"""The whole stake-out set: all sheets in the order in which the work goes, numbered, with the cover in front."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import groupby

from layoutdesk.engine.layout import Layout
from layoutdesk.plan.model import Paper
from layoutdesk.sheets.cards import card_sheets
from layoutdesk.sheets.column_cards import column_cards
from layoutdesk.sheets.control_sheet import control_sheets
from layoutdesk.sheets.cover_sheet import ASIDE, cover_sheet
from layoutdesk.sheets.detail_sheet import detail_sheets
from layoutdesk.sheets.frame import Draft, framed
from layoutdesk.sheets.hole_sheet import hole_sheets
from layoutdesk.sheets.level_sheet import level_sheets
from layoutdesk.sheets.marks import SheetSet
from layoutdesk.sheets.material_sheet import material_sheets
from layoutdesk.sheets.numbers import plan_text
from layoutdesk.sheets.opening_sheet import opening_sheets
from layoutdesk.sheets.order_sheet import order_sheets
from layoutdesk.sheets.paper import sheet_size
from layoutdesk.sheets.plan_sheet import plan_sheet
from layoutdesk.sheets.proof_sheet import proof_sheets
from layoutdesk.sheets.run_sheet import run_sheets
from layoutdesk.sheets.side_sheet import side_sheets
from layoutdesk.sheets.square_sheet import square_sheets
from layoutdesk.sheets.stake_sheet import stake_sheets
from layoutdesk.sheets.steel_sheet import steel_sheets
from layoutdesk.sheets.string_sheet import string_sheets
from layoutdesk.sheets.taping_sheet import taping_sheets


def stake_out_set(layout: Layout, *, paper: Paper | None = None) -> SheetSet:
    """Return all pages of a job; a section with nothing to say is left out.

    Where the house was measured, stations, tapes and the plan follow what is held; the proof keeps both.

    Args:
        layout: what follows from the plan.
        paper: ``letter`` or ``a4``; the plan's own when it is not given.
    """
    plan, site = layout.plan, layout.on_site
    paper = paper or plan.paper
    size = sheet_size(paper)
    drafts = [
        plan_sheet(site, paper),
        *control_sheets(site, size),
        *stake_sheets(site, size),
        *square_sheets(site, size),
        *level_sheets(site, size),
        *string_sheets(site, size),
        *side_sheets(site, size),
        *opening_sheets(site, size),
        *detail_sheets(layout, size),
        *hole_sheets(site, size),
        *taping_sheets(site, size),
        *proof_sheets(layout, size),
        *card_sheets(site, size),
        *run_sheets(site, size),
        *column_cards(site, size),
        *order_sheets(layout, size),
        *steel_sheets(layout, size),
        *material_sheets(layout, size),
    ]
    drafts.insert(0, cover_sheet(site, size, _contents(drafts)))
    held = _held(layout)
    pages = tuple(
        framed(draft, plan, number, len(drafts), held=held) for number, draft in enumerate(drafts, start=1)
    )
    return SheetSet(title=plan.title, subject=f"{ASIDE}, {plan_text(plan)}", pages=pages)


def _held(layout: Layout) -> str:
    """Return what is held on site, for the foot of every sheet; empty where the house was not measured."""
    if layout.house_found is None:
        return ""
    settings = layout.plan.proof
    if settings.house == "hold one attachment":
        return f"house as found, {settings.held_attachment} held"
    return f"house as found, {'design held' if settings.house == 'hold the design' else 'layout turned with it'}"


def _contents(drafts: Iterable[Draft]) -> list[tuple[str, str]]:
    """Return each section with the numbers of its sheets; the cover is sheet 1."""
    contents = []
    numbered = enumerate(drafts, start=2)
    for section, group in groupby(numbered, key=lambda entry: entry[1].section):
        sheets = [number for number, _ in group]
        place = f"sheet {sheets[0]}" if len(sheets) == 1 else f"sheets {sheets[0]} to {sheets[-1]}"
        contents.append((section, place))
    return contents
