"""The sheet's files: what they say, how many pages, how large, and nothing left to chance."""

from __future__ import annotations

import copy
import datetime as dt
import io
import json
import re
import unicodedata
from html.parser import HTMLParser

import pypdf
import pytest
import typst
from PIL import Image

from solarsim.answers.question import ask
from solarsim.answers.sheet.sheet import sheet
from solarsim.present.sheet.annex_page import annex_page
from solarsim.present.sheet.document import sheet_document
from solarsim.present.sheet.glyphs import Cleaner
from solarsim.present.sheet.make import sheet_bytes
from solarsim.present.sheet.page import sheet_page
from solarsim.present.sheet.photo import take_photo
from solarsim.present.sheet.texts import load_texts
from solarsim.present.sheet.typeset import typeset
from solarsim.present.stay.documents import to_json
from solarsim.present.words import CAUTIONS

DATE = dt.date(2026, 3, 1)
# ISO 216 and ANSI/ASME Y14.1, in points of 1/72 inch.
PAPERS = {"a4": (595.28, 841.89), "letter": (612.0, 792.0)}


@pytest.fixture(scope="module")
def document():
    answer = sheet(ask("weekender", runs=8), regions=["Bergen, NO", "Hobart, AU"], annex=True)
    return json.loads(to_json(sheet_document(answer, date=DATE)))


@pytest.fixture(scope="module")
def plain(document):
    """The sheet without the builder's pages."""
    return document | {"annex": None}


@pytest.fixture(scope="module")
def photo():
    picture = Image.linear_gradient("L").resize((640, 400)).convert("RGB")
    out = io.BytesIO()
    picture.save(out, "PNG")
    return take_photo(out.getvalue(), source="photo.png")


def words_of(text):
    """Text in one line, as its reader sees it."""
    text = re.sub("[\u200b\u00ad]", "", unicodedata.normalize("NFKC", text))
    return re.sub(r"\s+", " ", text)


def pdf_of(document, **asked):
    return pypdf.PdfReader(io.BytesIO(sheet_bytes(document, ".pdf", **asked)))


def pdf_text(document, **asked):
    return words_of(" ".join(page.extract_text() for page in pdf_of(document, **asked).pages))


class Reader(HTMLParser):
    """Text, tags and attributes of a page."""

    def __init__(self, content):
        super().__init__()
        self.text, self.tags, self.attributes, self.skip = [], [], [], False
        self.feed(content.decode())

    def handle_starttag(self, tag, attrs):
        self.tags.append(tag)
        self.attributes += attrs
        self.skip = tag == "style"

    def handle_endtag(self, tag):
        self.skip = False

    def handle_data(self, data):
        if not self.skip:
            self.text.append(data)


def html_text(document, **asked):
    return words_of(" ".join(Reader(sheet_bytes(document, ".html", **asked)).text))


def days(value, horizon, *, at_least):
    """The sheet's way to write days, written a second time."""
    if value >= horizon:
        return f"{horizon}" if at_least else f"{horizon}+"
    if at_least:
        tenths = int(value * 10 + 1e-9)
        return f"{tenths / 10:.1f}" if tenths < 100 else f"{tenths // 10}"
    return f"{value:.1f}" if round(value, 1) < 10 else f"{min(round(value), horizon - 1)}"


def cell(value, horizon, *, at_least):
    """Days, or hours of less than one."""
    if (value if at_least else round(value, 1)) >= 1.0:
        return days(value, horizon, at_least=at_least)
    return f"{int(24.0 * value + 1e-9) if at_least else round(24.0 * value)} h"


def followed(value, horizon):
    return f"{horizon}+" if value >= horizon else f"{value:.1f}"


def percent(share):
    return f"{100 * share:.0f} %" if share >= 0.02 or share == 0 else f"{100 * share:.1f} %"


