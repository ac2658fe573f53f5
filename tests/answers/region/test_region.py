"""A region's cells are answered as `stay` answers, kept, and gone on with."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from solarsim.answers.cautions import bank_stops
from solarsim.answers.question import ask
from solarsim.answers.region import block as block_module
from solarsim.answers.region import region as region_module
from solarsim.answers.region.asked import ask_region
from solarsim.answers.region.block import answer_block, block_bounds, join_blocks
from solarsim.answers.region.cell import CellSolver, _ladder
from solarsim.answers.region.region import region
from solarsim.answers.region.stopped import StoppedBanks
from solarsim.answers.region.summary import months_of_region
from solarsim.answers.seasons import seasons
from solarsim.answers.stay import stay
from solarsim.errors import InputError
from solarsim.inputs.profile import Profile

RUNS = 12
BOX = "36, -9, 39, -5"
# From the shore over the Pyrenees to an island; the middle of the Teide cell lies in the sea.
TEN = ((28.25, -16.75), (36.25, -5.75), (37.75, -3.25), (38.75, -9.25), (40.25, -3.75))
TEN += ((41.75, 0.75), (42.25, 1.25), (42.75, -0.25), (43.25, -4.75), (39.75, 2.75))


@pytest.fixture(scope="module")
def asked():
    return ask_region(ask(runs=RUNS, days=4), BOX, step_deg=1.0)


@pytest.fixture(scope="module")
def answer(asked):
    return region(asked, workers=1)


def stays(asked, index, van=0, month=0):
    question = asked.questions[month][van]
    return stay(question.replace(place=asked.cells.cells[index].place()))


def assert_as_stay(answer, index, van=0, month=0):
    alone = stays(answer.asked, index, van, month)
    at, figures = (van, month, index), answer.figures
    assert figures.p10_days[at] == alone.days.p10
    assert figures.p50_days[at] == alone.days.p50
    assert figures.chance_lasts[at] == alone.chance_lasts
    assert figures.bank_units[at] == (alone.recommended.units or 0)
    assert figures.elevation_m[index] == alone.question.place.elevation_m


@pytest.mark.parametrize("index", [0, -1])
def test_a_cell_is_what_stay_answers_there(answer, index):
    assert_as_stay(answer, index)


@pytest.mark.slow
@pytest.mark.parametrize("van", ["weekender", "long-stayer"])
@pytest.mark.parametrize("month", [1, 12, 5])
def test_ten_cells_are_what_stay_answers_there(van, month):
    """Vans that are cut off within the stay, past it, and never: the three ways through a cell."""
    asked = ask_region(ask(van, runs=200), "27, -18, 44, 5", months=[month])
    at = [(c.latitude_deg, c.longitude_deg) for c in asked.cells.cells]
    chosen = tuple(asked.cells.cells[at.index(centre)] for centre in TEN)
    asked = dataclasses.replace(asked, cells=dataclasses.replace(asked.cells, cells=chosen))
    answer = region(asked, workers=1)
    for index in range(len(TEN)):
        assert_as_stay(answer, index)


@pytest.mark.slow
def test_vans_side_by_side_are_each_what_stay_answers():
    small = {"settings": ["battery.units=1", "panels.count=1"]}
    asked = ask_region(
        ask("weekender", runs=20, **small), BOX, beside=["long-stayer"], step_deg=2.0, months=[1, 7]
    )
    answer = region(asked, workers=1)
    for van in (0, 1):
        for month in (0, 1):
            assert_as_stay(answer, 0, van, month)


def test_runs_in_several_chunks_change_nothing(asked, monkeypatch, answer):
    monkeypatch.setattr("solarsim.answers.region.cell._CHUNK_RUN_HOURS", 5 * 24 * 4)
    cut = answer_block(asked, 0, 1)
    assert cut.p50_days[0, 0, 0] == answer.figures.p50_days[0, 0, 0]
    assert cut.bank_units[0, 0, 0] == answer.figures.bank_units[0, 0, 0]


def test_blocks_do_not_change_the_answer(asked, answer, monkeypatch):
    monkeypatch.setattr(block_module, "_BLOCK_FIGURES", 2)
    bounds = block_bounds(asked)
    assert bounds[0] == (0, 2)
    assert bounds[-1][1] == len(asked.cells.cells)
    pair = join_blocks([answer_block(asked, *bounds[0]), answer_block(asked, *bounds[1])])
    four = answer_block(asked, 0, 4)
    assert pair == four


@pytest.mark.slow
def test_processes_give_the_same(asked, answer):
    told = []
    spread = region(asked, workers=2, progress=lambda done, cells: told.append((done, cells)))
    assert spread.figures == answer.figures
    assert told[-1] == (len(asked.cells.cells),) * 2


def test_what_is_kept_is_taken_and_what_is_damaged_is_done_again(
    asked, answer, tmp_path, monkeypatch
):
    monkeypatch.setattr(block_module, "_BLOCK_FIGURES", 4)
    done = []

    def watched(asked, blocks):
        for number, first, end in blocks:
            done.append(number)
            # The figures themselves are another test's.
            yield number, slice_of(answer.figures, first, end)

    monkeypatch.setattr(region_module, "here", watched)
    first = region(asked, workers=1, keep=tmp_path / "kept")
    assert first.figures == answer.figures
    assert done == list(range(len(block_bounds(asked))))
    done.clear()
    told = []
    again = region(
        asked, workers=1, keep=tmp_path / "kept", progress=lambda *cells: told.append(cells)
    )
    assert (done, again.figures) == ([], answer.figures)
    assert told == [(len(asked.cells.cells),) * 2]
    files = sorted((tmp_path / "kept").iterdir())
    damaged = files[1].read_bytes()
    files[0].write_bytes(files[0].read_bytes()[:-20])
    files[1].write_bytes(damaged[:300] + bytes([damaged[300] ^ 1]) + damaged[301:])
    files[2].unlink()
    assert region(asked, workers=1, keep=tmp_path / "kept").figures == answer.figures
    assert done == [0, 1, 2]


def slice_of(figures, first, end):
    values = {field.name: getattr(figures, field.name)[..., first:end] for field in fields(figures)}
    return type(figures)(**values)


def fields(record):
    return dataclasses.fields(record)


def test_another_question_starts_anew(asked, tmp_path, monkeypatch):
    calls = []

    def stopped(asked, blocks):
        calls.append(len(blocks))
        yield 0, answer_block(asked, 0, 1)
        raise KeyboardInterrupt

    monkeypatch.setattr(region_module, "here", stopped)
    monkeypatch.setattr(block_module, "_BLOCK_FIGURES", 1)
    blocks = len(block_bounds(asked))
    for question in (asked, asked, ask_region(ask(runs=RUNS, days=4, seed=2), BOX, step_deg=1.0)):
        with pytest.raises(KeyboardInterrupt):
            region(question, workers=1, keep=tmp_path / "kept")
    # What was done before the interruption counts for the same question alone.
    assert calls == [blocks, blocks - 1, blocks]
    assert len(list((tmp_path / "kept").iterdir())) == 1


def test_the_fingerprint_tells_questions_apart(asked):
    base = ask(runs=RUNS, days=4)
    others = [
        ask_region(base, BOX, step_deg=0.5),
        ask_region(base, BOX, step_deg=1.0, months=[2]),
        ask_region(base, BOX, step_deg=1.0, beside=["long-stayer"]),
        ask_region(base, "36, -9, 39, -6", step_deg=1.0),
        *(
            ask_region(base.replace(**changed), BOX, step_deg=1.0)
            for changed in (
                {"runs": 13},
                {"seed": 2},
                {"days": 5},
                {"follow_days": 20},
                {"profile": "light"},
                {"site_uncertainty": False},
                {"settings": ["panels.count=1"]},
            )
        ),
    ]
    prints = {other.fingerprint() for other in others}
    assert len(prints | {asked.fingerprint()}) == len(others) + 1
    assert ask_region(base, BOX, step_deg=1.0).fingerprint() == asked.fingerprint()


def test_a_folder_that_cannot_be_made_is_refused(asked, tmp_path):
    (tmp_path / "file").write_text("")
    with pytest.raises(InputError, match="cannot be made"):
        region(asked, workers=1, keep=tmp_path / "file")


def test_cells_out_at_sea_have_no_figures_and_are_told(asked, answer):
    figures = slice_of(answer.figures, 0, len(answer.figures.has_climate))
    lost = figures.has_climate.copy()
    lost[0] = False
    days = figures.p50_days.copy()
    days[..., 0] = np.nan
    without = dataclasses.replace(figures, has_climate=lost, p50_days=days)
    told = region_module._answer(asked, without)
    assert "1 cell too far from the land" in told.notes[-1]
    assert len(told.frame()) == len(lost) - 1
    with pytest.raises(InputError, match="no cell has a climate"):
        region_module._answer(asked, dataclasses.replace(figures, has_climate=lost & False))


@pytest.mark.slow
def test_the_worst_month_is_that_of_seasons():
    question = ask(runs=6, days=2)
    asked = ask_region(question, "47.5, 13, 48, 13.5", months=range(1, 13))
    answer = region(asked, workers=1)
    place = asked.cells.cells[0].place()
    assert answer.worst_month[0, 0] == seasons(question.replace(place=place)).worst_month
    alone = region(ask_region(question, "47.5, 13, 48, 13.5", months=[3]), workers=1)
    assert alone.worst_month.tolist() == [[0]]


def test_land_is_weighed_by_its_size(answer):
    (month,) = months_of_region(answer)
    weights = answer.asked.cells.land_km2
    holds = answer.figures.chance_lasts[0, 0] >= 0.9
    assert month.land_share == pytest.approx(weights[holds].sum() / weights.sum())
    assert month.p50_low_days <= month.p50_middle_days <= month.p50_high_days
    if month.worst_cell is not None:
        chances = answer.figures.chance_lasts[0, 0]
        assert chances[month.worst_cell] == chances.min()


@pytest.mark.parametrize(
    ("changed", "told"),
    [
        ({"months": [0]}, "months: got 0; must be 1 to 12"),
        ({"months": []}, "months: got none"),
        ({"beside": ["weekender"] * 4}, "got 5; at most 4 vans"),
        ({"beside": ["weekendr"]}, "weekender"),
        ({"step_deg": "half"}, "step: got 'half'"),
        ({"step_deg": True}, "step"),
    ],
)
def test_what_cannot_be_asked_is_refused(changed, told):
    with pytest.raises(InputError, match=told):
        ask_region(ask(runs=1), BOX, **changed)


def test_a_load_that_no_bank_carries_is_refused():
    lamp = {"name": "lamp", "power_w": 20_000.0, "count": 10, "hours_per_day": 24.0}
    heavy = ask(runs=1, days=2, profile=Profile.build("lamps", appliances=[lamp]))
    with pytest.raises(InputError, match="no bank can carry it"):
        region(ask_region(heavy, BOX, step_deg=2.0), workers=1)


@pytest.mark.slow
def test_what_was_answered_before_changes_nothing(asked):
    """Neither the neighbours' draws nor how far their runs were followed."""
    solver = CellSolver()
    answer_block(asked, 4, 8, solver)
    assert answer_block(asked, 0, 4, solver) == answer_block(asked, 0, 4)


