"""The climate of a place drawn, printed and as a document."""

import io
import json

import pytest
from rich.console import Console

from solarsim.answers.climate import climate
from solarsim.present.climate.chart import climate_bytes, climate_figure
from solarsim.present.climate.text import climate_document, print_climate
from solarsim.weather.places import find_place


@pytest.fixture(scope="module")
def answer():
    return climate(find_place("Obihiro"))


def test_the_picture_holds_years_mean_error_and_station(answer):
    years, mean, station = climate_figure(answer).data
    july = answer.months[6]
    assert years.base[6] == july.ghi_p10_kwh_m2_day
    assert years.base[6] + years.y[6] == pytest.approx(july.ghi_p90_kwh_m2_day)
    assert mean.y[6] == july.ghi_kwh_m2_day
    assert mean.error_y.array[6] == pytest.approx(1.2816 * july.ghi_error_share * mean.y[6])
    assert station.name == "station 47417, JMA normals 1991-2020 (measured)"
    assert station.y[6] == answer.stations[0].ghi_kwh_m2_day[6]


@pytest.mark.slow
@pytest.mark.parametrize(("suffix", "start"), [(".png", b"\x89PNG"), (".svg", b"<?xml")])
def test_stills_are_what_they_say(answer, suffix, start):
    content = climate_bytes(answer, suffix)
    assert content.startswith(start)
    assert content == climate_bytes(answer, suffix)


def test_the_document_says_which_july_it_means(answer):
    document = climate_document(answer)
    json.dumps(document, allow_nan=False)
    assert document["about"].startswith("A month's light is that of the whole month; mid is")
    assert document["stations"][0]["name"] == "station 47417"
    assert len(document["doubts"]) == len(answer.doubts) == 3


def test_the_table_fits_a_terminal(answer):
    out = io.StringIO()
    print_climate(answer, Console(file=out, width=80))
    lines = out.getvalue().splitlines()
    assert max(len(line) for line in lines) <= 80
    assert any(line.startswith("Where not to trust it") for line in lines)
    # Whole words: nothing is cut off in a narrow column.
    assert "…" not in out.getvalue()