def shown_numbers(document):
    """Every number of the document that the sheet shows, as it is to be read there."""
    van = document["van"]
    yield f"{van['panels_w']:,.0f} W of solar panels"
    yield f"{van['capacity_ah']:,.0f} Ah"
    yield f"sockets up to {van['inverter_w']:,.0f} W"
    for region in document["regions"]:
        for rows in region["days"].values():
            yield " ".join(
                f"{cell(row['p50'], row['follow_days'], at_least=False)} "
                f"≥ {cell(row['p10'], row['follow_days'], at_least=True)}"
                for row in rows
            )
    for row in document["regions"][0]["days"]["typical"]:
        if row["season"] in {"summer", "winter"}:
            least = days(row["p10"], row["follow_days"], at_least=True)
            yield f"nine times in ten at least {least} day"
    got = document["recharge"]
    yield f"Sun, a day in June {percent(got['sun_june_share'])}"
    yield f"Sun, a day in December {percent(got['sun_december_share'])}"
    yield f"An hour's drive {percent(got['drive_hour_share'])}"
    yield f"A night on shore power ({got['shore_night_h']} h) {percent(got['shore_night_share'])}"
    yield f"brings {percent(got['sun_december_share'] / got['sun_june_share'])} of the sun"
    for way in document["ways"]:
        winter, summer = (way[f"{s}_wh_per_day"] / van["usable_wh"] for s in ("winter", "summer"))
        yield f"{percent(winter)} of a full battery a day in winter, {percent(summer)} in summer"
    for use in document["ways"][2]["appliances"]:
        if use["response"] == "none" and use["name"] in {"laptop", "satellite terminal"}:
            pieces = f"{use['count']} × " if use["count"] > 1 else ""
            yield f"{pieces}{use['hours_per_day']:g} h {use['alone_h']:.0f} h"
    roof = document["roof"]["roof"]
    feet = [f"{roof[side] / 0.3048:.1f}" for side in ("length_m", "width_m")]
    yield f"{roof['length_m']:.2f} × {roof['width_m']:.2f} m ({feet[0]} × {feet[1]} ft)"
    yield f"{van['panels']} panels of {van['panels_w'] / van['panels']:.0f} W"
    yield f"{document['regions'][0]['runs']} runs of weather"
    yield f"seed {document['seed']}"
    yield f"solarsim {document['version']} on 1 Mar 2026"
    yield f"{percent(van['soiling_share'])} of the light lost"
    yield f"down to {percent(van['floor_soc'])}"
    told = {"a night on shore power every third day", "panels washed", "arriving at 80 %"}
    for lever in document["levers"]["levers"]:
        worth = abs(lever["days_gained"]) > max(0.1, 2.0 * lever["standard_error"])
        if lever["name"] in told and worth and lever["skipped"] is None:
            sign = "+" if lever["days_gained"] > 0 else "−"
            yield f"{sign}{days(abs(lever['days_gained']), 30, at_least=False)}"


def annex_numbers(document):
    stay, check = document["annex"]["stay"], document["annex"]["check"]
    unplugged = stay["days_unplugged"]
    horizon = unplugged["follow_days"]
    yield " ".join(f"{k.upper()} {followed(unplugged[k], horizon)}," for k in ("p10", "p50"))
    yield f"sun available {stay['ledger_wh_per_day']['solar_available']:,.0f}"
    yield f"DC loads {stay['ledger_wh_per_day']['load_dc']:,.0f}"
    for month in document["annex"]["seasons"]["months"]:
        middle, best = (followed(month[key], horizon) for key in ("p50", "p90"))
        yield f"{middle} {best} {month['ghi_kwh_m2_day']:.2f}"
    for cable in check["cables"]:
        if cable["fuse_a"] is not None:
            yield f"{percent(cable['drop_end_share'])} {cable['fuse_a']:g}"
    for run in check["circuit"]["runs"]:
        if run["side"] == "mains":
            yield f"{percent(run['drop_end_share'])} {run['protection']['rating_a']:g}"


