"""The shipped climate bundle and place table, and what reads them when they are built."""

import datetime
import gzip
import pickle
import zoneinfo

import numpy as np
import pandas as pd
import pytest

from solarsim.data.build.__main__ import CLIMATE_LIMIT_BYTES
from solarsim.data.build.climate import climate_bytes
from solarsim.data.build.land import halve, quarter_grid
from solarsim.data.build.places import HEADER, MIN_POPULATION
from solarsim.data.build.radiation import clearness_quantiles, month_quantiles
from solarsim.data.build.restricted_pickle import load_table
from solarsim.weather.climate.data import CLIMATE_FILE
from solarsim.weather.places import PLACES_FILE
from solarsim.weather.sky.extraterrestrial import monthly_extraterrestrial_kwh_m2


@pytest.fixture(scope="module")
def arrays():
    with np.load(CLIMATE_FILE, allow_pickle=False) as file:
        return {name: file[name] for name in file.files}


@pytest.fixture(scope="module")
def towns():
    frame = pd.read_csv(PLACES_FILE, keep_default_na=False, low_memory=False)
    return frame[frame["timezone"] != ""]


def test_the_bundle_is_small():
    assert CLIMATE_FILE.stat().st_size < CLIMATE_LIMIT_BYTES
    assert PLACES_FILE.stat().st_size < 3_000_000


def test_notice_names_every_source():
    text = CLIMATE_FILE.with_name("NOTICE").read_text(encoding="utf-8")
    flat = " ".join(text.split())
    assert "Generated using Copernicus Climate Change Service information [2026]" in flat
    assert "Neither the European Commission nor ECMWF is responsible" in flat
    for word in (
        "MERRA-2",
        "GLDAS",
        "PVCZ-2019",
        "GeoNames",
        "CM SAF",
        "Attribution 4.0",
        "BSD 3-Clause",
    ):
        assert word in flat


def test_clearness_quantiles_are_physical(arrays):
    first = arrays["kt_first"].astype(int)
    codes = np.concatenate(
        [first[..., None], first[..., None] + np.cumsum(arrays["kt_steps"].astype(int), axis=-1)],
        axis=-1,
    )
    kt = codes / 800.0
    assert kt.shape[1:] == (12, 64)
    assert kt.min() >= 0.0
    assert kt.max() <= 0.85
    # The least sunny and the sunniest land of the world, monthly means.
    assert 0.1 < kt.mean(axis=-1).min() < 0.3
    assert 0.7 < kt.mean(axis=-1).max() < 0.85
    # Days differ everywhere.
    assert (kt[..., -1] > kt[..., 0]).all()


def test_masks_count_their_cells(arrays):
    for mask, name in (
        ("kt_mask", "kt_first"),
        ("kt_mask", "kt_precipitation"),
        ("ghi_mask", "ghi"),
        ("half_mask", "low"),
        ("node_mask", "node_elevation"),
    ):
        assert np.unpackbits(arrays[mask]).sum() == len(arrays[name])
    assert arrays["node_temperature"].shape == (12, len(arrays["node_elevation"]))


def test_land_values_are_physical(arrays):
    temperature = arrays["node_temperature"].cumsum(axis=1).cumsum(axis=0) * 0.1
    # Verkhoyansk's January and the Persian Gulf's July, as quarter-degree means over 26 years.
    assert -52.0 < temperature.min() < -40.0
    assert 36.0 < temperature.max() < 42.0
    for name in ("low", "high"):
        assert 4.0 <= arrays[name].min() * 0.1 < arrays[name].max() * 0.1 < 60.0
    assert arrays["node_elevation"].min() * 4 >= -450
    assert 5000 < arrays["node_elevation"].max() * 4 < 6500
    ghi = arrays["ghi"][arrays["ghi"] > 0] * 0.002
    assert 1.5 < ghi.min() < ghi.max() < 7.5
    assert (arrays["wind"] * 0.1).max() < 13.0
    precipitation = (arrays["precipitation"] * 0.04) ** 2
    satellite = arrays["satellite"] * 0.002
    # December in the north and June in the Alps' south, kWh/m2/day.
    assert 0.25 < satellite.min() < 0.4
    assert 6.0 < satellite.max() < 7.5
    assert np.abs(arrays["airfield_above_grid"]).max() <= 1500
    # About 2 mm a day over land (global land mean near 750 mm a year; from memory).
    assert 1.5 < precipitation.mean() < 3.0


def test_equal_arrays_give_equal_bytes():
    arrays = {"a": np.arange(5, dtype=np.int16)}
    assert climate_bytes(arrays) == climate_bytes({"a": arrays["a"].copy()})


def test_towns_are_complete(towns):
    assert tuple(towns.columns) == HEADER
    assert len(towns) > 60_000
    assert (towns["population"] >= MIN_POPULATION).all()
    assert towns["latitude_deg"].astype(float).between(-90, 90).all()
    assert towns["longitude_deg"].astype(float).between(-180, 180).all()
    # Namibia, which a careless reader takes for a missing value.
    assert (towns["country_code"] == "NA").sum() > 10
    assert set(towns["timezone"]) <= zoneinfo.available_timezones()


