"""The words and rows that every front shows: headline, ledger, cautions."""

from __future__ import annotations

import calendar
import shlex

from solarsim.answers.bank import units_text
from solarsim.answers.simulation.summary import DaysUnplugged
from solarsim.answers.stay import StayAnswer
from solarsim.inputs.counts import count_text
from solarsim.inputs.percent import chance_text, percent
from solarsim.inputs.van import Van
from solarsim.weather.years.history import years_text

__all__ = [
    "CAUTIONS",
    "HOURLY_MEDIAN",
    "MAP_CAUTION",
    "RESERVE",
    "at_least_text",
    "bank_text",
    "charging_text",
    "days_text",
    "dcdc_share_text",
    "headline",
    "ledger_rows",
    "month_name",
    "real_years_text",
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
    if alternator is not None and alternator.dcdc_a > 0.0 and alternator.drive_h > 0.0:
        driving = _hours_of(alternator.drive_h, "driving")
        charging.append(f"{driving} {_every(alternator.every_days)}")
    if shore is not None and shore.plugged_h > 0.0:
        plugged = _hours_of(shore.plugged_h, "shore power")
        charging.append(f"{plugged} {_every(shore.every_days)}")
    return f"with {' and '.join(charging)}" if charging else "on its own"


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


def headline(answer: StayAnswer) -> str:
    """Return the answer in one sentence."""
    days: DaysUnplugged = answer.days
    place = answer.question.place.name
    name = answer.question.van.van.name
    return (
        f"In {month_name(answer.dates.month)} near {place} the van '{name}' lasts "
        f"{days_text(days.p50, days.follow_days)} {charging_text(answer.question.van)}; "
        f"nine times in ten it lasts {at_least_text(days.p10, days.follow_days)}. "
        f"Chance of lasting {_all_days(answer.dates.days)}: {chance_text(answer.chance_lasts)}."
        f"{_medical_words(answer)}"
    )


def _medical_words(answer: StayAnswer) -> str:
    """Whether it is safe for those whose health depends on a device; empty where nobody's does."""
    medical = answer.medical
    if medical is None:
        return ""
    devices, all_days = " and ".join(medical.devices), _all_days(answer.dates.days)
    if medical.p1_days is None:
        return (
            f" NOT SHOWN TO BE SAFE for those who depend on the {devices}: that takes 300 runs or "
            "more of the embedded climate."
        )
    least = days_text(medical.p1_days, answer.days.follow_days)
    if medical.safe:
        return (
            f" It lasts {all_days} 99 times in a hundred (then {least}), for those who depend on "
            f"the {devices}; never rely on this alone."
        )
    return (
        f" NOT SAFE for those who depend on the {devices}: one time in a hundred it lasts no "
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
    start, all_days = answer.dates.start, _all_days(answer.dates.days)
    years, first = years_text(found.years), f"{start.day} {month_name(start.month)}"
    if len(found.years) == 1:
        lasted = "lasted" if found.lasted else "did not last"
        return f"In the one real year here ({years}, from {first}) the van {lasted} {all_days}."
    return (
        f"In {found.lasted} of {len(found.years)} real years here ({years}, each from {first}) the "
        f"van lasted {all_days}; in half of them it lasted {half}."
    )


def _all_days(days: int) -> str:
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
    if alternator is None or alternator.dcdc_a == 0.0 or alternator.output_share == 1.0:
        return ""
    return f"counted at {percent(alternator.output_share)} of its rating"


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
        ("missed", "demand not served", wh["unserved"]),
    )