@pytest.mark.parametrize("text_of", [pytest.param(pdf_text, marks=pytest.mark.slow), html_text])
def test_every_number_is_the_documents(document, text_of):
    said = text_of(document)
    found = [*shown_numbers(document), *annex_numbers(document)]
    assert len(found) > 50
    assert [number for number in found if words_of(number) not in said] == []
    # The same hold good where the units are turned around, but for what stands first.
    turned = text_of(document, units="us")
    roof = document["roof"]["roof"]
    assert f"({roof['length_m']:.2f} × {roof['width_m']:.2f} m)" in turned
    assert "32 °F (0 °C)" in turned


@pytest.mark.parametrize(("paper", "with_photo"), [("a4", False), ("letter", True)])
def test_one_page_with_its_size_small_and_tagged(plain, photo, paper, with_photo):
    picture = photo if with_photo else None
    content = sheet_bytes(plain, ".pdf", paper=paper, photo=picture)
    assert len(content) < 500_000
    reader = pypdf.PdfReader(io.BytesIO(content))
    assert len(reader.pages) == 1
    assert [float(side) for side in reader.pages[0].mediabox[2:]] == pytest.approx(
        PAPERS[paper], abs=0.1
    )
    catalogue = reader.trailer["/Root"]
    assert catalogue["/MarkInfo"]["/Marked"]
    assert catalogue["/Lang"].startswith("en")
    assert reader.metadata.title == "Weekender: days off grid"
    assert "pdfuaid" in catalogue["/Metadata"].get_data().decode()


@pytest.mark.slow
def test_advice_without_a_source_says_so(plain):
    said = pdf_text(plain)
    assert said.index("Test the CO and smoke alarms") < said.index("The advice on care is common")
    assert "common practice, without a source" in sheet_bytes(plain, ".html").decode()


@pytest.mark.slow
def test_the_annex_follows_the_page(document):
    content = sheet_bytes(document, ".pdf")
    assert len(content) < 500_000
    reader = pypdf.PdfReader(io.BytesIO(content))
    assert len(reader.pages) > 1
    assert "For the builder" not in reader.pages[0].extract_text()
    assert "For the builder" in reader.pages[1].extract_text()
    assert words_of(CAUTIONS) in pdf_text(document)


@pytest.mark.slow
def test_the_annex_draws_the_wiring_plan_and_what_is_stopped(document):
    assert "Bank, chargers and buses" in pdf_text(document)
    changed = copy.deepcopy(document)
    stop = {"severity": "stop", "where": "positive bus to inverter", "message": "thin"}
    changed["annex"]["check"]["findings"] = [stop | {"advice": "a", "source": "s"}]
    annex = annex_page(changed, clean=Cleaner(limited=True))
    assert annex["plan"]["stops"] == ["STOP: positive bus to inverter: thin"]
    marks = [mark for panel in annex["plan"]["panels"] for mark in panel["marks"]]
    assert [m["kind"] for m in marks if m.get("fill") == "#B3261E"].count("disc") == 1


@pytest.mark.slow
def test_same_bytes_but_for_the_date(plain, photo):
    later = plain | {"date": "2026-03-02"}
    for suffix, form in ((".pdf", "page"), (".html", "page"), (".png", "square")):
        first = sheet_bytes(plain, suffix, form=form, photo=photo)
        assert sheet_bytes(copy.deepcopy(plain), suffix, form=form, photo=photo) == first
        if suffix == ".pdf":
            assert sheet_bytes(later, suffix, form=form, photo=photo) != first


@pytest.mark.one_plain
@pytest.mark.parametrize(
    ("form", "size"), [("page", (1240, 1754)), ("square", (1080, 1080)), ("portrait", (1080, 1350))]
)
def test_pictures_have_their_size_and_ink(plain, form, size):
    picture = Image.open(io.BytesIO(sheet_bytes(plain, ".png", form=form)))
    assert picture.size == size
    colours = picture.convert("RGB").resize((60, 60)).getcolors(3600)
    assert len(colours) > 50


