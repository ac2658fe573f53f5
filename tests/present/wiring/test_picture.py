"""The picture of the plan: all of the circuit is on it, and nothing covers anything else."""

from __future__ import annotations

import itertools

import pytest

from solarsim.answers.question import ask
from solarsim.answers.wiring.wiring import wiring
from solarsim.inputs.van import Van
from solarsim.present.wiring.page import wiring_page

BUS_48 = (
    *("van.system_voltage_v=48", "battery.part=100 Ah LFP 48 V", "battery.units=3"),
    *("panels.count=9", "panels.series=3", "alternator.vehicle_voltage_v=24"),
)
# Arrays of their own controllers and on the van's, an alarm before the switch, chassis return.
CROWDED = (
    *("wiring.chassis_return=true", "wiring.main_switch=true", "panels.count=4"),
    'wiring.branches=[{name="alarms", current_a=0.5, unswitched=true}, '
    '{name="a name so long that no box on any page could ever hold all of it", current_a=9.0}]',
    'arrays=[{name="two", part="100 W rigid", count=4, series=2, kind="roof"}, '
    '{name="three", part="100 W rigid", count=2, kind="ground", '
    "controller={max_input_v=50, max_output_a=20}}, "
    '{name="four", part="100 W rigid", count=1, kind="roof", '
    "controller={max_input_v=50, max_output_a=10}}]",
)
STRANDED = ("wiring.bank_inverter.wire=10 AWG", "wiring.bank_inverter.fuse_a=300")
VANS = {
    "medium van, European rules": ("weekender", ()),
    "medium van, US rules": ("weekender", ("wiring.rules=us-rv",)),
    "short bus, US rules": ("long-stayer", ()),
    "short bus, European rules": ("long-stayer", ("wiring.rules=eu-caravan",)),
    "48 V bus, US rules": ("long-stayer", BUS_48),
    "48 V bus, European rules": ("long-stayer", (*BUS_48, "wiring.rules=eu-caravan")),
    "crowded": ("weekender", CROWDED),
    "boat law, what is stopped": ("weekender", (*STRANDED, "wiring.rules=boat")),
}


# Nothing of mains aboard, and several arrays of their own.
BARE = Van.build(
    "bare",
    panels="200 W rigid",
    panel_count=2,
    battery="100 Ah LFP",
    arrays=[{"name": "rear", "part": "100 W rigid", "count": 1, "kind": "roof"}],
    stay={"profile": "light"},
    wiring={"chassis_return": True, "main_switch": False, "main": {"fused": False}},
)


@pytest.fixture(scope="module", params=[*VANS, "no mains"], ids=str)
def plan(request):
    van, settings = VANS.get(request.param, (BARE, ()))
    answer = wiring(ask(van, settings=settings))
    return answer, wiring_page(answer)


def marks(page, kind):
    for panel in page["panels"]:
        for mark in panel["marks"]:
            if mark["kind"] == kind:
                yield panel, mark


def extent(word):
    """Left, top, right, bottom of a text: capitals reach 0.73 of its size above the baseline."""
    return word["x"], word["y"] - 0.73 * word["size"], word["x"] + word["w"], word["y"]


def overlap(one, other):
    return min(one[2], other[2]) - max(one[0], other[0]) > 0.2 and (
        min(one[3], other[3]) - max(one[1], other[1]) > 0.2
    )


def test_every_run_has_its_number_on_the_picture_once(plan):
    answer, page = plan
    badges = [
        word["text"]
        for panel, disc in marks(page, "disc")
        for word in panel["marks"]
        if word["kind"] == "text" and overlap(extent(word), (disc["x"], disc["y"]) * 2) is False
        if abs(word["x"] + word["w"] / 2 - disc["x"]) < 0.1 and abs(word["y"] - disc["y"] - 4) < 0.1
    ]
    assert sorted(badges, key=int) == [str(run.number) for run in answer.check.topology.runs]


def test_no_text_covers_another(plan):
    _, page = plan
    for panel in page["panels"]:
        words = [mark for mark in panel["marks"] if mark["kind"] == "text"]
        covered = [
            (one["text"], other["text"])
            for one, other in itertools.combinations(words, 2)
            if overlap(extent(one), extent(other))
        ]
        assert covered == []


