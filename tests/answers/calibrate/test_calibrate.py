"""A log with a known truth gives it back; what it cannot tell, it says."""

from __future__ import annotations

import dataclasses

import numpy as np
import pandas as pd
import pytest
from pvlib import iotools

from solarsim.answers.calibrate.calibrate import calibrate
from solarsim.answers.calibrate.log import read_log
from solarsim.answers.question import ask
from solarsim.errors import InputError
from solarsim.inputs.files.van import van_from_data
from solarsim.inputs.profile import profile_from_data
from solarsim.weather.readers.file import read_weather_file
from tests.answers.calibrate.log_by_hand import make_log
from tests.weather.readers.epw_by_hand import GREENSBORO

assert iotools  # the weather below is the typical year that comes with it


@pytest.fixture(scope="module")
def question():
    return ask("weekender", place="36.10, -79.95", month=9, runs=40)


@pytest.fixture(scope="module")
def year(question):
    return dataclasses.replace(read_weather_file(GREENSBORO), place=question.place)


@pytest.fixture(scope="module")
def truth(year):
    """Noise, a lost day, an afternoon, lost rows, and a counter that drifts for a week."""
    return make_log(year, first="2001-06-01", days=40, load_factor=1.5)


@pytest.fixture
def write(tmp_path):
    def writer(table, name="log.csv", **options):
        path = tmp_path / name
        table.to_csv(path, index=False, **options)
        return path

    return writer


def read(path, question, **options):
    return read_log(path, question.van, question.place, **options)


def told(answer):
    return {one.name: one.value for one in answer.estimates}


def test_a_full_log_gives_its_truth_back(write, question, year, truth):
    answer = calibrate(question, read(write(truth.table), question), year)
    found = told(answer)
    assert found["base load"] == pytest.approx(truth.load_w.mean(), rel=0.05)
    assert answer.load_w == pytest.approx(truth.load_w, rel=0.12)
    assert found["solar yield"] == pytest.approx(truth.yield_factor, rel=0.05)
    assert found["usable capacity"] == pytest.approx(200.0 * truth.capacity_factor, rel=0.08)
    assert found["coulombic efficiency"] == pytest.approx(0.995, abs=0.03)
    assert answer.error_after_soc < 0.8 * answer.error_before_soc
    # More load, less light and a smaller bank than promised.
    assert answer.after.days.mean < answer.before.days.mean
    assert answer.after.chance_lasts <= answer.before.chance_lasts


def bare(truth):
    """The log without its solar column."""
    return truth.table.drop(columns="Solar power (W)")


# Yield, capacity, first day, load: summer, autumn and spring.
TRUTHS = [
    (0.82, 0.88, "2001-06-01", 1.5),
    (0.95, 1.0, "2001-10-01", 1.0),
    (0.7, 0.75, "2001-04-01", 1.0),
]


@pytest.mark.slow
@pytest.mark.parametrize("told_truth", TRUTHS, ids=["summer", "autumn", "spring"])
@pytest.mark.parametrize("seed", [1, 2])
def test_without_a_solar_column_the_weather_tells_the_light(
    write, question, year, told_truth, seed
):
    factor, capacity, first, load = told_truth
    truth = make_log(
        year,
        first=first,
        days=40,
        yield_factor=factor,
        capacity_factor=capacity,
        load_factor=load,
        seed=seed,
    )
    answer = calibrate(question, read(write(bare(truth)), question), year)
    found = told(answer)
    assert found["base load"] == pytest.approx(truth.load_w.mean(), rel=0.05)
    assert found["solar yield"] == pytest.approx(factor, rel=0.05)
    assert found["usable capacity"] == pytest.approx(200.0 * capacity, rel=0.03)
    assert answer.error_after_soc < answer.error_before_soc
    # Load by day and light go together; the stated errors say by how much.
    for one, true in zip(
        answer.estimates, (truth.load_w.mean(), factor, 200.0 * capacity), strict=False
    ):
        assert abs(one.value - true) < 3.0 * one.error, one.name


@pytest.mark.slow
def test_light_that_is_off_by_chance_is_told_with_a_wider_error(write, question, year, truth):
    exact = calibrate(question, read(write(bare(truth)), question), year)
    rng = np.random.default_rng(4)
    off = rng.lognormal(-0.02, 0.2, len(year.times))
    veiled = dataclasses.replace(
        year,
        ghi_w_m2=year.ghi_w_m2 * off,
        dni_w_m2=year.dni_w_m2 * off,
        dhi_w_m2=year.dhi_w_m2 * off,
    )
    answer = calibrate(question, read(write(bare(truth)), question), veiled)
    for name, true in (("solar yield", truth.yield_factor), ("base load", truth.load_w.mean())):
        wide, close = (
            next(one for one in each.estimates if one.name == name) for each in (answer, exact)
        )
        assert wide.error > 2.0 * close.error, name
        assert abs(wide.value - true) < 3.0 * wide.error, name
    assert "more days would tell it closer" in answer.estimates[0].reason