def test_no_field_holds_a_separator():
    for line in gzip.decompress(PLACES_FILE.read_bytes()).decode().splitlines():
        assert line.count(",") == len(HEADER) - 1
        assert '"' not in line


def smoothed_histogram(daily_ghi_w_m2):
    """A kernel density estimate with 128 bins, the way the histograms were made."""
    spread = daily_ghi_w_m2.std()
    width = 1.059 * spread * len(daily_ghi_w_m2) ** -0.2
    at = np.linspace(daily_ghi_w_m2.min() - 3 * width, daily_ghi_w_m2.max() + 3 * width, 128)
    z = (at[:, None] - daily_ghi_w_m2[None, :]) / width
    return at, np.exp(-0.5 * z**2).mean(axis=1)


@pytest.mark.parametrize(("latitude", "month"), [(45.0, 2), (60.0, 1), (10.0, 6)])
def test_month_quantiles_undo_smoothing_and_the_march_of_h0(latitude, month):
    from solarsim.weather.sky.extraterrestrial import daily_extraterrestrial_kwh_m2

    rng = np.random.default_rng(month)
    start, days = (1, 32, 60, 91, 121, 152, 182)[month], (31, 28, 31, 30, 31, 30, 31)[month]
    h0_day = np.tile(daily_extraterrestrial_kwh_m2(latitude, start + np.arange(days)), 5)
    # The same values on shuffled days of each year, so that clearness does not follow the date.
    kt = np.clip(0.5 + 0.14 * np.sqrt(3.0) * np.linspace(-1, 1, 5 * days), 0.1, 0.8)
    orders = [rng.permutation(5 * days) for _ in range(400)]
    kt = kt[min(orders, key=lambda order: abs(np.corrcoef(kt[order], h0_day)[0, 1]))]
    ghi, weights = smoothed_histogram(kt * h0_day / 0.024)
    h0, h0_square = monthly_extraterrestrial_kwh_m2(latitude)
    found = month_quantiles(ghi, weights, h0[month], h0_square[month], days)
    assert (np.diff(found) >= 0).all()
    assert found.mean() == pytest.approx(kt @ h0_day / h0_day.sum(), abs=0.005)
    assert found.std() == pytest.approx(kt.std(), rel=0.06)
    # Without the correction the spread is at least 5 % too wide.
    share = weights / weights.sum()
    raw = np.sqrt(share @ (ghi - share @ ghi) ** 2) * 0.024 / h0[month]
    assert raw > 1.05 * kt.std()


def test_polar_winter_takes_the_nearest_month_with_sun():
    bins = np.linspace(0.0, 300.0, 128)
    ghi = np.broadcast_to(bins, (1, 1, 12, 128))
    weights = np.exp(-(((ghi - 60.0) / 20.0) ** 2)).copy()
    weights[0, 0, 11] = np.nan
    found = clearness_quantiles(ghi, weights, np.array([71.0]))
    h0, _ = monthly_extraterrestrial_kwh_m2(71.0)
    assert h0[11] == 0.0
    assert h0[0] < 0.5 < h0[1]
    assert np.isfinite(found).all()
    np.testing.assert_array_equal(found[0, 0, 0], found[0, 0, 1])


def test_cell_without_data_in_a_sunny_month_is_no_land():
    ghi = np.broadcast_to(np.linspace(0.0, 300.0, 128), (1, 1, 12, 128))
    weights = np.ones((1, 1, 12, 128))
    weights[0, 0, 5] = np.nan
    assert np.isnan(clearness_quantiles(ghi, weights, np.array([45.0]))).all()


def test_quarter_grid_and_halving():
    latitude = np.array([-56.875, -56.625, 80.0])
    longitude = np.array([-179.875, -179.625, 0.0])
    quarter = quarter_grid(latitude, longitude, np.array([1.0, 3.0, 9.0]))
    assert np.isfinite(quarter).sum() == 2
    half = halve(quarter)
    assert half[0, 0] == 2.0
    assert np.isfinite(half).sum() == 1


def test_table_pickle_refuses_foreign_classes():
    class Evil:
        def __reduce__(self):
            return print, ("ran",)

    with pytest.raises(pickle.UnpicklingError, match=r"builtins\.print"):
        load_table(pickle.dumps(Evil()))
    with pytest.raises(pickle.UnpicklingError, match="date"):
        load_table(pickle.dumps(datetime.date(2026, 1, 1)))


def test_table_pickle_reads_arrays_of_the_old_layout():
    array = np.arange(3.0)
    new, old = b"\x8c\x16numpy._core.multiarray", b"\x8c\x15numpy.core.multiarray"
    data = pickle.dumps(array, protocol=4)
    assert new in data
    # Without its frame (opcode and eight bytes of length) the stream may change its length.
    data = (data[:2] + data[11:]).replace(new, old)
    np.testing.assert_array_equal(load_table(data), array)
