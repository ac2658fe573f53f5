"""The list's days are those of the sheet, and a medical device leads to the stricter ones."""

from __future__ import annotations

import pytest

from solarsim.answers.question import ask
from solarsim.answers.sheet.sheet import sheet
from solarsim.answers.stock.stock import stock, van_files
from solarsim.inputs.files.toml import shipped_folder


@pytest.mark.slow
def test_the_days_are_the_sheets_own(tmp_path):
    (tmp_path / "w.toml").write_text((shipped_folder("vans") / "weekender.toml").read_text())
    (row,) = stock(tmp_path, runs=5).vans
    rows = sheet(ask(tmp_path / "w.toml", runs=5)).regions[0].days["typical"]
    days = {one.season: one.days for one in rows}
    assert (row.winter, row.summer) == (days["winter"], days["summer"])
    assert row.safe_days("winter") == days["winter"].p10
    assert set(row.findings) == {"stop", "warn", "note"}


@pytest.mark.parametrize(("runs", "safe"), [(300, True), (20, False)])
def test_where_health_depends_on_it_99_of_100_count(tmp_path, runs, safe):
    (tmp_path / "p.toml").write_text(
        '[profile]\nname = "x"\nmedical = ["breathing device"]\n'
        '[[appliances]]\npart = "breathing device"\n'
    )
    text = (shipped_folder("vans") / "weekender.toml").read_text()
    (tmp_path / "w.toml").write_text(text.replace('"weekend-couple"', '"p.toml"'))
    (row,) = stock(tmp_path, runs=runs).vans
    if safe:
        assert row.medical == ("breathing device",)
        assert row.safe_days("winter") == row.winter.p1 <= row.winter.p10
    else:
        assert "takes 300 runs or more" in row.fault


def test_a_file_without_any_known_table_may_be_a_van(tmp_path):
    (tmp_path / "odd.toml").write_text("[vann]\nname = 'x'\n")
    files, others = van_files(tmp_path)
    assert ([path.name for path in files], others) == (["odd.toml"], ())
    (row,) = stock(tmp_path).vans
    assert "van" in row.fault
