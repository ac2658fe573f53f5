"""A card stays short whatever is in it, and its HTML never runs what people typed."""

from __future__ import annotations

import re

from solarsim.cards import MOST_LINES, Card, Carded


def test_text_is_at_most_twelve_lines_of_ninety_characters():
    card = Card("word " * 400, [(f"row {number}", "value " * 60) for number in range(40)])
    lines = card.text().splitlines()
    assert len(lines) == MOST_LINES == 12
    assert max(len(line) for line in lines) <= 90
    assert sum(line.endswith(" ...") for line in lines) == 9


def test_short_rows_stand_whole_and_in_a_column():
    card = Card("Two panels.", [("power", "400 W"), ("a", "b")])
    assert card.text() == "Two panels.\n  power  400 W\n  a      b"


def test_control_characters_do_not_reach_the_terminal():
    card = Card("a\x1b[31mred\nvan", [("name", "b\x07\tc")])
    assert "\x1b" not in card.text()
    assert "\x07" not in card.text()
    assert len(card.text().splitlines()) == 2


def test_html_escapes_what_was_typed_and_keeps_the_pages_colours():
    card = Card("<script>alert(1)</script>", [("<b>", '"><img src=x>')])
    html = card.html()
    assert "<script" not in html
    assert "<img" not in html
    assert "&lt;script&gt;alert(1)&lt;/script&gt;" in html
    # Text takes the page's colour, light or dark; nothing paints a ground under it.
    assert set(re.findall(r"(?<![-\w])color:([^;\"]+)", html)) == {"inherit"}
    assert set(re.findall(r"background[-\w]*:([^;\"]+)", html)) == {"transparent"}


def test_html_holds_values_in_full():
    assert "x" * 500 in Card("long", [("value", "x" * 500)]).html()


def test_a_carded_record_prints_its_card():
    class Thing(Carded):
        def card(self):
            return Card("a thing", [("size", "3 m")])

    assert repr(Thing()) == str(Thing()) == "a thing\n  size  3 m"
    assert "<strong>a thing</strong>" in Thing()._repr_html_()