@pytest.mark.slow
def test_without_any_weather_the_climate_stands_in_and_says_so(write, question, truth):
    answer = calibrate(question, read(write(truth.table), question))
    by_name = {one.name: one for one in answer.estimates}
    assert by_name["base load"].value == pytest.approx(truth.load_w.mean(), rel=0.05)
    light = by_name["solar yield"]
    assert light.error / light.value > 0.05  # the climate's own uncertainty
    assert "not these days' sky" in light.reason
    # The sky of these days is left in: one climate error and the typical year's own brightness.
    assert light.value == pytest.approx(truth.yield_factor, rel=0.2)
    answer = calibrate(question, read(write(bare(truth)), question))
    assert any("cannot be separated from the sun" in note for note in answer.notes)
    load = next(one for one in answer.estimates if one.name == "base load")
    assert load.error > 0.1 * load.value
    assert abs(load.value - truth.load_w.mean()) < 2.0 * load.error


@pytest.mark.slow
def test_states_of_charge_alone_tell_no_capacity(write, question, year, truth):
    table = truth.table[["Timestamp", "SOC (%)"]]
    answer = calibrate(question, read(write(table), question), year)
    by_name = {one.name: one for one in answer.estimates}
    assert by_name["usable capacity"].value is None
    assert "no current or power" in by_name["usable capacity"].reason
    assert by_name["coulombic efficiency"].value is None
    # Load and light stand and fall with the capacity: told with a wide error, or not at all.
    for name, true in (("base load", truth.load_w.mean()), ("solar yield", truth.yield_factor)):
        one = by_name[name]
        if one.value is None:
            assert "its error would be" in one.reason
        else:
            assert one.error > 0.1 * one.value
            assert abs(one.value - true) < 3.0 * one.error


def test_shallow_cycles_tell_no_capacity(write, question, year):
    small = make_log(year, first="2001-06-01", days=12, load_factor=0.4)
    answer = calibrate(question, read(write(small.table), question), year)
    capacity = next(one for one in answer.estimates if one.name == "usable capacity")
    assert capacity.value is None
    assert "only used between" in capacity.reason
    # The van's own capacity stays in the calibrated van.
    assert answer.van_tables["battery"]["unit_capacity_ah"] == 100.0


@pytest.mark.slow
def test_the_calibrated_tables_are_a_van_and_its_loads(write, question, year, truth):
    answer = calibrate(question, read(write(truth.table), question), year)
    van = van_from_data(answer.van_tables, source="van")
    found = told(answer)
    assert van.bank_capacity_ah == pytest.approx(found["usable capacity"], rel=1e-3)
    kept = (1.0 - van.panels.soiling_share) / (1.0 - question.van.panels.soiling_share)
    assert kept == pytest.approx(found["solar yield"], rel=1e-3)
    profile = profile_from_data(answer.profile_tables, source="loads")
    assert profile.hourly.dc_w == pytest.approx(answer.clock_w, abs=0.05)
    assert profile.cabin == question.profile.cabin
    # A summer's log does not show the heater: it stays as the profile has it.
    by_name = {one.name: one for one in profile.appliances}
    heater = next(one for one in question.profile.appliances if one.response == "heater")
    assert by_name[heater.name].power_w == heater.power_w > 0.0
    shown = {one.name: one.shown for one in answer.responsive}
    assert not shown[heater.name]
    assert set(by_name) == set(shown)


# ---- how a log is read ----------------------------------------------------------------------


@pytest.mark.slow
def test_columns_units_and_sign_are_guessed_and_told(write, question, truth):
    table = truth.table.rename(
        columns={
            "Timestamp": "Date/Time",
            "SOC (%)": "State of charge",
            "Battery voltage (V)": "Volts",
            "Battery current (A)": "Current [mA]",
            "Solar power (W)": "PV power [kW]",
        }
    ).assign(**{"State of charge": truth.table["SOC (%)"] / 100.0})
    table["Current [mA]"] *= -1000.0
    table["PV power [kW]"] /= 1000.0
    log = read(write(table), question)
    plain = read(write(truth.table, "plain.csv"), question)
    for name in ("soc", "net_a", "net_w", "solar_w"):
        assert getattr(log, name) == pytest.approx(getattr(plain, name), nan_ok=True), name
    said = " ".join(log.guesses)
    for part in ("milliamperes", "kilowatts", "share from 0 to 1", "out of the bank"):
        assert part in said
    # What a person says goes before the guess.
    turned = read(write(table), question, positive="in")
    assert turned.net_a == pytest.approx(-plain.net_a, nan_ok=True)


def as_text(cell, unit):
    return f"{cell}{unit}" if cell == cell else ""


