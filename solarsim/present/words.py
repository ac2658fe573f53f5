"""The words and rows that every front shows: headline, ledger, cautions."""

from __future__ import annotations

import calendar
import shlex

from solarsim.answers.bank import units_text
from solarsim.answers.medical import Medical
from solarsim.answers.simulation.summary import DaysUnplugged
from solarsim.answers.stay import StayAnswer
from solarsim.inputs.counts import count_text
from solarsim.inputs.percent import chance_text, percent
from solarsim.inputs.van import Van
from solarsim.inputs.windows import Windows
from solarsim.weather.years.history import years_text

__all__ = [
    "CAUTIONS",
    "HOURLY_MEDIAN",
    "MAP_CAUTION",
    "RESERVE",
    "all_days_text",
    "at_least_text",
    "bank_text",
    "charging_text",
    "circumstances_text",
    "clock_text",
    "count_on_text",
    "counted_text",
    "day_shares",
    "day_shares_text",
    "days_text",
    "dcdc_share_text",
    "headline",
    "ledger_rows",
    "medical_text",
    "month_name",
    "real_years_text",
    "safe_name",
    "safety_text",
    "whisker_begins",
    "whole_days_text",
]

CAUTIONS = (
    "Expected, not guaranteed. Mains AC, high DC current, lithium batteries and work on roofs can "
    "injure or kill: fuse every source, follow the makers' manuals and local codes, and have the "
    "electrical work done or checked by a licensed electrician."
)

MAP_CAUTION = (
    "Expected, not guaranteed. A cell stands for its largest town's height, else for its middle's; "
    "valleys, ridges and shade differ within it."
)

# What the middle of the bands is: no single run goes along it.
HOURLY_MEDIAN = "median of each hour"
# Heading of what is left in the bank above its floor at the stay's lowest hour.
RESERVE = "reserve Wh"


def month_name(month: int) -> str:
    """Return the month's English name."""
    return calendar.month_name[month]


def days_text(days: float, follow_days: int) -> str:
    """Days with one decimal; those followed or beyond as "30 or more", less than one in hours.

    Examples
    --------
    >>> days_text(4.07, 30), days_text(30.0, 30), days_text(1.0, 30)
    ('4.1 days', '30 days or more', '1.0 day')
    >>> days_text(0.5, 30), days_text(0.03, 30)
    ('12 hours', '1 hour')
    """
    if days >= follow_days:
        return f"{follow_days} days or more"
    if float(f"{days:.1f}") >= 1.0:
        return f"{days:.1f} day" + ("" if f"{days:.1f}" == "1.0" else "s")
    hours = round(24.0 * days)
    return count_text(hours, "hour") if hours else "less than an hour"


def at_least_text(days: float, follow_days: int) -> str:
    """The same as what is reached at least, such as "4.1 days or more".

    Examples
    --------
    >>> at_least_text(4.07, 30), at_least_text(30.0, 30), at_least_text(0.01, 30)
    ('4.1 days or more', '30 days or more', 'less than an hour')
    """
    text = days_text(days, follow_days)
    return text if days >= follow_days or round(24.0 * days) == 0 else f"{text} or more"


def charging_text(van: Van) -> str:
    """Return what charges the van beside the sun, for a sentence about how long it lasts.

    Examples
    --------
    >>> from solarsim.inputs.files.van import read_van
    >>> van = read_van("weekender", settings=["alternator.drive_h=1", "alternator.every_days=3"])
    >>> charging_text(van)
    "with an hour's driving every 3 days"
    """
    charging = []
    alternator, shore = van.alternator, van.shore
    if alternator is not None and alternator.rated_a > 0.0 and alternator.drive_h > 0.0:
        driving = _hours_of(alternator.drive_h, "driving")
        charging.append(f"{driving} {_every(alternator.every_days)}")
    if shore is not None and shore.plugged_h > 0.0:
        plugged = _hours_of(shore.plugged_h, "shore power")
        charging.append(f"{plugged} {_every(shore.every_days)}")
    if van.generator is not None:
        charging.append(f"a generator from {clock_text(van.generator.windows)}")
    return f"with {' and '.join(charging)}" if charging else "on its own"


def clock_text(windows: Windows) -> str:
    """Return windows of the clock for a sentence.

    Examples
    --------
    >>> clock_text(((9.0, 11.0), (17.5, 19.0)))
    '9 to 11 and 17.5 to 19'
    """
    return " and ".join(f"{begin:g} to {end:g}" for begin, end in windows)


def _hours_of(hours: float, what: str) -> str:
    return f"an hour's {what}" if hours == 1.0 else f"{hours:g} h of {what}"


def _every(days: int) -> str:
    return "a day" if days == 1 else f"every {days} days"


