"""Texts of the views that stand in no call of theirs: lists, answers, words of other rooms."""

import ast
import importlib
import types
from pathlib import Path

from solarsim.answers.interview.interview import interview
from solarsim.answers.interview.questions import QUESTIONS, allowed_choices, answer_text
from solarsim.app.uploads.log_file import QUANTITIES
from solarsim.app.views import electrical, log, offer, plan, region, sheet, trip
from solarsim.app.views import interview as interview_view
from solarsim.app.widgets.appliance_table import OWN_APPLIANCE
from solarsim.app.widgets.obstacle_table import KINDS
from solarsim.app.widgets.stop_table import COLUMNS as STOP_COLUMNS
from solarsim.inputs.interview import ClientAnswers, interview_from_data
from solarsim.inputs.percent import chance_text
from solarsim.inputs.roof import ROOF_TEMPLATES
from solarsim.power.fuel import FUEL_UNITS
from solarsim.present.check import text as check_text
from solarsim.present.interview.page import interview_page
from solarsim.present.stay.charts import _RARE, _USUAL
from solarsim.present.trip import charts as trip_charts
from solarsim.present.trip.words import change_text, fails_text, picture_words
from solarsim.present.wiring.page import LEGEND
from solarsim.present.words import HOURLY_MEDIAN, MAP_CAUTION

__all__ = ["texts_of_views"]


def texts_of_views():
    """Every text of the kind in eleven views."""
    return tuple(
        dict.fromkeys(
            (
                *texts_of_the_interview(),
                *texts_of_the_log(),
                *texts_of_the_trip(),
                *texts_of_the_roof(),
                *texts_of_the_circuit(),
                *(*region._SHOWN, MAP_CAUTION, *sheet._UNITS, OWN_APPLIANCE),
                *(label for label, _, _ in offer._FILES),
            )
        )
    )


def texts_of_the_interview():
    """Questions, answers, and the table of what follows from them."""
    yield from (asked.text for asked in QUESTIONS)
    yield from interview_view._LABELS.values()
    for key in ClientAnswers.model_fields:
        yield from (answer_text(key, choice) for choice in allowed_choices(key))
    for answers in _all_answers():
        made = interview(interview_from_data({"answers": answers}, source=""))
        table = interview_page(made)["table"]
        yield from table["head"]
        yield from (one.key.replace("_", " ") for one in made.appliances)
        yield from (use for _, _, use, _ in table["rows"] if not use[0].isdigit())


def _all_answers():
    """Interviews that together give every answer of a choice."""
    choices = {key: allowed_choices(key) for key in ClientAnswers.model_fields}
    for turn in range(max(map(len, choices.values()))):
        answers = {"people": 2}
        for key, allowed in choices.items():
            if isinstance(ClientAnswers.model_fields[key].default, tuple):
                answers |= {key: list(allowed)} if allowed else {}
            elif allowed:
                answers[key] = allowed[turn % len(allowed)]
        if answers["heater"] == "none":
            del answers["warmth"]
        yield answers


def texts_of_the_log():
    """How a log is read, its figures and its picture."""
    yield from QUANTITIES.values()
    yield from log._WAYS.values()
    yield from said_in(
        "answers.calibrate.estimates",
        *("base load", "solar yield", "usable capacity", "coulombic efficiency"),
    )
    yield from said_in("present.calibrate.text", "not determined")
    yield from said_in(
        "present.calibrate.chart",
        *("measured", "model before", "model after", "by the log", "by the profile"),
        "bars: by the log; dots: by the profile",
    )


def texts_of_the_trip():
    """The table of stops, the picture, and what changes are worth."""
    yield from STOP_COLUMNS
    yield from (one for one in trip._PARKING if one)
    yield from FUEL_UNITS
    yield from (_USUAL, _RARE, HOURLY_MEDIAN, trip_charts._CLOCK)
    yield from said_in("present.stay.charts", "worst run")
    yield from said_in(
        "present.trip.charts",
        *("driving", "plugged in", "state of charge", "fails first here, %"),
    )
    # On the bars a chance has no sign of its own.
    yield from (chance_text(share).removesuffix(" %") for share in (0.001, 0.999))
    for rare in (None, 1):
        yield picture_words(types.SimpleNamespace(soc=types.SimpleNamespace(p1=rare)))
    yield fails_text(types.SimpleNamespace(weakest_stop=None))
    for gains in ((0.1, 1.0, 10.0), (0.0, 0.0, 10.0)):
        names = ("chance_gained", "gained_days", "reserve_gained_wh")
        said = change_text(types.SimpleNamespace(**dict(zip(names, gains, strict=True))))
        yield from map(_with_brace, said.split(", "))
    yield from said_in("answers.lever_changes", "one more panel", "one more battery")
    yield from map(
        _with_brace,
        (
            *("2 more panels", "2 more batteries"),
            *("a night plugged in at stop 5", "an hour's drive more before stop 5"),
        ),
    )


def _with_brace(text):
    """A text as the view looks for it: its figure in braces."""
    found = trip._FIGURE.sub("{number}", text, count=1)
    assert found != text
    return found


def texts_of_the_roof():
    """What stands on it, its classes, and its drawing."""
    yield from KINDS
    yield from ROOF_TEMPLATES
    yield from said_in("present.roof.plan", "front")


def texts_of_the_circuit():
    """The check, the wiring plan, and what is bought."""
    yield from (word for _, word in electrical._BOXES.values())
    for severity, word in check_text._WORDS.items():
        yield f"{{number}} {word} ({check_text._MEANINGS[severity]})"
    yield LEGEND
    yield from (label for label, *_ in (*plan._PLANS, *plan._LISTS))
    yield from said_in("present.wiring.panels", "Bank, chargers and buses", "Mains side and earth")
    yield "Bank, chargers and buses" + said_in("present.wiring.panels", ", continued")[0]
    (block,) = said_in("electrical.circuit.whole", "DC fuse block")
    yield f"Branches: {block}"
    yield from said_in("present.buy.document", "price", "weight", "on the roof", "payload left")


def said_in(module, *texts):
    """The texts, each of which that module says."""
    path = Path(importlib.import_module(f"solarsim.{module}").__file__)
    tree = ast.parse(path.read_text(encoding="utf-8"))
    held = {node.value for node in ast.walk(tree) if isinstance(node, ast.Constant)}
    assert set(texts) <= held, (module, set(texts) - held)
    return texts