@pytest.mark.one_plain
@pytest.mark.parametrize(
    "form",
    [
        "title",
        "units line",
        "units in cells",
        "newest first",
        "UTF-16",
        "date and clock",
        "12 hours",
    ],
)
def test_exports_as_they_come(tmp_path, write, question, truth, form):
    table = truth.table.iloc[:2000].rename(columns={"Battery current (A)": "Current"})
    plain = read(write(table, "plain.csv"), question)
    path = tmp_path / "log.csv"
    said = ""
    if form == "title":
        path.write_text("Export of the house bank\n\n" + table.to_csv(index=False))
    elif form == "units line":
        milli = table.assign(Current=1000.0 * table["Current"])
        heading, rows = milli.to_csv(index=False).split("\n", 1)
        path.write_text(f"{heading}\n,%,V,mA,W\n{rows}")
        said = "'Current (mA)' is read as milliamperes"
    elif form == "units in cells":
        units = {"SOC (%)": " %", "Battery voltage (V)": "V", "Solar power (W)": " W"}
        for name, unit in units.items():
            table[name] = [as_text(cell, unit) for cell in table[name]]
        table["Current"] = [as_text(round(1000.0 * cell), " mA") for cell in table["Current"]]
        write(table)
    elif form == "newest first":
        write(table.iloc[::-1])
        said = "newest row stands first"
    elif form == "UTF-16":
        path.write_bytes(table.to_csv(index=False, sep="\t").encode("utf-16"))
    elif form == "date and clock":
        stamp = table.pop("Timestamp")
        table.insert(0, "Date", stamp.dt.strftime("%d.%m.%Y"))
        table.insert(1, "Time", stamp.dt.strftime("%H:%M:%S"))
        write(table, sep=";", decimal=",")
    else:
        write(table.assign(Timestamp=table["Timestamp"].dt.strftime("%m/%d/%Y %I:%M:%S %p")))
    log = read(path, question)
    for name in ("soc", "net_a", "net_w", "solar_w"):
        assert getattr(log, name) == pytest.approx(getattr(plain, name), nan_ok=True), name
    assert said in " ".join(log.guesses)


@pytest.mark.slow
def test_a_counter_of_ampere_hours_or_power_stands_in_for_current(write, question, truth):
    plain = read(write(truth.table), question)
    power = truth.table.assign(
        **{"Power (W)": truth.table["Battery voltage (V)"] * truth.table["Battery current (A)"]}
    ).drop(columns="Battery current (A)")
    by_power = read(write(power), question)
    assert by_power.net_a == pytest.approx(plain.net_a, abs=0.05, nan_ok=True)
    step_h = truth.table["Timestamp"].diff().dt.total_seconds().fillna(0.0) / 3600.0
    counted = (truth.table["Battery current (A)"].shift(fill_value=0.0) * step_h).cumsum()
    table = truth.table[["Timestamp", "SOC (%)"]].assign(**{"Consumed Ah": counted.round(3)})
    by_count = read(write(table), question)
    both = np.isfinite(by_count.net_a) & np.isfinite(plain.net_a)
    assert both.mean() > 0.9
    assert by_count.net_a[both] == pytest.approx(plain.net_a[both], abs=0.5)


def test_rows_may_be_irregular_repeated_and_out_of_place(write, question, truth):
    rng = np.random.default_rng(3)
    table = truth.table.iloc[:3000]
    plain = read(write(table), question)
    table = table.assign(
        Timestamp=table["Timestamp"] + pd.to_timedelta(rng.uniform(-60, 60, len(table)), unit="s")
    )
    table["Timestamp"] = table["Timestamp"].dt.round("s")
    rows = pd.concat([table, table.iloc[100:101]])
    log = read(write(rows), question)
    assert any("repeat a moment" in guess for guess in log.guesses)
    assert log.soc == pytest.approx(plain.soc, abs=0.02, nan_ok=True)


@pytest.mark.parametrize(
    ("change", "part"),
    [
        ({"SOC (%)": 300.0}, "must lie in 0..1 or 0..100"),
        ({"Battery current (A)": 50_000.0}, "must be 2000 at most: is it another unit"),
        ({"Battery voltage (V)": 26.0}, "the van's system is 12 V"),
        ({"Battery current (A)": "x"}, "must be a number or empty"),
        ({"Timestamp": "never"}, "must be a date and a time"),
    ],
)
def test_what_no_bank_has_is_refused(write, question, truth, change, part):
    path = write(truth.table.iloc[:1000].assign(**change))
    with pytest.raises(InputError, match=part) as caught:
        read(path, question)
    assert str(caught.value).startswith(str(path))


@pytest.mark.slow
def test_logs_that_tell_nothing(write, question, year, truth):
    with pytest.raises(InputError, match="must span 72"):
        read(write(truth.table.iloc[:200]), question)
    with pytest.raises(InputError, match="neither a state of charge nor a current"):
        read(write(truth.table[["Timestamp", "Battery voltage (V)"]]), question)
    with pytest.raises(InputError, match="no column of times"):
        read(write(truth.table.drop(columns="Timestamp")), question)
    with pytest.raises(InputError, match="'in' or 'out'"):
        read(write(truth.table), question, positive="up")
    with pytest.raises(InputError, match="headings are"):
        read(write(truth.table), question, columns={"soc": "Charge"})
    with pytest.raises(InputError, match="for soc and current; a column is one quantity"):
        read(write(truth.table), question, columns={"soc": "SOC (%)", "current": "SOC (%)"})
    other = read(write(truth.table.assign(
        Timestamp=truth.table["Timestamp"] + pd.DateOffset(years=20)
    )), question)  # fmt: skip
    with pytest.raises(InputError, match="are needed"):
        calibrate(question, other, year)
