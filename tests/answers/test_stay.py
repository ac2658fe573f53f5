"""What a builder is warned of beside the days."""

from __future__ import annotations

import pytest

from solarsim.answers.question import ask
from solarsim.answers.stay import stay


def shares(answer):
    """Shares of the sun available that the controller clips and that the cold bank refuses."""
    ledger = answer.ledger_wh_per_day
    available = ledger["solar_available"]
    return ledger["solar_clipped"] / available, ledger["solar_refused_cold"] / available


def told(answer, words):
    return [warning for warning in answer.warnings if words in warning]


@pytest.mark.parametrize(
    ("output_a", "least_share", "most_share", "warned"),
    # A warning from 5 % on (common practice, no source): less is not worth a larger controller.
    [(5, 0.4, 0.6, True), (15, 0.05, 0.08, True), (16, 0.03, 0.05, False), (30, 0.0, 0.0, False)],
)
def test_a_controller_that_is_too_small_is_told(output_a, least_share, most_share, warned):
    answer = stay(ask(month=6, runs=20, settings=[f"controller.max_output_a={output_a}"]))
    assert least_share <= shares(answer)[0] <= most_share
    lines = told(answer, "clip")
    assert bool(lines) == warned
    if warned:
        ledger = answer.ledger_wh_per_day
        clipped = f"clip {ledger['solar_clipped']:.0f} Wh a day of {ledger['solar_available']:.0f}"
        assert lines == [f"the controller's {output_a} A {clipped}"]


def test_clipping_is_not_put_on_one_controller_where_there_are_several():
    own = '[{name="side",kind="roof",part="100 W rigid",count=1,controller={max_output_a=2,'
    own += "max_input_v=100}}]"
    settings = ["controller.max_output_a=5", f"arrays={own}"]
    answer = stay(ask(month=6, runs=5, settings=settings))
    assert len(told(answer, "the controllers' output limits clip")) == 1


@pytest.mark.parametrize(
    ("month", "location", "least_share", "most_share", "warned"),
    # LFP takes no charge below freezing; the heated cabin of Minneapolis in January keeps it above.
    [
        (1, "outside", 0.5, 1.0, True),
        (4, "outside", 0.02, 0.05, True),
        (1, "inside", 0.001, 0.02, False),
        (7, "outside", 0.0, 0.0, False),
    ],
)
def test_a_bank_that_is_too_cold_to_charge_is_told(
    month, location, least_share, most_share, warned
):
    settings = [f'battery.location="{location}"']
    answer = stay(ask(place="Minneapolis", month=month, runs=20, settings=settings))
    assert least_share <= shares(answer)[1] <= most_share
    lines = told(answer, "too cold to charge")
    assert bool(lines) == warned
    if warned:
        refused_wh = answer.ledger_wh_per_day["solar_refused_cold"]
        assert f"for {refused_wh:.0f} Wh a day" in lines[0]