def bank_text(answer: StayAnswer) -> str:
    """Return the van's bank with what it holds as rated and at its temperature during the stay."""
    van, temp_c = answer.question.van, answer.conditions.bank_temp_c
    usable = f"{answer.usable_wh:,.0f} Wh usable"
    if round(answer.cold_usable_wh) < round(answer.usable_wh):
        usable += f" as rated, {answer.cold_usable_wh:,.0f} Wh at the bank's {temp_c:z.0f} C"
    return f"{units_text(van.battery.units)}, {van.bank_capacity_ah:g} Ah, {usable}"


def whole_days_text(days: float, follow_days: int) -> str:
    """Days rounded down to whole ones, which one may count on; less than one in hours.

    Examples
    --------
    >>> whole_days_text(3.94, 30), whole_days_text(1.0, 30), whole_days_text(0.5, 30)
    ('3 days', '1 day', '12 hours')
    >>> whole_days_text(30.0, 30)
    '30 days or more'
    """
    # What other lines show as 4.0 counts as four.
    shown = float(f"{days:.1f}")
    if days >= follow_days or shown < 1.0:
        return days_text(days, follow_days)
    return count_text(int(shown), "day")


def count_on_text(
    days: DaysUnplugged, chance: float, stay_days: int, month: int, *, medical: bool = False
) -> str:
    """Return the days in one sentence: those that nine stays in ten reach stand first.

    Where someone's health depends on a device (`medical`), no days are safe but those that 99
    stays in 100 reach.

    Examples
    --------
    >>> days = DaysUnplugged(3.4, 4.5, 6.1, 4.6, 30)
    >>> count_on_text(days, 0.03, 7, 1)
    'Count on 3 days in January (9 stays in 10); half last 4 or more; all 7 days: 3 in 100.'
    """
    sure, often = days.safe(medical=medical), "99 stays in 100" if medical else "9 stays in 10"
    if sure is None:
        said = [f"No days in {month_name(month)} are shown to be safe"]
    else:
        counted = whole_days_text(sure, days.follow_days)
        said = [f"Count on {counted} in {month_name(month)} ({often})"]
    if sure is None or sure < days.follow_days:
        said.append(f"half last {_half_text(days, sure)}")
    said.append(f"{all_days_text(stay_days)}: {chance_text(chance).replace('%', 'in 100')}")
    return f"{'; '.join(said)}."


def _half_text(days: DaysUnplugged, sure_days: float | None) -> str:
    """What half of the stays reach, in whole days where that tells it from the days before."""
    half = whole_days_text(days.p50, days.follow_days)
    if days.p50 >= days.follow_days:
        return half
    if sure_days is None:
        return at_least_text(days.p50, days.follow_days)
    sure = whole_days_text(sure_days, days.follow_days)
    if half == sure or not half.endswith(("day", "days")):
        return at_least_text(days.p50, days.follow_days)
    number, _ = half.split()
    return f"{number if sure.endswith(('day', 'days')) else half} or more"


def circumstances_text(answer: StayAnswer) -> str:
    """Return in one sentence which van, where and how charged the days hold for."""
    van, place = answer.question.van, answer.question.place.name
    return f"The van '{van.van.name}' near {place}, {charging_text(van)}."


def headline(answer: StayAnswer) -> str:
    """Return the answer: whether it is safe, the days to count on, and what they hold for."""
    return f"{counted_text(answer)} {circumstances_text(answer)}"


def counted_text(answer: StayAnswer) -> str:
    """Return `count_on_text` of an answer, after `medical_text` where someone's health depends."""
    dates, medical = answer.dates, answer.medical is not None
    counted = count_on_text(
        answer.days, answer.chance_lasts, dates.days, dates.month, medical=medical
    )
    return f"{medical_text(answer)} {counted}" if medical else counted


def day_shares(
    days: DaysUnplugged, *, medical: bool = False
) -> tuple[tuple[str, float | None], ...]:
    """Return what the days are called by the share of runs that end before, the safest first.

    Examples
    --------
    >>> day_shares(DaysUnplugged(3.4, 4.5, 6.1, 4.6, 30, 2.0), medical=True)
    (('P1', 2.0), ('P10', 3.4), ('P50', 4.5), ('P90', 6.1))
    """
    first = (("P1", days.p1),) if medical else ()
    return (*first, ("P10", days.p10), ("P50", days.p50), ("P90", days.p90))


def day_shares_text(days: DaysUnplugged, *, medical: bool = False) -> str:
    """Return `day_shares` in words.

    Examples
    --------
    >>> day_shares_text(DaysUnplugged(3.4, 4.5, 6.1, 4.6, 30), medical=True)
    'P1 not known, P10 3.4 days, P50 4.5 days, P90 6.1 days'
    """
    return ", ".join(
        f"{name} {'not known' if value is None else days_text(value, days.follow_days)}"
        for name, value in day_shares(days, medical=medical)
    )


def safe_name(*, medical: bool) -> str:
    """Return what the days to count on are called in a chart: those where a whisker begins."""
    return "P1" if medical else "P10"


