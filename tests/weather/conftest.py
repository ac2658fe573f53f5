"""Weather files that several tests read."""

from __future__ import annotations

import pytest

from solarsim.weather.readers.file import read_weather_file
from solarsim.weather.years.series import YearSeries
from tests.weather.readers.epw_by_hand import GREENSBORO, greensboro_rows


@pytest.fixture(scope="session")
def greensboro() -> YearSeries:
    return read_weather_file(GREENSBORO)


@pytest.fixture(scope="session")
def epw_rows() -> list[list[str]]:
    return greensboro_rows()


@pytest.fixture
def read(tmp_path):
    def reader(content: str | bytes, name: str = "site.epw") -> YearSeries:
        path = tmp_path / name
        path.write_bytes(content if isinstance(content, bytes) else content.encode())
        return read_weather_file(path)

    return reader
