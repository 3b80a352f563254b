"""The steel of a detail: bars on a circle and hoops around them, and what there is to be said of them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Final

from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from layoutdesk.desk.dress import Tone, set_tone
from layoutdesk.desk.notebook.cards import sentence
from layoutdesk.desk.notebook.form import Form
from layoutdesk.desk.notebook.form_rows import CountRow
from layoutdesk.desk.notebook.lengths import LengthText
from layoutdesk.desk.notebook.tick import Tick
from layoutdesk.errors import EditError
from layoutdesk.plan import edits
from layoutdesk.plan.holes import Steel
from layoutdesk.plan.model import Detail, Plan
from layoutdesk.session.document import Document

if TYPE_CHECKING:
    from layoutdesk.engine.layout import Section

_HOOKS: Final = ((0, "straight"), (90, "hook of 90°"), (180, "hook of 180°"))


class SaysList(QWidget):
    """Sentences one below the other, each in its tone."""

    def __init__(self) -> None:
        super().__init__()
        self._labels: list[QLabel] = []
        self._box = QVBoxLayout(self)
        self._box.setContentsMargins(0, 0, 0, 0)
        self._box.setSpacing(4)

    def show_sentences(self, sentences: Sequence[tuple[str, Tone]]) -> None:
        """Show sentences; without any the list is hidden."""
        while len(self._labels) < len(sentences):
            made = sentence()
            self._labels.append(made)
            self._box.addWidget(made)
        for k, shown in enumerate(self._labels):
            shown.setVisible(k < len(sentences))
            if k < len(sentences):
                shown.setText(sentences[k][0])
                set_tone(shown, sentences[k][1])
        self.setVisible(bool(sentences))

    @property
    def texts(self) -> list[str]:
        """Return the sentences that are shown."""
        return [shown.text() for shown in self._labels if not shown.isHidden()]


class SteelForm(Form):
    """The cage of one detail. A detail without steel has one row, which gives it some."""

    def __init__(self, document: Document) -> None:
        super().__init__(document)
        self.kind = self.choice_row("Steel", self._set_kind)
        self.bars = CountRow("Bars", self._change_count)
        self.add(self.bars)
        self.bar = self.choice_row("Bar", self._text("bar", "Bars"))
        self.foot = self.choice_row("Foot of the bars", self._set_hook)
        self.bars_say = self._says_here()
        self.cover = self.length_row("Cover beside", self._length("cover", "Cover"))
        self.cover_ends = self.length_row("Cover at the ends", self._length("cover_ends", "Cover"))
        self.cover_says = self._says_here()
        self.hoop = self.choice_row("Hoops", self._text("hoop", "Hoops"))
        self.spacing = self.length_row("Hoops apart, at most", self._length("spacing", "Hoops"))
        self.first = self.length_row("First hoop from the ends", self._length("first", "Hoops"))
        self.hoops_say = self._says_here()
        self.out = self.length_row("Bars stand out of the top", self._length("stands_out", "Bars"))
        self.lapped = Tick("A second bar lies beside each (lapped)")
        self.lapped.clicked.connect(self._on_lapped)
        self.add(self.lapped)
        self.says = self._says_here()
        self._hoops = (self.spacing, self.first)
        self._rest = (self.bars, self.bar, self.foot, self.cover, self.cover_ends, self.hoop, self.out, self.lapped)

    def _says_here(self) -> SaysList:
        made = SaysList()
        self.add(made)
        return made

    def fill(self, detail: Detail, section: Section, plan: Plan) -> None:
        """Show the steel of a detail."""
        self.piece_id = detail.id
        steel, text = detail.steel, LengthText.of(plan)
        self.kind.show_choice([(False, "none"), (True, "bars on a circle")], steel is not None)
        for row in self._rest:
            row.setVisible(steel is not None)
        for row in self._hoops:
            row.setVisible(steel is not None and bool(steel.hoop))
        self._tell(detail, section, plan)
        if steel is None:
            return
        names = _sizes(plan)
        self.bars.show_count(steel.bars)
        self.bar.show_choice(_with(names, steel.bar), steel.bar)
        self.foot.show_choice(_HOOKS, steel.hook)
        self.hoop.show_choice([("", "none"), *_with(names, steel.hoop)], steel.hoop)
        for row, value in (
            (self.cover, steel.cover),
            (self.cover_ends, steel.cover_ends),
            (self.spacing, steel.spacing),
            (self.first, steel.first),
            (self.out, steel.stands_out),
        ):
            row.show_length(value, text)
        self.lapped.setChecked(steel.lapped)

    def _tell(self, detail: Detail, section: Section, plan: Plan) -> None:
        """Say what is not good right under what was typed, and the rest at the end."""
        from layoutdesk.engine.holes.cages import cage_of

        trouble = [section.trouble] if section.trouble and detail.steel is not None else []
        cage = cage_of(detail, units=plan.units, rounding=plan.rounding)
        places = {"cover": self.cover_says, "hoop spacing": self.hoops_say, "hoop size": self.hoops_say}
        bad = [(places.get(check.about, self.bars_say), check.says) for check in cage.checks if not check.good]
        for place in (self.bars_say, self.cover_says, self.hoops_say):
            mine = [says for where, says in bad if where is place]
            wrong = [*mine, *(trouble if place is self.bars_say else [])]
            place.show_sentences([(says, "wrong") for says in wrong])
        about = {check.about for check in cage.checks if not check.good}
        for box, marks in (
            (self.bars.box, {"bars", "post"}),
            (self.cover.box, {"cover", "hooks"}),
            (self.spacing.box, {"hoop spacing"}),
        ):
            if not box.bad:
                set_tone(box, "wrong" if about & marks else "plain")
        good = [check.says for check in cage.checks if check.good]
        self.says.show_sentences([(says, "soft") for says in (*good, *cage.pieces_say)])

    def _steel(self) -> Steel:
        detail = self.document.plan.detail(self.piece_id)
        if detail is None or detail.steel is None:
            raise EditError("this steel is gone")
        return detail.steel

    def _change(self, words: str, **fields: object) -> None:
        detail, changed = self.piece_id, replace(self._steel(), **fields)  # type: ignore[arg-type]
        self.do(f"{words} of {detail}", lambda p: edits.set_steel(p, detail, changed))

    def _set_kind(self, key: object) -> None:
        detail = self.piece_id
        steel = edits.usual_steel(self.document.plan.units) if key else None
        self.do(f"Steel of {detail}", lambda p: edits.set_steel(p, detail, steel))

    def _change_count(self, count: int) -> None:
        self._change("Bars", bars=count)

    def _set_hook(self, key: object) -> None:
        self._change("Bars", hook=key)

    def _text(self, field: str, words: str) -> Callable[[object], None]:
        def put(key: object) -> None:
            self._change(words, **{field: key})

        return put

    def _length(self, field: str, words: str) -> Callable[[float], None]:
        def put(value: float) -> None:
            self._change(words, **{field: value})

        return put

    def _on_lapped(self) -> None:
        detail, changed = self.piece_id, replace(self._steel(), lapped=self.lapped.isChecked())
        self.try_to(f"Bars of {detail}", lambda p: edits.set_steel(p, detail, changed))


def _sizes(plan: Plan) -> list[str]:
    """Return the sizes of bars that are sold where the plan's units are used."""
    from layoutdesk.engine.steel.sizes import bars, usual_standard

    return [bar.name for bar in bars(usual_standard(plan.units))]


def _with(names: Sequence[str], mine: str) -> list[tuple[object, str]]:
    """Return the entries of a list of sizes, with one that is none of them."""
    return [(name, name) for name in (*names, *([mine] if mine and mine not in names else []))]
