"""How the whole window is dressed: one palette and one style sheet, made from a theme and a size of text."""

from __future__ import annotations

from string import Template
from typing import Final, Literal

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtGui import QColor, QGuiApplication, QPalette
from PySide6.QtWidgets import QApplication, QLabel, QWidget

from layoutdesk.desk.theme import Theme, font, theme_for

Choice = Literal["system", "light", "dark"]
"""What the person wants: what the machine does, or one of the two."""

Tone = Literal["plain", "soft", "work", "check", "holds", "look", "wrong"]
"""What the colour of a text says."""

Role = Literal["title", "heading", "caption", "big", "number", "body"]
"""What a text is for; each has its size."""

BODY_POINTS: Final = 10.5
SMALLEST: Final = 0.8
LARGEST: Final = 1.6
STEP: Final = 0.1


class Dress(QObject):
    """The theme that is worn and the size of text; announces a change once.

    Signals:
        changed: another theme or another size of text is worn now.
    """

    changed = Signal()

    def __init__(self, app: QApplication, choice: Choice, scale: float) -> None:
        super().__init__(app)
        self._app = app
        self.choice = choice
        self.scale = scale
        self.theme = theme_for(dark=is_dark(choice, QGuiApplication.styleHints().colorScheme()))
        QGuiApplication.styleHints().colorSchemeChanged.connect(self._system_changed)
        self._wear()

    def choose(self, choice: Choice) -> None:
        """Wear light, dark, or what the system wears."""
        self.choice = choice
        self._follow()

    def resize(self, scale: float) -> None:
        """Show all text so many times its usual size."""
        self.scale = min(LARGEST, max(SMALLEST, round(scale, 2)))
        self._wear()
        self.changed.emit()

    def points(self, share: float = 1.0) -> float:
        """Return the size of text in points that is ``share`` of the body's."""
        return BODY_POINTS * self.scale * share

    def _system_changed(self) -> None:
        if self.choice == "system":
            self._follow()

    def _follow(self) -> None:
        theme = theme_for(dark=is_dark(self.choice, QGuiApplication.styleHints().colorScheme()))
        if theme is not self.theme:
            self.theme = theme
            self._wear()
            self.changed.emit()

    def _wear(self) -> None:
        self._app.setFont(font(self.points()))
        self._app.setPalette(palette(self.theme))
        self._app.setStyleSheet(style_sheet(self.theme, self.scale))


def is_dark(choice: Choice, system: Qt.ColorScheme) -> bool:
    """Return whether the dark dress is due; a system that does not say is taken as light."""
    return choice == "dark" or (choice == "system" and system == Qt.ColorScheme.Dark)


def palette(theme: Theme) -> QPalette:
    """Return the palette of a theme, for whatever the style sheet leaves to the style."""
    p = QPalette()
    roles = QPalette.ColorRole
    for role, name in {
        roles.Window: theme.panel,
        roles.WindowText: theme.ink,
        roles.Base: theme.field,
        roles.AlternateBase: theme.panel,
        roles.Text: theme.ink,
        roles.Button: theme.panel,
        roles.Mid: theme.edge,
        roles.ButtonText: theme.ink,
        roles.BrightText: theme.wrong,
        roles.PlaceholderText: theme.soft,
        roles.Highlight: theme.work,
        roles.HighlightedText: theme.work_ink,
        roles.ToolTipBase: theme.note,
        roles.ToolTipText: theme.note_ink,
        roles.Link: theme.check,
        roles.LinkVisited: theme.check,
    }.items():
        p.setColor(role, QColor(name))
    for role in (roles.Text, roles.ButtonText, roles.WindowText):
        p.setColor(QPalette.ColorGroup.Disabled, role, QColor(theme.soft))
    return p


def label(text: str, role: Role = "body", tone: Tone = "plain", *, wrap: bool = False) -> QLabel:
    """Return a text of a role and a tone, which the style sheet dresses."""
    made = QLabel(text)
    made.setTextFormat(Qt.TextFormat.PlainText)
    made.setProperty("role", role)
    made.setProperty("tone", tone)
    made.setWordWrap(wrap)
    return made


