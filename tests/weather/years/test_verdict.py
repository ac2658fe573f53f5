"""A file's verdict, and what its repair gives back: each spoiled file against the whole one."""

from __future__ import annotations

import dataclasses

import pytest

from solarsim.errors import WeatherFileError
from solarsim.present.history.quality import verdict_text
from solarsim.weather.readers.file import read_weather_file
from solarsim.weather.years.verdict import repairs_of, verdict_of
from tests.weather.readers.epw_by_hand import GHI, GREENSBORO, copied, epw_text, greensboro_rows


@pytest.fixture(scope="module")
def rows():
    return greensboro_rows()


@pytest.fixture
def read(tmp_path):
    def reader(text, name="site.epw", **options):
        (tmp_path / name).write_text(text)
        return read_weather_file(tmp_path / name, **options)

    return reader


def late(rows, hours):
    """The same stamps, each with the values of some hours before."""
    stamps = [cells[:5] for cells in rows]
    values = [cells[5:] for cells in rows]
    return [stamp + values[(at - hours) % len(values)] for at, stamp in enumerate(stamps)]


@pytest.mark.slow
def test_a_published_year_is_to_be_used():
    assert verdict_of(read_weather_file(GREENSBORO)) == verdict_of(
        read_weather_file(GREENSBORO, repair=True)
    )
    verdict = verdict_of(read_weather_file(GREENSBORO))
    assert (verdict.grade, verdict.reasons, verdict.repairs) == ("use it", (), ())
    assert verdict_text(verdict) == "Use it."


@pytest.mark.parametrize("hours", [1, 2, -1])
def test_stamps_that_are_off_are_moved_back(read, rows, hours):
    whole = read(epw_text(rows))
    text = epw_text(late(rows, hours))
    with pytest.raises(WeatherFileError, match="below the horizon"):
        read(text, "late.epw")
    repaired = read(text, "late.epw", repair=True)
    way = "earlier" if hours > 0 else "later"
    assert repairs_of(repaired) == (f"moves all stamps {abs(hours)} h {way}",)
    assert verdict_of(repaired).grade == "use it"
    for name in ("ghi_w_m2", "dni_w_m2", "temp_air_c"):
        inside = slice(3, -3)
        assert (getattr(repaired, name)[inside] == getattr(whole, name)[inside]).all(), name


def test_light_at_night_is_cut(read, rows):
    lit = copied(rows, GHI, "8", at=slice(0, 24 * 40, 24))
    verdict = verdict_of(read(epw_text(lit)))
    assert verdict.grade == "use it with care"
    assert "hours of night hold light" in verdict.reasons[0]
    assert verdict.repairs == ("sets the light of the night to zero",)
    repaired = read(epw_text(lit), repair=True)
    assert verdict_of(repaired).grade == "use it"
    assert (repaired.ghi_w_m2 == read(epw_text(rows)).ghi_w_m2).all()
    # More than a little is refused, and mended all the same.
    bright = epw_text(copied(rows, GHI, "80", at=slice(0, 24 * 40, 24)))
    with pytest.raises(WeatherFileError, match="below the horizon"):
        read(bright)
    assert verdict_of(read(bright, repair=True)).grade == "use it"


def test_a_year_that_begins_with_the_last_hour_of_the_day_before(read, rows):
    whole = read(epw_text(rows))
    turned = read(epw_text([rows[-1], *rows[:-1]]))
    assert any("was put at its end" in note for note in turned.notes)
    longer = read(epw_text([rows[-1], *rows]))
    assert any("was left out" in note for note in longer.notes)
    for name in ("ghi_w_m2", "temp_air_c", "wind_speed_m_s"):
        assert (getattr(turned, name) == getattr(whole, name)).all()
        assert (getattr(longer, name) == getattr(whole, name)).all()
    # A wrong cell is still named by its own line.
    spoiled = [list(cells) for cells in (rows[-1], *rows)]
    spoiled[1000][GHI] = "1600"
    with pytest.raises(WeatherFileError, match="got 1600") as caught:
        read(epw_text(spoiled))
    assert "row 1009" in str(caught.value)


@pytest.mark.slow
def test_a_report_of_late_light_is_grave():
    whole = read_weather_file(GREENSBORO)
    quality = dataclasses.replace(whole.quality, lag_minutes=62.4)
    text = verdict_text(verdict_of(dataclasses.replace(whole, quality=quality)))
    assert text == (
        "Do not use it: its light comes 62 min after the sun, so that its stamps are off. "
        "`--repair --out clean.csv` moves all stamps 1 h earlier."
    )
    quality = dataclasses.replace(whole.quality, lag_minutes=-30.0)
    verdict = verdict_of(dataclasses.replace(whole, quality=quality))
    assert (verdict.grade, verdict.repairs) == ("use it with care", ())


def test_less_than_a_year_and_gaps_ask_for_care():
    whole = read_weather_file(GREENSBORO)
    part = dataclasses.replace(whole, times=whole.times[: 24 * 60])
    assert "less than whole years" in verdict_of(part).reasons[0]
    quality = dataclasses.replace(whole.quality, missing_share=0.05)
    assert verdict_of(dataclasses.replace(whole, quality=quality)).grade == "use it with care"
    quality = dataclasses.replace(whole.quality, missing_share=0.2, above_clear_share=0.12)
    verdict = verdict_of(dataclasses.replace(whole, quality=quality))
    assert verdict.grade == "do not use it"
    assert "missing" in verdict.reasons[0]
    assert "brighter" in verdict.reasons[1]
    with pytest.raises(ValueError, match="no quality report"):
        verdict_of(dataclasses.replace(whole, quality=None))
