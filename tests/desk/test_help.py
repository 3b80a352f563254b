"""The help is there, in context, and says nothing that is not so."""

from __future__ import annotations

import re

from pytestqt.qtbot import QtBot

from layoutdesk.desk.desk import Desk
from layoutdesk.desk.help import OF_PAGE, TOPICS
from layoutdesk.desk.menus import EDIT, FILE, HELP, VIEW
from layoutdesk.gestures.words import WORDS
from layoutdesk.units import parse_length, parse_lengths


def text_of(name: str) -> str:
    return next(t.file for t in TOPICS if t.name == name).read_text(encoding="utf-8")


def test_every_topic_has_its_page_with_its_title() -> None:
    for topic in TOPICS:
        assert text_of(topic.name).startswith("# "), topic.name


def test_every_page_of_the_folder_is_a_topic() -> None:
    folder = TOPICS[0].file.parent
    assert {p.stem for p in folder.glob("*.md")} == {t.name for t in TOPICS}


def test_links_lead_to_topics() -> None:
    names = {f"{t.name}.md" for t in TOPICS}
    for topic in TOPICS:
        assert set(re.findall(r"\]\(([^)]+)\)", text_of(topic.name))) <= names


def test_help_opens_on_the_topic_of_the_page(porch_desk: Desk, qtbot: QtBot) -> None:
    porch_desk.view.turn_to("stakes")
    porch_desk.menus.actions["help_page"].trigger()
    shown = porch_desk.help.window
    assert shown is not None
    qtbot.addWidget(shown)
    assert shown.isVisible()
    assert OF_PAGE["stakes"] == "two-tapes"
    assert "Two tapes" in shown.text.toPlainText()
    porch_desk.menus.actions["help_first"].trigger()
    assert "six piers" in shown.text.toPlainText()


def test_lengths_in_the_help_read_as_it_says() -> None:
    table = text_of("lengths")
    typed = re.findall(r"^\| `([^`]+)` \|", table, flags=re.MULTILINE)
    assert len(typed) > 8
    for text in typed:
        parse_length(text, "ft-in")
    assert parse_lengths("2', 3 @ 8' 2\", 6'", "ft-in")
    assert parse_lengths("2.4, 2.4, 3.1", "m") == (2400, 2400, 3100)


def test_keys_in_the_help_are_the_keys_of_the_menus() -> None:
    page = text_of("keyboard").replace("Ctrl+plus", "Ctrl++").replace("Ctrl+minus", "Ctrl+-")
    for entry in (*FILE, *EDIT, *VIEW, *HELP):
        if entry is not None and not entry.name.startswith("page_"):
            assert all(key in page for key in entry.keys if key != "Ctrl+="), entry.name


def test_gestures_named_in_the_help_exist() -> None:
    names = {w.name for w in WORDS}
    for word in ("Wall", "Control point", "Grid of piers", "Bay"):
        assert word in names
