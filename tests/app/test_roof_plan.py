"""What the plan sends back is a stranger's: a move that the roof's rules allow, or one line."""

from __future__ import annotations

import random

import pytest

from solarsim.app.draft import example
from solarsim.app.roof_plan import changes_of
from solarsim.app.views import roof as view
from solarsim.electrical.placement import placement_findings
from solarsim.errors import InputError
from solarsim.inputs.files.van import van_from_data
from solarsim.packing.by_hand import lies_by_hand
from solarsim.packing.fit import best_layouts
from tests.app.conftest import take

VAN = example().van
PANELS = best_layouts(VAN)[2].panels


def moved(kind, index, x_cm, y_cm, *, turned=False):
    return {"kind": kind, "index": index, "x_cm": x_cm, "y_cm": y_cm, "turned": turned}


def test_a_panel_is_moved_and_the_others_stay():
    changes = changes_of(moved("panel", 1, 262, 6), VAN, PANELS)
    first, second = changes["roof.panels"]
    assert (first["x_m"], first["y_m"]) == pytest.approx((PANELS[0].x_m, PANELS[0].y_m))
    assert second == {"x_m": 2.62, "y_m": 0.06, "lies": "crosswise"}


def test_an_obstacle_is_moved_over_panels_that_make_way():
    spot = moved("obstacle", 0, round(100 * PANELS[0].x_m), 20)
    (row,) = changes_of(spot, VAN, PANELS)["roof.obstacles"]
    assert (row["name"], row["y_m"], row["length_m"]) == ("roof fan", 0.2, 0.4)


@pytest.mark.parametrize(
    ("value", "said"),
    [
        (moved("panel", 1, round(100 * PANELS[0].x_m) + 30, 5), "no room: panels 1 and 2"),
        (moved("panel", 0, 20, 6), "no room: panel 1"),
        (moved("panel", 1, 262, 5, turned=True), "no room: panel 2"),
        (moved("obstacle", 0, 600, 0), "stands beside the roof"),
    ],
)
def test_what_has_no_room_is_refused(value, said):
    with pytest.raises(InputError, match=said):
        changes_of(value, VAN, PANELS)


ODD = [None, 0, -1, 1, 2, 10**9, 10**400, 1e308, float("nan"), float("inf")]
ODD += ["1", "", True, [], {}, [1, 2]]
KINDS = ["panel", "obstacle", "roof", "", None, 3, ["panel"]]


def test_anything_else_is_one_line():
    chance, taken = random.Random(2), 0
    values = [None, "moved", 3, [], {}, {"kind": "panel"}, moved("panel", 0, 0, 0) | {"more": 1}]
    for _ in range(400):
        value = moved("panel", 0, chance.randrange(300), chance.randrange(10))
        for key in chance.sample(sorted(value), chance.randint(0, 3)):
            value[key] = chance.choice(KINDS if key == "kind" else ODD)
        values.append(value)
    for value in values:
        try:
            changes = changes_of(value, VAN, PANELS)
        except InputError as error:
            assert "\n" not in str(error), value  # noqa: PT017
            continue
        taken += 1
        tables = VAN.model_dump(exclude_unset=True)
        (path, rows), *more = changes.items()
        assert not more
        tables["roof"] = tables["roof"] | {path.removeprefix("roof."): rows}
        van = van_from_data(tables, source="test")
        assert lies_by_hand(van) == (path == "roof.panels")
    assert taken > 5


@pytest.mark.slow
def test_the_design_takes_a_move_and_gives_the_layout_back(app):
    page = app
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(view, "KEY", "sent")
        page.session_state["sent"] = {"moved": moved("panel", 1, 262, 6)}
        take(page, view._move)
        assert page.session_state["design"].van.roof.panels[1].x_m == 2.62
        page.session_state["sent"] = {"moved": moved("panel", 1, 0, 0)}
        take(page, view._move)
        assert page.session_state["design"].van.roof.panels[1].x_m == 2.62
        assert page.session_state["notices"][-1].refused
    take(page, view._lay_out)
    assert page.session_state["design"].van.roof.panels == ()


def test_places_that_do_not_fit_stop_the_build_and_another_number_is_told():
    van = van_from_data(
        VAN.model_dump(exclude_unset=True)
        | {
            "roof": VAN.roof.model_dump(exclude_unset=True) | {"panels": [{"x_m": 0, "y_m": 0}] * 2}
        },
        source="test",
    )
    (finding,) = placement_findings(van)
    assert (finding.id, finding.severity) == ("roof-places", "stop")
    assert "panels 1 and 2 are closer than 0.02 m" in finding.message
    one = van.model_copy(update={"panels": van.panels.model_copy(update={"count": 1})})
    (finding,) = placement_findings(one)
    assert finding.severity == "note"
    assert finding.message.startswith("roof.panels names 2 places and the van has 1 panel")
