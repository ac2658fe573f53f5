"""A generator in the dispatch: the twin, by-hand sums, and what it must never do."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solarsim.power.dispatch import Chargers, GeneratorOffer, dispatch
from solarsim.power.ledger import Term, ledger_residual
from tests.power.against_twin import RUNS, beside, held_to_twin, hours_of
from tests.power.test_dispatch import design, scenario
from tests.power.twin import twin

HOURS = 24 * 6


def offer(hours=HOURS, *, amperes=30.0, watts=0.0, rated_a=None, start=0.6, stop=0.8):
    clock = np.arange(hours) % 24
    allowed = ((clock >= 9) & (clock < 11)) | ((clock >= 17) & (clock < 19))
    # Half an hour at the end of the evening's.
    share = allowed * np.where(clock == 18, 0.5, 1.0)
    rated = None if rated_a is None else rated_a * share
    return GeneratorOffer(amperes * share, watts * share, start, stop, rated)


def case_with(generator, seed=3, *, sun=0.3, **changes):
    case = scenario(seed, **{"hours": HOURS, "power": 1.0} | changes)
    case["panel_w"] = sun * case["panel_w"]
    return case | {"chargers": dataclasses.replace(case["chargers"], generator=generator)}


@pytest.mark.parametrize("chemistry", ["lfp", "agm"])
@pytest.mark.parametrize(("amperes", "watts"), [(30.0, 0.0), (0.0, 350.0)])
@pytest.mark.parametrize("cold", [False, True])
def test_the_kernel_is_its_twin_with_a_generator(chemistry, amperes, watts, cold):
    generator = offer(amperes=amperes, watts=watts)
    case = case_with(generator, cold=cold)
    designs = [
        design(chemistry, capacity_ah=100.0 + 150.0 * i, panel_count=i, pwm=i == 1)
        for i in range(3)
    ]
    got = held_to_twin(case, designs, start_soc=0.7, ledger_hours=HOURS - 24)
    # Lead-acid in the cold is cut off above the level at which it starts.
    runs = (got.ledger_wh[:, Term.GENERATOR] > 0.0).any()
    assert runs or (cold and chemistry == "agm")
    assert (ledger_residual(got.ledger_wh) < 1e-9).all()


@pytest.mark.parametrize("chemistry", ["lfp", "agm"])
def test_the_kernel_is_its_twin_where_watts_meet_the_rating(chemistry):
    """350 W are 26.5 A at 13.2 V: some hours are held to these, others are not."""
    rated_a = 26.5
    case = case_with(offer(amperes=0.0, watts=350.0, rated_a=rated_a))
    shore_w = 350.0 * (case["chargers"].shore_a > 0.0)
    on_post = (shore_w > 0.0).any(axis=0)
    case["chargers"] = dataclasses.replace(
        case["chargers"],
        shore_a=np.where(shore_w > 0.0, 0.0, case["chargers"].shore_a),
        shore_w=shore_w,
        shore_rated_a=rated_a * on_post,
    )
    designs = [design(chemistry, capacity_ah=100.0 + 150.0 * i, panel_count=i) for i in range(3)]
    kept = {"start_soc": 0.7, "ledger_hours": HOURS - 24}
    got = held_to_twin(case, designs, **kept)
    assert (ledger_residual(got.ledger_wh) < 1e-9).all()
    free = dataclasses.replace(
        case["chargers"], generator=offer(amperes=0.0, watts=350.0), shore_rated_a=None
    )
    unlimited = dispatch(**case | {"chargers": free}, designs=designs, **kept)
    for used, refused in (
        (Term.GENERATOR, Term.GENERATOR_REFUSED),
        (Term.SHORE, Term.SHORE_REFUSED),
    ):
        given_wh, most_wh = (one.ledger_wh[:, [used, refused]].sum() for one in (got, unlimited))
        assert 0.9 * most_wh < given_wh < most_wh


def steady(generator, *, dc_w=60.0, start_soc=0.6, hours=HOURS, capacity_ah=200.0):
    nothing = np.zeros((1, hours))
    return dispatch(
        **nothing_but(Chargers(nothing, nothing, nothing, generator=generator))
        | {"dc_w": nothing + dc_w},
        designs=[design(capacity_ah=capacity_ah, panel_count=0)],
        start_soc=start_soc,
        ledger_hours=hours,
        soc_designs=1,
    )


def test_it_starts_at_its_level_in_an_allowed_hour_and_stops_at_the_other():
    soc = steady(offer(amperes=60.0), dc_w=80.0).soc[0, :, 0]
    rising = np.flatnonzero(np.diff(soc) > 0.0)
    assert len(rising)
    assert set(rising % 24) <= {9, 10, 17, 18}
    for hour in rising:
        began = soc[hour] <= 0.6
        went_on = hour - 1 in rising and soc[hour] < 0.8
        assert began or went_on


def test_its_energy_is_amperes_at_the_banks_voltage():
    hours = 24
    generator = GeneratorOffer(np.full(hours, 10.0), np.zeros(hours), 1.0, 1.0)
    ledger = steady(generator, dc_w=0.0, start_soc=0.4, hours=hours, capacity_ah=1000.0).ledger_wh
    # 240 Ah into a third of 1,000 Ah at 13.1 to 13.4 V and some mV of resistance.
    assert 240.0 * 13.0 < ledger[0, Term.GENERATOR, 0] < 240.0 * 13.6
    assert ledger[0, Term.SHORE, 0] == 0.0


@pytest.mark.parametrize("chemistry", ["lfp", "agm"])
def test_watts_never_pass_the_charger_s_rating(chemistry):
    """380 W would be 30 A at 12.7 V, of a charger of 27 A."""
    hours, nothing = 3, np.zeros((1, 3))
    rated = np.full(hours, 27.0)
    watts = GeneratorOffer(np.zeros(hours), np.full(hours, 380.0), 1.0, 1.0, rated)
    amperes = GeneratorOffer(rated, np.zeros(hours), 1.0, 1.0)
    generators = [Chargers(nothing, nothing, nothing, generator=one) for one in (watts, amperes)]
    shore = Chargers(nothing, nothing, nothing, nothing + 380.0, shore_rated_a=rated)
    socs = [
        dispatch(
            **nothing_but(chargers),
            designs=[design(chemistry, capacity_ah=600.0, panel_count=0)],
            start_soc=0.55,
            ledger_hours=hours,
            soc_designs=1,
        ).soc[0, :, 0]
        for chargers in (*generators, shore)
    ]
    np.testing.assert_array_equal(socs[0], socs[1])
    np.testing.assert_array_equal(socs[2], socs[1])


def nothing_but(chargers):
    hours = chargers.alternator_a.shape[1]
    names = ("panel_w", "dc_w", "ac_w", "inverter_loss_w")
    found = {name: np.zeros((1, hours)) for name in names}
    return found | {"chargers": chargers, "bank_temp_c": np.full((1, hours), 25.0)}


def test_a_rating_that_is_never_met_changes_no_bit():
    case = case_with(offer(amperes=0.0, watts=350.0))
    far = case_with(offer(amperes=0.0, watts=350.0, rated_a=100.0))
    kept = {"designs": [design()], "start_soc": 0.7, "ledger_hours": HOURS, "soc_designs": 1}
    for one, other in zip(
        *(vars(dispatch(**each, **kept)).values() for each in (case, far)), strict=True
    ):
        np.testing.assert_array_equal(one, other)


def test_one_that_may_never_run_changes_no_bit():
    never = offer(amperes=0.0)
    case = case_with(None)
    with_one = case | {"chargers": dataclasses.replace(case["chargers"], generator=never)}
    kept = {"designs": [design()], "start_soc": 0.7, "ledger_hours": HOURS, "soc_designs": 1}
    without, beside = dispatch(**case, **kept), dispatch(**with_one, **kept)
    for one, other in zip(vars(without).values(), vars(beside).values(), strict=True):
        np.testing.assert_array_equal(one, other)


@settings(max_examples=20, deadline=None)
@given(
    seed=st.integers(0, 100),
    amperes=st.floats(5.0, 80.0),
    start=st.floats(0.1, 0.8),
    rise=st.floats(0.0, 0.2),
)
def test_a_generator_never_shortens_a_stay_and_the_ledger_closes(seed, amperes, start, rise):
    generator = offer(amperes=amperes, start=start, stop=start + rise)
    kept = {"designs": [design(), design(capacity_ah=300.0)], "start_soc": 0.7}
    without, beside = (
        dispatch(**case_with(one, seed), **kept, ledger_hours=HOURS) for one in (None, generator)
    )
    assert (beside.first_cut_h >= without.first_cut_h - 1e-9).all()
    assert (ledger_residual(beside.ledger_wh) < 1e-9).all()
    assert (beside.ledger_wh[:, [Term.GENERATOR, Term.GENERATOR_REFUSED]] >= -1e-9).all()
    assert (without.ledger_wh[:, [Term.GENERATOR, Term.GENERATOR_REFUSED]] == 0.0).all()


def test_designs_beside_each_other_do_not_meet_in_the_hours_inputs():
    generator = offer()
    case = case_with(generator)
    designs = [design(capacity_ah=ah) for ah in (80.0, 200.0, 400.0)]
    kept = {"start_soc": 0.7, "ledger_hours": HOURS}
    together = dispatch(**case, designs=designs, **kept)
    for index, one in enumerate(designs):
        alone = dispatch(**case, designs=[one], **kept)
        np.testing.assert_array_equal(alone.ledger_wh[:, :, 0], together.ledger_wh[:, :, index])


@pytest.mark.parametrize(
    "wrong",
    [
        {"charging_a": np.zeros(3)},
        {"charging_a": np.full(HOURS, np.nan)},
        {"charging_w": np.full(HOURS, -1.0)},
        {"rated_a": np.full(HOURS, -1.0)},
        {"start_soc": 0.9},
        {"stop_soc": 1.5},
    ],
)
def test_an_offer_that_cannot_be_is_refused(wrong):
    bad = dataclasses.replace(offer(), **wrong)
    with pytest.raises(ValueError, match=r"generator's|stop_soc"):
        steady(bad)


@pytest.mark.slow
@pytest.mark.parametrize(
    "generator",
    [
        pytest.param(offer(amperes=40.0), marks=pytest.mark.slow, id="amperes"),
        pytest.param(offer(amperes=0.0, watts=530.0, rated_a=40.0), id="watts up to the rating"),
    ],
)
def test_minute_steps_charge_the_same(generator):
    """The hour against one-minute steps of the twin; somebody still looks at full hours."""
    case, ratios, steps = case_with(generator), [], 60
    always = np.ones(HOURS * steps)

    def fine(values):
        return np.repeat(values, steps) if isinstance(values, np.ndarray) else values

    for run in range(RUNS):
        hourly = dispatch(
            **case, designs=[design(capacity_ah=200.0)], start_soc=0.7, ledger_hours=HOURS
        ).ledger_wh[run, :, 0]
        ledger, *_ = twin(
            design(capacity_ah=200.0),
            *map(fine, hours_of(case, run)),
            *(always, always, 0.0 * always),
            **{name: fine(values) for name, values in beside(case, run).items()},
            start_soc=0.7,
            ledger_hours=HOURS,
            step_h=1.0 / steps,
        )
        ratios.append(hourly[Term.GENERATOR] / ledger[Term.GENERATOR])
    # As the other energies against minutes, and a start more or less where the level is met.
    assert np.mean(ratios) == pytest.approx(1.0, abs=0.02)


def test_a_start_that_is_not_given_stands_above_each_designs_floor():
    """Banks of two chemistries beside each other start at 0.4 and at 0.8."""
    case = case_with(dataclasses.replace(offer(stop=0.9), start_soc=None))
    designs = [design("lfp", capacity_ah=200.0), design("agm", capacity_ah=200.0)]
    kept = {"start_soc": 0.85, "ledger_hours": HOURS}
    got = dispatch(**case, designs=designs, **kept)
    for index, start in enumerate((0.4, 0.8)):
        told = case_with(offer(start=start, stop=0.9))
        alone = dispatch(**told, designs=[designs[index]], **kept)
        np.testing.assert_allclose(alone.ledger_wh[:, :, 0], got.ledger_wh[:, :, index])
    assert (got.ledger_wh[:, Term.GENERATOR] > 0.0).any(axis=0).all()
