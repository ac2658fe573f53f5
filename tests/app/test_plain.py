"""What people typed stays text."""

from __future__ import annotations

import html
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solarsim.app.plain import one_line, plain

MARKUP = [
    "![x](http://203.0.113.1/a.png)",
    "[x](javascript:alert(1))",
    "<img src=x onerror=alert(1)>",
    "# heading",
    "$x^2$ :red[hot] `code` ~~gone~~ **b** _i_",
    "1. one",
]


# Keeps the page from making a link of an address; has no width and is never typed.
JOINER = "\u2060"


def read(shown):
    """What a reader of the page sees."""
    return html.unescape(shown).replace(JOINER, "")


@pytest.mark.parametrize("text", MARKUP)
def test_marks_become_references(text):
    assert not re.search(r"[\\`*_{}\[\]()<>+.!|~$:^-]", plain(text))
    assert read(plain(text)) == text


@given(st.text())
def test_reads_as_typed_and_holds_no_mark(text):
    shown = plain(text)
    # Only references and the line breaks that `plain` writes itself.
    rest = re.sub(r"&#\d+;|  \n", "", shown)
    assert not set(rest) & set("\\`*_{}[]()<>#+-.!|~$:^&\n\r")
    kept = "".join(c for c in text if c.isprintable() and not c.isspace())
    assert "".join(read(shown).split()) == "".join(kept.split())


@pytest.mark.parametrize(
    "address", ["https://example.org/a", "HTTP://192.0.2.1", "www.example.org", "a@example.org"]
)
def test_an_address_is_no_link(address):
    # What the page's Markdown makes a link of by itself.
    linked = r"(https?://|www(?=\.))[-.\w]|[-.\w+]@[-\w]"
    assert re.search(linked, address, re.IGNORECASE)
    shown = html.unescape(plain(f"see {address}, or not"))
    assert not re.search(linked, shown, re.IGNORECASE)
    assert shown.replace(JOINER, "") == f"see {address}, or not"


@pytest.mark.parametrize("text", ["`solarsim weather get --place 'Salzburg, AT'`", "`solarsim`"])
def test_a_command_of_ours_is_set_as_code(text):
    assert plain(f"a_b: {text} fetches") == f"a&#95;b&#58; {text} fetches"


@pytest.mark.parametrize("text", ["`rm`", "`solarsim $x$`", "`solarsim <b>", "`solarsim ``x`"])
def test_other_back_ticks_stay_letters(text):
    assert "`" not in plain(text)
    assert read(plain(text)) == text


@given(st.text())
def test_one_line_is_one_line(text):
    assert one_line(text).isprintable()
