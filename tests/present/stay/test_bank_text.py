"""What stands around the banks and the days: the cold, the cut-off, the chargers' part."""

from __future__ import annotations

import io

import pytest
from rich.console import Console

from solarsim.answers.bank import bank
from solarsim.answers.question import ask
from solarsim.answers.stay import stay
from solarsim.power.design import design_of, usable_wh
from solarsim.present.stay.text import print_bank, print_stay

AGM = 'battery.part="100 Ah AGM"'


def shown(printer, answer):
    out = io.StringIO()
    printer(answer, Console(file=out, width=200))
    return " ".join(out.getvalue().split())


def test_a_cold_bank_says_what_of_its_rating_is_left_and_where_it_is_cut_off():
    question = ask(month=1, runs=5, settings=[AGM])
    banks, answer = bank(question), stay(question)
    temp_c = answer.conditions.bank_temp_c
    design = design_of(question.van)
    share = usable_wh(design, temp_c) / usable_wh(design)
    assert 0.7 < share < 0.95
    said = f"at the bank's {temp_c:.0f} C it is {100 * share:.0f} % of that"
    assert said in shown(print_bank, banks)
    cut = f"cut off at 50 %, and at {100 * (1 - 0.5 * share):.0f} % at its {temp_c:.0f} C"
    text = shown(print_stay, answer)
    assert cut in text
    # And no run keeps on serving below it.
    assert answer.soc.worst.min() < 1.0 - 0.45 * share


def test_a_warm_bank_is_cut_off_at_its_floor_alone():
    question = ask(place="Nairobi", month=3, runs=5)
    assert "The bank is cut off at 10 %." in shown(print_stay, stay(question))
    assert "of that" not in shown(print_bank, bank(question))


def test_the_load_by_hand_is_that_of_a_bank_that_stays_on():
    """The inverter's loss of 20 W day and night is in it, however soon a single unit is empty."""
    answer = bank(ask("long-stayer", place="Salzburg, AT", month=1, days=5, runs=5))
    chosen = next(one for one in answer.options if one.units == answer.recommended.units)
    assert chosen.demand_wh_per_day > 1.02 * answer.options[0].demand_wh_per_day
    assert answer.by_hand.load_ah_per_day == pytest.approx(chosen.demand_wh_per_day / 24.0)
    assert f"{chosen.units} units carry it {answer.by_hand.days:.1f} days" in shown(
        print_bank, answer
    )


@pytest.mark.parametrize(
    ("share", "said"), [(0.85, "alternator, counted at 85 % of its rating"), (1.0, "alternator")]
)
def test_what_part_of_the_charger_s_rating_counts_is_said(share, said):
    settings = ["alternator.drive_h=1", f"alternator.output_share={share}"]
    text = shown(print_stay, stay(ask(month=6, runs=3, settings=settings)))
    assert f"│ {said} │" in text


def test_a_plan_that_comes_after_the_bank_is_empty_says_so():
    """The first drive comes on the third day at ten, 2.7 days after arriving at 17:00."""
    settings = ["alternator.drive_h=1", "alternator.every_days=3", "battery.units=1"]
    late = stay(ask(month=12, runs=5, settings=settings))
    assert late.days.p90 < 2.7
    assert late.notes[0] == (
        "the plan's first drive comes 2.7 days after arrival: 100 % of runs are cut off before it"
    )
    summer = stay(ask(month=7, runs=5, settings=settings))
    assert not any("first drive" in note for note in summer.notes)
