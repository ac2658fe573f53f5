"""The three kinds of picture as files."""

from __future__ import annotations

import html.parser
import re
import struct
import xml.etree.ElementTree as ET

import pytest

RUNS = ("--runs", "20")
EVIL = "<script>alert(1)</script> & \"'"
SVG = "{http://www.w3.org/2000/svg}"


class Page(html.parser.HTMLParser):
    """Tags, their attributes, and the text of scripts and of everything else."""

    def __init__(self, text):
        super().__init__()
        self.tags, self.attributes, self.scripts, self.texts = [], [], [], []
        self.feed(text)
        self.close()

    def handle_starttag(self, tag, attributes):
        self.tags.append(tag)
        self.attributes += [(tag, name, value or "") for name, value in attributes]
        if tag == "script":
            self.scripts.append("")

    def handle_data(self, data):
        if self.tags and self.tags[-1] == "script" and self.cdata_elem == "script":
            self.scripts[-1] += data
        else:
            self.texts.append(data)


@pytest.fixture
def drawn(cli, tmp_path):
    def draw(name, *arguments):
        ran = cli("stay", *RUNS, "--plot", name, *arguments)
        assert (ran.code, ran.err) == (0, "")
        assert [path.name for path in tmp_path.iterdir()] == [name]
        content = (tmp_path / name).read_bytes()
        (tmp_path / name).unlink()
        return content

    return draw


@pytest.mark.slow
def test_png_is_a_picture_of_a_readable_size(drawn):
    content = drawn("stay.png")
    assert content.startswith(b"\x89PNG\r\n\x1a\n")
    width, height = struct.unpack(">II", content[16:24])
    assert 800 <= width <= 2000
    assert 800 <= height <= 2000
    assert content.rstrip().endswith(b"IEND\xaeB`\x82")


@pytest.mark.slow
def test_svg_is_xml_with_shapes_and_the_same_for_the_same_answer(drawn):
    content = drawn("stay.svg")
    root = ET.fromstring(content)
    assert root.tag == f"{SVG}svg"
    assert len(root.findall(f".//{SVG}path")) > 20
    assert not root.findall(f".//{SVG}script")
    assert drawn("stay.svg") == content


def test_html_stands_on_its_own(drawn):
    page = Page(drawn("stay.html").decode())
    loading = {"src", "href", "srcset", "data", "action", "poster", "background", "ping"}
    assert [found for found in page.attributes if found[1] in loading] == []
    assert not {"link", "iframe", "img", "object", "embed", "base", "form"} & set(page.tags)
    # The drawing library is by far the largest script; nothing else may name another host.
    own = sorted(page.scripts, key=len)[:-1]
    assert own
    assert not [re.findall(r".{30}https?://.{30}", script) for script in own if "http" in script]
    assert "Plotly.newPlot" in "".join(own)
    assert '"showSendToCloud": false' in "".join(own)
    text = " ".join(page.texts)
    assert "Count on " in text
    assert "licensed electrician" in text
    assert ("html", "lang", "en") in page.attributes


@pytest.mark.slow
def test_html_shows_a_name_with_markup_as_text(drawn):
    plain = Page(drawn("stay.html", "--set", "van.name=plain").decode())
    evil = Page(drawn("stay.html", "--set", f"van.name={EVIL}").decode())
    assert evil.tags == plain.tags
    assert EVIL in " ".join(evil.texts)
    assert not [script for script in evil.scripts if "alert(1)" in script]


@pytest.mark.slow
@pytest.mark.parametrize(
    "name", [EVIL, "$5 and $6", r"$\frac{$", "{}%s", "\u8eca \U0001f690", "_^"]
)
@pytest.mark.parametrize("kind", [".svg", pytest.param(".png", marks=pytest.mark.slow)])
def test_any_name_can_be_drawn(drawn, name, kind):
    """No name is taken for a formula, a format or markup, nor warned about on standard error."""
    content = drawn(f"stay{kind}", "--set", f"van.name={name}")
    if kind == ".svg":
        ET.fromstring(content)


@pytest.mark.slow
@pytest.mark.parametrize(
    "arguments",
    [
        ("--days", 1),
        ("--days", 200),
        ("--place", "Tromso", "--month", 12),
        ("--place", "Tromso", "--month", 6),
        ("--set", "stay.start_soc=0"),
        ("--set", "panels.count=0"),
        ("long-stayer", "--profile", "remote-workers"),
    ],
    ids=str,
)
@pytest.mark.parametrize("kind", [pytest.param(".svg", marks=pytest.mark.slow), ".html"])
def test_odd_stays_can_be_drawn(drawn, kind, arguments):
    assert len(drawn(f"stay{kind}", *arguments)) > 10_000


@pytest.mark.slow
def test_ending_in_capitals(drawn):
    assert drawn("STAY.PNG").startswith(b"\x89PNG")


@pytest.mark.slow
def test_plot_beside_json(cli, tmp_path, default_json):
    ran = cli("stay", *RUNS, "--plot", "stay.png", "--json")
    assert ran.out == default_json
    assert (tmp_path / "stay.png").exists()


def test_files_get_the_usual_rights(cli, tmp_path):
    (tmp_path / "plain").write_text("")
    cli("stay", *RUNS, "--json", "answer.json")
    assert (tmp_path / "answer.json").stat().st_mode == (tmp_path / "plain").stat().st_mode


@pytest.mark.slow
def test_the_climate_is_drawn_and_another_ending_refused(cli, tmp_path):
    ran = cli("climate", "--place", "Obihiro", "--plot", "c.svg")
    assert (ran.code, ran.err) == (0, "")
    # Letters are drawn as lines; what they say stands beside them.
    drawing = (tmp_path / "c.svg").read_text()
    assert "<!-- Light at Obihiro, JP by month" in drawing
    assert "<!-- station 47417, JMA normals 1991-2020 (measured) -->" in drawing
    refused = cli("climate", "--plot", "c.gif")
    assert refused.code == 2
    assert "must end in one of .html, .png, .svg" in refused.err