def test_html_stands_alone(document, photo):
    reader = Reader(sheet_bytes(document, ".html", photo=photo))
    assert not {"script", "link", "iframe", "form", "object"} & set(reader.tags)
    sources = [value for name, value in reader.attributes if name in {"src", "href"}]
    assert sources
    assert all(value.startswith("data:image/jpeg;base64,") for value in sources)
    assert "url(" not in sheet_bytes(document, ".html").decode()
    assert reader.tags.count("h1") == 1
    # Every picture says what it shows: the photo, the charts, the roof, three panels of the plan.
    named = [value for name, value in reader.attributes if name in {"alt", "aria-label"}]
    assert len(named) == 6
    assert all(named)
    scopes = {value for name, value in reader.attributes if name == "scope"}
    assert scopes == {"col", "row", "rowgroup"}


def nasty(document):
    """The same van, named and described by somebody who tries everything."""
    changed = copy.deepcopy(document)
    changed["van"]["name"] = '🚐 #panic("x") $x$ <b>bold</b> &amp; \u202eevil קרון ' + "W" * 150
    changed["van"]["description"] = "日本語 مرحبا " + "many words and more " * 20
    changed["regions"][0]["place"]["name"] = "L" * 58 + ", GB"
    for way in changed["ways"]:
        way["description"] = "A long story <script>alert(1)</script> of a life in a van. " * 20
        for use in way["appliances"]:
            use["name"] += " [with] a *name* that #goes on and on and on"
    vent = changed["roof"]["roof"]["obstacles"][0]
    changed["roof"]["roof"]["obstacles"] = [
        vent | {"name": f"🌬 <vent> {index} of many", "x_m": 0.1 * index} for index in range(30)
    ]
    return changed


@pytest.mark.one_plain
@pytest.mark.parametrize("paper", PAPERS)
def test_nothing_that_people_type_breaks_the_page(plain, photo, paper):
    changed = nasty(plain)
    reader = pdf_of(changed, paper=paper, photo=photo)
    assert len(reader.pages) == 1
    said = words_of(reader.pages[0].extract_text())
    assert '#panic("x") $x$ <b>bold</b> &amp; evil' in said
    for word in ("left out of", "van's name", "van's description", "names on the roof"):
        assert word in said
    # Letters of the second font, in whichever order the reader gives them.
    assert any(word in said for word in ("קרון", "ןורק"))


def test_markup_in_html_stays_text(plain):
    content = sheet_bytes(nasty(plain), ".html")
    reader = Reader(content)
    assert not {"script", "vent"} & set(reader.tags)
    said = words_of("".join(reader.text))
    # A browser has letters of its own: nothing is dropped there.
    assert '🚐 #panic("x") $x$ <b>bold</b> &amp; evil קרון' in said
    assert "日本語 مرحبا" in said
    assert "left out of" not in said


@pytest.mark.slow
def test_typst_warns_of_nothing_and_no_letter_is_missing(document, photo):
    """The standard PDF/UA-1 has typst refuse a letter that no font has, as the end here shows."""
    for changed in (document, nasty(document)):
        clean = Cleaner(limited=True)
        page = sheet_page(changed, load_texts(), units="metric", clean=clean)
        annex = annex_page(changed, clean=clean)
        for kind, form in (
            ("pdf", "page"),
            ("png", "page"),
            ("png", "square"),
            ("png", "portrait"),
        ):
            _, warnings = typeset(page, kind=kind, date=DATE, form=form, photo=photo, annex=annex)
            assert warnings == []
    unclean = sheet_page(
        nasty(document), load_texts(), units="metric", clean=lambda text, field: text
    )
    with pytest.raises(typst.TypstError, match="could not be displayed"):
        typeset(unclean, kind="pdf", date=DATE)
