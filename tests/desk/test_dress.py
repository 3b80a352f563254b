"""The dress: which one is due, and that its colours can be read."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QFontDatabase, QFontInfo
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from layoutdesk.desk.dress import LARGEST, SMALLEST, Choice, Dress, is_dark, style_sheet
from layoutdesk.desk.theme import DARK, FAMILY, LIGHT, Theme, font


@pytest.mark.parametrize(
    ("choice", "system", "dark"),
    [
        ("system", Qt.ColorScheme.Dark, True),
        ("system", Qt.ColorScheme.Light, False),
        ("system", Qt.ColorScheme.Unknown, False),
        ("light", Qt.ColorScheme.Dark, False),
        ("dark", Qt.ColorScheme.Light, True),
    ],
)
def test_the_dress_that_is_due(choice: Choice, system: Qt.ColorScheme, dark: bool) -> None:  # noqa: FBT001
    assert is_dark(choice, system) is dark


def contrast(a: str, b: str) -> float:
    """Return the contrast ratio of two colours as WCAG 2.2 defines it."""

    def light(name: str) -> float:
        c = QColor(name)
        parts = [
            v / 12.92 if v <= 0.04045 else ((v + 0.055) / 1.055) ** 2.4 for v in (c.redF(), c.greenF(), c.blueF())
        ]
        return 0.2126 * parts[0] + 0.7152 * parts[1] + 0.0722 * parts[2]

    one, two = sorted((light(a), light(b)), reverse=True)
    return (one + 0.05) / (two + 0.05)


@pytest.mark.parametrize("theme", [LIGHT, DARK])
def test_text_can_be_read_on_what_it_stands_on(theme: Theme) -> None:
    """4.5 to 1 is what WCAG 2.2 asks of text, 3 to 1 of large text and of signs."""
    for ground in (theme.panel, theme.field, theme.paper):
        assert contrast(theme.ink, ground) >= 7
        assert contrast(theme.soft, ground) >= 4.3
        for tone in (theme.check, theme.holds, theme.wrong):
            assert contrast(tone, ground) >= 4.5
        assert contrast(theme.look, ground) >= 3
    assert contrast(theme.rail_ink, theme.rail) >= 7
    assert contrast(theme.rail_soft, theme.rail) >= 4.5
    assert contrast(theme.rail_here_ink, theme.rail_here) >= 7
    assert contrast(theme.work_ink, theme.work) >= 3
    assert contrast(theme.note_ink, theme.note) >= 7


@pytest.mark.parametrize("theme", [LIGHT, DARK])
def test_the_style_sheet_names_every_colour(theme: Theme) -> None:
    assert "$" not in style_sheet(theme, 1.0)


def test_text_stays_within_its_limits(dress: Dress, qtbot: QtBot) -> None:
    with qtbot.waitSignal(dress.changed):
        dress.resize(9)
    assert dress.scale == LARGEST
    dress.resize(0.1)
    assert dress.scale == SMALLEST


def test_the_type_is_our_own_and_has_its_signs(qapp: QApplication) -> None:
    assert FAMILY in QFontDatabase.families()
    assert QFontInfo(font(10)).family() == FAMILY
    from PySide6.QtGui import QFontMetrics

    metrics = QFontMetrics(font(10))
    for sign in "'\"′″½Ø±·°⁄³₁₆—–…▾":
        assert metrics.inFontUcs4(ord(sign)), sign