def test_no_line_runs_through_a_text(plan):
    _, page = plan
    for panel in page["panels"]:
        lines = [mark for mark in panel["marks"] if mark["kind"] == "line"]
        struck = [
            word["text"]
            for word in panel["marks"]
            if word["kind"] == "text" and not word["text"].isdigit()
            for line in lines
            if overlap(
                extent(word),
                (
                    min(line["x0"], line["x1"]) - 0.5,
                    min(line["y0"], line["y1"]) - 0.5,
                    max(line["x0"], line["x1"]) + 0.5,
                    max(line["y0"], line["y1"]) + 0.5,
                ),
            )
        ]
        assert struck == []


def test_a_text_is_in_one_box_or_in_none(plan):
    _, page = plan
    for panel in page["panels"]:
        boxes = [
            (mark["x"], mark["y"], mark["x"] + mark["w"], mark["y"] + mark["h"])
            for mark in panel["marks"]
            if mark["kind"] == "box"
        ]
        for word in (mark for mark in panel["marks"] if mark["kind"] == "text"):
            spot = extent(word)
            for box in boxes:
                if overlap(spot, box):
                    assert box[0] <= spot[0], word["text"]
                    assert spot[2] <= box[2], word["text"]
                    assert box[1] <= spot[1], word["text"]
                    assert spot[3] <= box[3], word["text"]


def test_no_box_covers_another(plan):
    _, page = plan
    for panel in page["panels"]:
        boxes = [
            (mark["x"], mark["y"], mark["x"] + mark["w"], mark["y"] + mark["h"])
            for mark in panel["marks"]
            if mark["kind"] == "box"
        ]
        assert not [pair for pair in itertools.combinations(boxes, 2) if overlap(*pair)]


def test_gauge_area_length_and_fuse_of_every_run_are_on_the_picture(plan):
    answer, page = plan
    written = [word["text"].replace("\u00a0", " ") for _, word in marks(page, "text")]
    text = " ".join(written)
    for run in answer.check.topology.runs:
        assert run.wire.replace("mm2", "mm²") in text
        other = run.awg if "mm2" in run.wire else run.metric
        if not run.given:
            assert f"or {other.replace('mm2', 'mm²')}" in text
        assert f"{run.length_m:.2g} m" in text
        if run.protection is not None:
            assert f"{run.protection.rating_a:g} A" in text


def test_what_mains_carry_and_lose_is_on_the_picture_and_in_the_table(plan):
    answer, page = plan
    drawn = [mark["text"] for _, mark in marks(page, "text")]
    for run, row in zip(answer.check.topology.runs, page["runs"]["rows"], strict=True):
        if run.side != "mains":
            continue
        assert f"carries {run.ampacity_a:.0f} A" in drawn
        lost = f"{100.0 * run.drop_end_share:.1f} %"
        assert f"drop {lost}" in drawn
        assert (row[5], row[8]) == (f"{run.ampacity_a:.0f}", lost)


def test_letters_are_large_enough_on_paper(plan):
    """Capitals of 1.8 mm at least, the smallest of ISO 3098-1 (from memory), on A4."""
    _, page = plan
    scale = min(1.0, 184.0 / 25.4 * 72.0 / (page["width"] - 40.0))
    smallest = min(word["size"] for _, word in marks(page, "text") if not word["text"].isdigit())
    assert smallest * scale * 0.727 / 72.0 * 25.4 >= 1.8


def test_what_is_stopped_is_red_on_top_and_at_its_run():
    answer = wiring(ask("weekender", settings=STRANDED))
    page = wiring_page(answer)
    assert any("a fuse of 300 A does not protect" in stop for stop in page["stops"])
    (inverter,) = (r for r in answer.check.topology.runs if r.key == "bank_inverter")
    red = [disc for _, disc in marks(page, "disc") if disc["fill"] == "#B3261E"]
    assert len(red) == 1
    words = [word for _, word in marks(page, "text") if word["colour"] == "#B3261E"]
    assert {"10 AWG *", "fuse 300 A *"} <= {w["text"].replace("\u00a0", " ") for w in words}
    assert str(inverter.number) in {
        word["text"] for _, word in marks(page, "text") if word["colour"] == "#FFFFFF"
    }
    assert wiring_page(wiring(ask("weekender")))["stops"] == []


@pytest.mark.parametrize("run", ["main", "bank_inverter", "bank_bus", "dcdc_out", "charger_bank"])
def test_a_run_without_a_fuse_is_drawn_and_says_so(run):
    answer = wiring(ask("weekender", settings=(f"wiring.{run}.fused=false",)))
    bare = [one for one in answer.check.topology.runs if one.key == run]
    assert all(one.protection is None and one.unprotected_why for one in bare)
    assert any("there is no fuse" in stop for stop in answer.stops)
    written = [word["text"] for _, word in marks(wiring_page(answer), "text")]
    assert "no fuse" in written
