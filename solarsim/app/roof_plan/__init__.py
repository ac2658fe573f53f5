"""The roof to be laid out by hand: panels and what stands there are dragged on a plan."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from solarsim.app.component import own_component
from solarsim.app.plain import one_line
from solarsim.app.tables import van_tables, with_changes
from solarsim.app.translate import tr
from solarsim.app.units.chosen import units
from solarsim.errors import InputError
from solarsim.inputs.files.van import van_from_data
from solarsim.inputs.van import Van
from solarsim.packing.by_hand import lies_by_hand, room_faults
from solarsim.packing.layout import PlacedPanel, panel_size

__all__ = ["KEY", "changes_of", "show_roof_plan"]

KEY = "roof_plan_by_hand"
_PLAN = own_component(Path(__file__).resolve().parent, "roof_plan")
_MOST_CM = 2_000.0
_SHOWN_LETTERS = 40


def show_roof_plan(van: Van, panels: Sequence[PlacedPanel], on_move: Any) -> None:
    """Draw the plan.

    Parameters
    ----------
    van : Van
        With a roof and what stands on it.
    panels : sequence of PlacedPanel
        As they lie now.
    on_move : callable
        Called without arguments once something was moved; `changes_of` reads what.
    """
    roof = van.roof
    assert roof is not None
    walkway = roof.walkway_y_m
    size = {
        "length": _cm(roof.length_m),
        "width": _cm(roof.width_m),
        "corners": [[_cm(x), _cm(y)] for x, y in roof.corners_m],
        "walkway": None if walkway is None else [_cm(side) for side in walkway],
        "margin": _cm(roof.margin_m),
        "gap": _cm(roof.gap_m),
        "by_hand": lies_by_hand(van),
    }
    things = [
        {
            "kind": "panel",
            "index": number,
            "name": tr("panel {number}", number=number + 1),
            "clearance": 0,
            **_box(panel),
        }
        for number, panel in enumerate(panels)
    ]
    things += [
        {
            "kind": "obstacle",
            "index": number,
            "name": one_line(obstacle.name)[:_SHOWN_LETTERS],
            "clearance": _cm(obstacle.clearance_m),
            **_box(obstacle),
        }
        for number, obstacle in enumerate(roof.obstacles)
    ]
    wanted = units()
    shown_in = {"inches": wanted.feet, "comma": wanted.comma}
    data = {"roof": size, "things": things, "units": shown_in, "words": _words(feet=wanted.feet)}
    _PLAN(key=KEY, data=data, on_moved_change=on_move)


def _words(*, feet: bool) -> dict[str, str]:
    """What the plan says; it fills the braces itself."""
    return {
        "about": tr("The roof from above, its front on the right"),
        "hint": tr(
            "Drag a panel or what stands there. By keys: Tab chooses it, arrows move it (with "
            "Shift by {step}), R turns a panel, Enter takes the place, Escape puts it back.",
            step="5 in" if feet else "10 cm",
        ),
        "edge": tr("closer than {gap} to the roof's edge"),
        "beside": tr("beside the roof"),
        "walkway": tr("on the walkway"),
        "closer": tr("closer than {gap} to {name}"),
        "over": tr("over {name}"),
        "where": tr("{x} forwards, {y} to the right"),
        "no_room": tr("{name} at {place}: no room, {why}."),
        "back": tr("It is back where it was."),
    }


def changes_of(value: Any, van: Van, panels: Sequence[PlacedPanel]) -> dict[str, Any]:
    """Return what a move changes in the van's tables.

    Parameters
    ----------
    value : Any
        What a browser has sent: a visitor can send anything.
    van : Van
        As it is.
    panels : sequence of PlacedPanel
        As they lie now.

    Raises
    ------
    InputError
        It is no move, or there is no room where it leads.
    """
    roof = van.roof
    if roof is None or not isinstance(value, dict):
        raise _no_move()
    if set(value) != {"kind", "index", "x_cm", "y_cm", "turned"}:
        raise _no_move()
    index, turned = value["index"], value["turned"]
    if type(index) is not int or type(turned) is not bool:
        raise _no_move()
    x_m, y_m = _metres(value["x_cm"]), _metres(value["y_cm"])
    if value["kind"] == "panel" and 0 <= index < len(panels):
        places = [_place(panel) for panel in panels]
        lies = places[index]["lies"]
        if turned:
            lies = "crosswise" if lies == "lengthwise" else "lengthwise"
        places[index] = {"x_m": x_m, "y_m": y_m, "lies": lies}
        changes: dict[str, Any] = {"roof.panels": places}
    elif value["kind"] == "obstacle" and 0 <= index < len(roof.obstacles) and not turned:
        rows = [obstacle.model_dump(exclude_unset=True) for obstacle in roof.obstacles]
        rows[index] |= {"x_m": x_m, "y_m": y_m}
        changes = {"roof.obstacles": rows}
    else:
        raise _no_move()
    _refuse_where_no_room(van, changes)
    return changes


def _refuse_where_no_room(van: Van, changes: dict[str, Any]) -> None:
    """Hold a move to the rules of the roof, which the page knows in part alone."""
    moved = van_from_data(with_changes(van_tables(van), changes), source=tr("the plan")).roof
    assert moved is not None
    if "roof.obstacles" in changes:
        for number, one in enumerate(moved.obstacles):
            for other in moved.obstacles[:number]:
                if _over(one, other):
                    message = tr("{one} stands over {other}", one=one.name, other=other.name)
                    raise InputError(message, source=tr("the plan"))
        if not lies_by_hand(van):
            # The program lays the panels out anew around what was moved.
            return
    faults = room_faults(moved, panel_size(van.panels))
    if faults:
        raise InputError(f"{tr('no room')}: {faults[0]}", source=tr("the plan"))


def _no_move() -> InputError:
    message = tr("got no move of a panel or of what stands there")
    return InputError(message, source=tr("the plan"))


def _metres(value: Any) -> float:
    # The comparison refuses what is not a number, and whole numbers of any length.
    if type(value) not in {int, float} or not 0.0 <= value <= _MOST_CM:
        raise _no_move()
    return round(float(value) / 100.0, 4)


def _place(panel: PlacedPanel) -> dict[str, Any]:
    lies = "lengthwise" if panel.lengthwise else "crosswise"
    return {"x_m": round(panel.x_m, 6), "y_m": round(panel.y_m, 6), "lies": lies}


def _box(thing: Any) -> dict[str, float]:
    return {
        "x": _cm(thing.x_m),
        "y": _cm(thing.y_m),
        "length": _cm(thing.length_m),
        "width": _cm(thing.width_m),
    }


def _over(one: Any, other: Any) -> bool:
    return bool(
        one.x_m < other.x_m + other.length_m - 1e-6
        and other.x_m < one.x_m + one.length_m - 1e-6
        and one.y_m < other.y_m + other.width_m - 1e-6
        and other.y_m < one.y_m + one.width_m - 1e-6
    )


def _cm(length_m: float) -> float:
    return round(100.0 * length_m, 4)