def whisker_begins(days: DaysUnplugged, *, medical: bool, least: float | None = None) -> float:
    """Return where the whisker of days begins: at those to count on.

    Where these are not known, at the least that was seen, or without it at the middle: no whisker.

    Examples
    --------
    >>> days = DaysUnplugged(3.4, 4.5, 6.1, 4.6, 30)
    >>> whisker_begins(days, medical=False), whisker_begins(days, medical=True, least=2.5)
    (3.4, 2.5)
    """
    sure = days.safe(medical=medical)
    if sure is not None:
        return sure
    return days.p50 if least is None else least


def medical_text(answer: StayAnswer) -> str:
    """Whether it is safe for those whose health depends on a device; empty where nobody's does."""
    return safety_text(answer.medical, answer.days.follow_days, all_days_text(answer.dates.days))


def safety_text(medical: Medical | None, follow_days: int, all_days: str) -> str:
    """Return `medical_text` of a stay or a trip of `all_days`."""
    if medical is None:
        return ""
    devices = " and ".join(medical.devices)
    if medical.p1_days is None:
        return (
            f"NOT SHOWN TO BE SAFE for those who depend on the {devices}: that takes 300 runs or "
            "more of the embedded climate."
        )
    least = days_text(medical.p1_days, follow_days)
    if medical.safe:
        return (
            f"It lasts {all_days} 99 times in a hundred (then {least}), for those who depend on "
            f"the {devices}; never rely on this alone."
        )
    return (
        f"NOT SAFE for those who depend on the {devices}: one time in a hundred it lasts no "
        f"longer than {least}."
    )


def real_years_text(answer: StayAnswer) -> str | None:
    """Return what real years say of the same dates, or how to get them; None beside a file."""
    if answer.question.on_file:
        return None
    found, place = answer.real_years, answer.question.place.name
    if found is None:
        return (
            f"No real years of {place} are at hand to hold this against; `solarsim weather get "
            f"--place {shlex.quote(answer.question.van.stay.place)}` fetches them."
        )
    days = days_text(found.days.p50, found.days.follow_days)
    half = days if found.days.p50 >= found.days.follow_days else f"{days} or more"
    start, all_days = answer.dates.start, all_days_text(answer.dates.days)
    years, first = years_text(found.years), f"{start.day} {month_name(start.month)}"
    if len(found.years) == 1:
        lasted = "lasted" if found.lasted else "did not last"
        return f"In the one real year here ({years}, from {first}) the van {lasted} {all_days}."
    return (
        f"In {found.lasted} of {len(found.years)} real years here ({years}, each from {first}) the "
        f"van lasted {all_days}; in half of them it lasted {half}."
    )


def all_days_text(days: int) -> str:
    """Return all days of a stay, as something lasts them."""
    return "the day" if days == 1 else f"all {days} days"


def dcdc_share_text(van: Van) -> str:
    """Say which part of a DC-DC charger's rating counts; empty for all of it or none.

    Examples
    --------
    >>> from solarsim.inputs.files.van import read_van
    >>> dcdc_share_text(read_van("weekender"))
    'counted at 85 % of its rating'
    """
    alternator = van.alternator
    if alternator is None or alternator.rated_a == 0.0 or alternator.driven_share == 1.0:
        return ""
    whose = "its rating" if alternator.second is None else "both ratings"
    return f"counted at {percent(alternator.driven_share)} of {whose}"


def _alternator_label(answer: StayAnswer) -> str:
    wh = answer.ledger_wh_per_day
    share = dcdc_share_text(answer.question.van)
    offered = wh["alternator"] + wh["alternator_refused"] > 0.0
    return f"alternator, {share}" if share and offered else "alternator"


def ledger_rows(answer: StayAnswer) -> tuple[tuple[str, str, float], ...]:
    """Return (group, label, Wh a day) in the order in which energy flows."""
    wh = answer.ledger_wh_per_day
    stored = wh["stored_change"]
    return (
        ("in", "sun, used", wh["solar_used"]),
        ("in", _alternator_label(answer), wh["alternator"]),
        ("in", "shore power", wh["shore"]),
        *((("in", "generator", wh["generator"]),) if "generator" in wh else ()),
        ("in", "taken from the bank", max(-stored, 0.0)),
        ("out", "DC loads", wh["load_dc"]),
        ("out", "AC loads", wh["load_ac"]),
        ("out", "inverter's own use", wh["inverter_loss"]),
        ("out", "lost in the bank", wh["battery_loss"]),
        ("out", "put into the bank", max(stored, 0.0)),
        ("missed", "sun refused, bank full", wh["solar_refused_full"]),
        ("missed", "sun refused, bank too cold", wh["solar_refused_cold"]),
        ("missed", "sun clipped by the controller", wh["solar_clipped"]),
        ("missed", "alternator not taken, bank full or cold", wh["alternator_refused"]),
        ("missed", "shore power not taken, bank full or cold", wh["shore_refused"]),
        *(
            (("missed", "generator not taken, bank full or cold", wh["generator_refused"]),)
            if "generator" in wh
            else ()
        ),
        ("missed", "demand not served", wh["unserved"]),
    )