def sentence_case(text: str) -> str:
    """Return a sentence with a capital at its beginning, unless it begins with a name of a file."""
    first = text.split(" ", 1)[0]
    return text if "." in first[:-1] or "/" in first or "\\" in first else text[:1].upper() + text[1:]


def set_tone(widget: QWidget, tone: Tone) -> None:
    """Give a text another tone."""
    if widget.property("tone") != tone:
        widget.setProperty("tone", tone)
        widget.style().unpolish(widget)
        widget.style().polish(widget)


def style_sheet(theme: Theme, scale: float) -> str:
    """Return the style sheet of a theme, with all text ``scale`` times its usual size."""
    sizes = {"caption": 0.86, "body": 1.0, "number": 1.08, "heading": 1.08, "title": 1.5, "big": 1.6, "rail": 1.12}
    points = {f"pt_{name}": f"{BODY_POINTS * scale * share:.2f}pt" for name, share in sizes.items()}
    colours = {name: getattr(theme, name) for name in Theme._fields if name != "dark"}
    return _SHEET.substitute(colours, **points)


_SHEET = Template("""
#desk { background: $desk; }
#rail, #rail QWidget { background: $rail; }
#strip { background: $panel; border-bottom: 1px solid $edge; }
#notebook { background: $panel; border: 1px solid $edge; border-radius: 6px; }
#notebook QScrollArea, #leaf { background: transparent; border: none; }
#paper { background: $paper; border: 1px solid $edge; }
#entry { background: $panel; border-top: 1px solid $edge; }

QMenuBar { background: $panel; color: $ink; border-bottom: 1px solid $edge; padding: 1px 8px; }
QMenuBar::item { padding: 4px 10px; border-radius: 4px; background: transparent; }
QMenuBar::item:selected { background: $glow; color: $ink; }
QMenu { background: $field; color: $ink; border: 1px solid $edge; padding: 5px; }
QMenu::item { padding: 5px 26px 5px 22px; border-radius: 4px; }
QMenu::item:selected { background: $glow; color: $ink; }
QMenu::item:disabled { color: $soft; }
QMenu::separator { height: 1px; background: $edge; margin: 5px 8px; }
QToolTip { background: $note; color: $note_ink; border: none; padding: 5px 8px; }

QLabel { background: transparent; }
QLabel[role="title"] { font-size: $pt_title; font-weight: 700; }
QLabel[role="heading"] { font-size: $pt_heading; font-weight: 700; }
QLabel[role="caption"] { font-size: $pt_caption; }
QLabel[role="big"] { font-size: $pt_big; font-weight: 700; }
QLabel[role="number"] { font-size: $pt_number; font-weight: 700; }
QLabel[tone="soft"] { color: $soft; }
QLabel[tone="work"] { color: $work; }
QLabel[tone="check"] { color: $check; }
QLabel[tone="holds"] { color: $holds; font-weight: 600; }
QLabel[tone="look"] { color: $look; font-weight: 600; }
QLabel[tone="wrong"] { color: $wrong; }
#rail QLabel { color: $rail_ink; }
#rail QLabel[tone="soft"] { color: $rail_soft; }
#rail QLabel[role="title"] { font-size: $pt_rail; }

QFrame[card="plain"] { background: $field; border: 1px solid $edge; border-radius: 6px; }
QFrame[card="look"] { background: $look_wash; border: 1px solid $look; border-radius: 6px; }
QFrame[card="wrong"] { background: $wrong_wash; border: 1px solid $wrong; border-radius: 6px; }
QFrame[card="note"] { background: $panel; border: 1px solid $edge; border-radius: 6px; }
QFrame[card]:focus { border: 2px solid $work; }

QPushButton { background: $field; color: $ink; border: 1px solid $edge; border-radius: 5px; padding: 5px 12px; }
QPushButton:hover { border-color: $soft; }
QPushButton:pressed { background: $glow; }
QPushButton:focus { border: 2px solid $work; padding: 4px 11px; }
QPushButton:disabled { color: $soft; }
QPushButton:default { border-color: $ink; font-weight: 600; }
QPushButton[kind="main"] { background: $work; color: $work_ink; border: 1px solid $work; font-weight: 700;
    padding: 6px 18px; }
QPushButton[kind="main"]:hover { border-color: $ink; }
QPushButton[kind="main"]:disabled { background: $edge; border-color: $edge; color: $soft; }
QPushButton[kind="main"]:focus { border: 2px solid $ink; padding: 5px 17px; }
QPushButton[kind="word"] { background: transparent; border: 1px solid transparent; padding: 6px 10px; }
QPushButton[kind="word"]:hover { background: $field; border-color: $edge; }
QPushButton[kind="word"]:checked { background: $note; color: $note_ink; font-weight: 700; }
QPushButton[kind="word"]:focus { border: 2px solid $work; padding: 5px 9px; }
QPushButton[kind="word"]::menu-indicator { width: 0px; }
QPushButton[kind="link"] { background: transparent; border: none; color: $check; padding: 2px 0px;
    text-align: left; }
QPushButton[kind="link"]:hover { text-decoration: underline; }
QPushButton[kind="link"]:focus { text-decoration: underline; }
QPushButton[kind="link"]:disabled { color: $soft; text-decoration: none; }

QLineEdit, QPlainTextEdit { background: $field; color: $ink; border: 1px solid $edge; border-radius: 5px;
    padding: 4px 8px; selection-background-color: $glow; selection-color: $ink; }
QLineEdit:hover { border-color: $soft; }
QLineEdit:focus { border: 2px solid $work; padding: 3px 7px; }
QLineEdit[tone="wrong"] { border: 2px solid $wrong; padding: 3px 7px; }
QLineEdit:disabled { background: $panel; color: $soft; }
QComboBox QAbstractItemView { background: $field; color: $ink; border: 1px solid $edge;
    selection-background-color: $glow; selection-color: $ink; outline: none; }
QCheckBox, QRadioButton { spacing: 8px; }

QTableView { background: $field; border: 1px solid $edge; border-radius: 6px; gridline-color: transparent; }
QTableView:focus { border: 1px solid $work; }
QHeaderView { background: transparent; }
QHeaderView::section { background: $panel; color: $soft; border: none; border-bottom: 1px solid $edge;
    padding: 3px 8px; font-size: $pt_caption; }
QTableCornerButton::section { background: $panel; border: none; }
QListView { background: $panel; border: 1px solid $edge; border-radius: 6px; outline: none; }
QListView::item { padding: 5px 6px; border-radius: 4px; color: $ink; }
QListView::item:selected { background: $glow; color: $ink; }
QTextBrowser { background: $field; color: $ink; border: 1px solid $edge; border-radius: 6px; padding: 6px 12px; }

QScrollBar:vertical { background: transparent; width: 11px; margin: 0; }
QScrollBar:horizontal { background: transparent; height: 11px; margin: 0; }
QScrollBar::handle { background: $hatch; border-radius: 4px; margin: 2px; min-height: 28px; min-width: 28px; }
QScrollBar::handle:hover { background: $soft; }
QScrollBar::add-line, QScrollBar::sub-line { width: 0; height: 0; }
QScrollBar::add-page, QScrollBar::sub-page { background: transparent; }
QSplitter::handle { background: $desk; }
QSplitter::handle:hover { background: $edge; }
QProgressBar { background: $field; border: 1px solid $edge; border-radius: 4px; height: 8px; text-align: center; }
QProgressBar::chunk { background: $work; border-radius: 3px; }
QDialog { background: $panel; }
#slip { background: $note; border-radius: 6px; }
#slip QLabel { color: $note_ink; }
#slip QPushButton { background: transparent; color: $note_ink; border: 1px solid $note_ink; padding: 3px 10px; }
#slip QPushButton:focus { border: 2px solid $work; padding: 2px 9px; }
""")
