"""The sheet's catalogue, what is shown of levers, cleaned texts, and photos."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from PIL import Image

import solarsim.present.sheet as room
from solarsim.answers.lever_changes import lever_changes
from solarsim.answers.roof import roof
from solarsim.errors import InputError
from solarsim.inputs.files.van import read_van
from solarsim.present.roof.document import roof_document
from solarsim.present.sheet.glyphs import FONT_FOLDERS, Cleaner
from solarsim.present.sheet.page_parts import fuel_words, levers_part, roof_part
from solarsim.present.sheet.photo import MAX_PHOTO_BYTES, read_photo, take_photo
from solarsim.present.sheet.texts import days_number, days_phrase, load_texts, percent_text

FOLDER = Path(room.__file__).parent


def test_no_such_language():
    with pytest.raises(
        InputError, match=r"language: got 'xx'; there is de, en, es, fr, it, nb, nl, pt"
    ):
        load_texts("xx")
    with pytest.raises(InputError, match=r"language: got \['de'\]; there is"):
        load_texts(["de"])


def test_the_levers_that_the_catalogue_names_are_there():
    """Names that the answers no longer give would silently leave the sheet."""
    known = {name for name, _ in lever_changes(read_van("weekender"))}
    named = set(load_texts()["levers"]) - {"without"}
    assert named - known == set()


def levers(*rows, p50=3.0):
    base = {
        "standard_error": 0.1,
        "chance_gained": 0.0,
        "skipped": None,
        "needed": False,
        "stopped": False,
    }
    found = [base | {"name": name, "days_gained": gain} | more for name, gain, more in rows]
    document = {
        "way": "typical",
        "season": "winter",
        "p50": p50,
        "follow_days": 30,
        "levers": found,
    }
    return levers_part({"levers": document}, load_texts(), "Oslo, NO", Cleaner(limited=True))


def test_levers_are_those_of_the_people_aboard_and_sure():
    got = levers(
        ("panels washed", 0.5, {}),
        ("one more battery", 9.0, {}),
        ("parked in the open", 5.0, {"skipped": "it is so already"}),
        ("without: diesel heater", 4.0, {"needed": True}),
        ("without: laptop", 2.0, {}),
        ("half an hour more driving a day (1.5 h more every 3 days)", 0.4, {}),
        ("cooking on induction", -2.0, {"stopped": True}),
        ("cooking on gas", 0.9, {"standard_error": 0.6}),
        ("inverter left on", -1.25, {}),
    )
    assert [(item["text"], item["days"]) for item in got["gains"]] == [
        ("Go without: laptop", "+2.0"),
        ("Wash the panels", "+0.5"),
        ("Drive half an hour more a day", "+0.4"),
    ]
    assert [(item["text"], item["days"]) for item in got["costs"]] == [
        ("Leaving the inverter on", "−1.2")
    ]


def test_no_lever_is_said_in_words():
    assert "a tenth of a day" in levers(("inverter left on", -2.0, {}))["intro"]
    nothing = levers(("panels washed", 0.0, {}), p50=30.0)
    assert "no change is needed" in nothing["intro"]
    assert not nothing["gains"] + nothing["costs"]


@pytest.mark.parametrize("at_least", [False, True])
def test_days_never_say_more_than_there_is(at_least):
    texts = load_texts()
    for tenth in range(0, 3000, 7):
        value = tenth / 100
        said = days_number(texts, value, 30, at_least=at_least)
        assert said != "30+" or value >= 30
        if at_least:
            assert float(said) <= value + 1e-9
        else:
            assert abs(float(said) - value) <= (0.051 if value < 9.95 else 0.51) or value > 29.4
    assert days_number(texts, 29.99, 30) == "29"
    assert days_phrase(texts, 1.0, 30).split() == ["1.0", "day"]
    assert percent_text(texts, 0.004).split() == ["0.4", "%"]
    assert percent_text(texts, 0.997).split() == ["99", "%"]
    assert percent_text(texts, 1.0).split() == ["100", "%"]


def test_texts_are_cleaned_and_what_is_lost_is_remembered():
    clean = Cleaner(limited=True)
    assert clean("Ça\tva \n½ °C → × – ’", "van") == "Ça va ½ °C → × – ’"
    assert clean("Ёлка Ωμέγα", "van") == "Ёлка Ωμέγα"
    assert clean("\u202eevil\u0007", "van") == "evil"
    assert clean.dropped == {}
    assert clean("Bus 🚐", "places") == "Bus"
    assert clean("日本", "roof") == ""
    assert list(clean.dropped) == ["places", "roof"]
    assert Cleaner(limited=False)("Bus 🚐 日本", "van") == "Bus 🚐 日本"
    assert clean("x" * 500, "places").replace("\u200b", "") == "x" * 39 + "…"
    assert "\u200b" in clean("x" * 39, "van")


def test_the_font_is_small_free_and_holds_the_signs():
    from fontTools.ttLib import TTFont

    files = sorted(FONT_FOLDERS[0].glob("*.ttf"))
    assert [path.name for path in files] == ["Inter-Regular.ttf", "Inter-SemiBold.ttf"]
    assert sum(path.stat().st_size for path in files) < 300_000
    assert "SIL OPEN FONT LICENSE" in (FONT_FOLDERS[0] / "OFL.txt").read_text()
    for path in files:
        with TTFont(path) as font:
            letters = font.getBestCmap()
            assert "Open Font License" in font["name"].getDebugName(13)
        assert not [sign for sign in "°×–—½¼¾²³→←↑↓≥≤−…’“•äßñøłžőąđţ€£" if ord(sign) not in letters]


def encoded(size=(1600, 1000), kind="PNG", mode="RGB", **more):
    out = io.BytesIO()
    colour = {"RGB": "red", "RGBA": (255, 0, 0, 0), "1": 1}[mode]
    Image.new(mode, size, colour).save(out, kind, **more)
    return out.getvalue()


def test_a_photo_is_made_small_and_says_nothing_of_its_camera():
    exif = Image.Exif()
    exif[0x010F] = "maker-of-the-camera"
    exif[0x0112] = 6
    photo = take_photo(encoded(kind="JPEG", exif=exif), source="x.jpg")
    # 900 pixels along, 562.5 across, and turned upright as tag 274 says (Exif 2.3, orientation 6).
    assert (photo.width_px, photo.height_px) == (563, 900)
    assert b"maker-of-the-camera" not in photo.jpeg
    again = Image.open(io.BytesIO(photo.jpeg))
    assert again.format == "JPEG"
    assert not again.getexif()
    assert again.size == (563, 900)
    assert take_photo(encoded(kind="JPEG", exif=exif), source="x.jpg") == photo


def test_what_is_clear_in_a_photo_becomes_white():
    photo = take_photo(encoded((40, 20), mode="RGBA"), source="x.png")
    assert Image.open(io.BytesIO(photo.jpeg)).getpixel((5, 5)) == (255, 255, 255)


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"no picture", "no JPEG, PNG or WebP"),
        (b"", "no JPEG, PNG or WebP"),
        (encoded((40, 20), "GIF"), "no JPEG, PNG or WebP"),
        (encoded((400, 300), "JPEG")[:900], "no JPEG, PNG or WebP"),
        (encoded((9000, 8000), mode="1"), "9000 x 8000 pixels; at most 25,000,000"),
        (b"x" * (MAX_PHOTO_BYTES + 1), "bytes; at most 20,000,000"),
    ],
)
def test_a_photo_that_cannot_be_used_is_refused(content, words):
    with pytest.raises(InputError, match=words) as refused:
        take_photo(content, source="photo.jpg")
    assert "photo.jpg" in str(refused.value)


def test_a_photo_that_is_not_there(tmp_path):
    with pytest.raises(InputError, match="cannot be read"):
        read_photo(tmp_path / "none.jpg")
    with pytest.raises(InputError, match="is no ordinary file"):
        read_photo(tmp_path)


def test_the_roof_s_caption_tells_what_the_plan_does_not_show():
    plan = roof_document(roof(read_van("weekender")))
    van = {"panels": 2, "panels_w": 400.0, "more_roof_w": 0.0}
    texts = load_texts()

    def caption(van):
        return roof_part({"roof": plan, "van": van}, texts, "metric", Cleaner(limited=True))[
            "caption"
        ]

    assert "further" not in caption(van)
    more = caption(van | {"more_roof_w": 200.0})
    assert "200\u00a0W of further panels, which the plan does not show" in more


def test_the_typical_use_says_what_it_burns():
    spread = {"p10": 1.0, "p50": 2.0, "p90": 3.46}
    summer = {"diesel": {"p90": 0.123}, "propane": {"p90": 0.09}}
    way = {"fuel": {"winter": {"diesel": spread, "propane": {"p90": 0.0931}}, "summer": summer}}
    text = " ".join(fuel_words(way, load_texts()).split())
    assert "up to 3.5 L of diesel and 0.10 kg of propane a day in winter" in text
    assert "0.13 L of diesel and 0.09 kg of propane in summer" in text
    summer["petrol"] = {"p90": 0.001}
    assert "petrol" not in fuel_words(way, load_texts())
    assert fuel_words({}, load_texts()) == ""
    assert fuel_words({"fuel": {"winter": {}, "summer": {}}}, load_texts()) == ""
