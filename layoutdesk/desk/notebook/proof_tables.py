"""Tables of what the proof says: the stakes with their moves, and the bays, worst first."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Final

from layoutdesk.desk.dress import Dress
from layoutdesk.desk.notebook.cards import sentence
from layoutdesk.desk.notebook.lengths import LengthText
from layoutdesk.desk.notebook.proof_words import bay_ids, bay_verdict, move_along, move_away
from layoutdesk.desk.notebook.table import Column, NumbersTable, RowTable

if TYPE_CHECKING:
    from layoutdesk.engine.proof.entries import BayVerdict, ProofPoint

_FIRST: Final = {False: 0, None: 1, True: 2}
"""Bays that are out come first, then those of which it cannot be told."""


class StakesTable(NumbersTable):
    """The stakes and what to do with each; under it the sentence on the one that is picked."""

    def __init__(self, dress: Dress) -> None:
        super().__init__("Stakes and their moves", dress, many=False)
        self.says = sentence()
        self.says.hide()

    def show_points(self, points: Sequence[ProofPoint], text: LengthText, picked: Sequence[str]) -> None:
        """Show the stakes in the order of the plan."""
        self.show_rows(
            [p.id for p in points],
            (
                Column("stake", lambda r: points[r].label, bold=True, tip=lambda r: points[r].says),
                Column("along", lambda r: move_along(points[r], text), right=True, tip=lambda r: points[r].says),
                Column("away", lambda r: move_away(points[r], text), right=True, tip=lambda r: points[r].says),
                Column("verdict", lambda r: points[r].verdict, bold=True, tip=lambda r: points[r].says),
            ),
        )
        self.light(picked)
        row = next((p for p in points if p.id in picked), None)
        self.says.setText(row.says if row else "")
        self.says.setVisible(row is not None)


class BaysTable(RowTable):
    """The bays: how far each is out, how sure that is, and the verdict in a word; worst first."""

    def __init__(self, dress: Dress) -> None:
        super().__init__("Bays, worst first", dress, many=False)
        self.says = sentence()
        self.says.hide()
        self._bays: Sequence[BayVerdict] = ()
        self.picked.connect(self._on_bay)

    def show_bays(self, bays: Sequence[BayVerdict], labels: Mapping[str, str], text: LengthText) -> None:
        """Show the bays, those that are out first."""
        worst = self._bays = sorted(bays, key=_worst_first)

        def called(r: int) -> str:
            ids = bay_ids(worst[r], labels)
            return " ".join(labels[i] for i in ids) if ids else worst[r].bay

        self.show_rows(
            [b.bay for b in worst],
            (
                Column("bay", called, bold=True, tip=lambda r: worst[r].says),
                Column("within", lambda r: _small(worst[r].out, text), right=True, tip=lambda r: worst[r].says),
                Column("±", lambda r: _sure(worst[r].within, text), right=True, tip=lambda r: worst[r].says),
                Column("verdict", lambda r: bay_verdict(worst[r]), bold=True, tip=lambda r: worst[r].says),
            ),
        )
        self._say()

    def _on_bay(self) -> None:
        self._say()

    def _say(self) -> None:
        rows = [i.row() for i in self.selectionModel().selectedRows()]
        self.says.setText(self._bays[rows[0]].says if rows and rows[0] < len(self._bays) else "")
        self.says.setVisible(bool(self.says.text()))


def _worst_first(bay: BayVerdict) -> tuple[int, float]:
    return _FIRST[bay.square], -bay.out if math.isfinite(bay.out) else 0.0


def _small(mm: float, text: LengthText) -> str:
    return text.small(mm) if math.isfinite(mm) else "–"


def _sure(mm: float, text: LengthText) -> str:
    return text.up(mm) if math.isfinite(mm) else "–"