@pytest.mark.parametrize("likely", [None, 1, 4, 14, 15, 20])
def test_a_likely_bank_changes_the_steps_and_not_what_is_looked_at(likely):
    """All numbers of strings once, with an end where `stay` has one."""
    steps = _ladder(likely)
    assert [n for first, last in steps for n in range(first, last + 1)] == list(range(1, 48))
    assert 15 in {last for _, last in steps}


@pytest.mark.slow
@pytest.mark.parametrize("chemistry", ["lfp", "agm"])
def test_a_bank_is_stopped_as_the_check_stops_it(chemistry):
    """In frost, heat and between, in a bracket of temperatures and across its edges."""
    unprotected = ["battery.bms_cold_cutoff=false"] if chemistry == "lfp" else []
    settings = [f'battery.chemistry="{chemistry}"', 'battery.location="outside"', *unprotected]
    question = ask("weekender", runs=1, settings=settings)
    stopped = StoppedBanks().of_van(0)
    seen = set()
    for low_c in (-41.0, -12.0, -4.0, -0.5, 0.5, 4.0):
        for high_c in (28.0, 39.0, 47.0):
            climate = dataclasses.replace(question.climate, temp_low_c=low_c, temp_high_c=high_c)
            there = dataclasses.replace(question, climate=climate)
            for units in (1, 3, 9):
                found = stopped(there, units)
                assert found == bool(bank_stops(there, units)), (low_c, high_c, units)
                seen.add(found)
    assert seen == {True, False}
