"""A van of several arrays, taken apart: each array by itself, and those that share a controller."""

from __future__ import annotations

from typing import NamedTuple

from solarsim.inputs.van import Van

__all__ = ["MAIN_ARRAY", "OneArray", "by_controller"]

MAIN_ARRAY = "array"


class OneArray(NamedTuple):
    """An array's name, and the van as if this array and its controller were all that it has.

    ``main`` marks the van's own panels, and ``main_controller`` what is on the van's controller.
    """

    name: str
    van: Van
    main: bool
    main_controller: bool


def by_controller(van: Van) -> tuple[tuple[OneArray, ...], ...]:
    """Return the arrays with any panels, together where they are on one controller.

    The van's own array comes first; it is named `MAIN_ARRAY`.
    """
    shared = [OneArray(MAIN_ARRAY, van.model_copy(update={"arrays": ()}), True, True)]
    own: list[tuple[OneArray, ...]] = []
    for array in van.arrays:
        controller = array.controller or van.controller
        alone = {"panels": array, "controller": controller, "arrays": ()}
        on_main = array.controller is None
        one = OneArray(array.name, van.model_copy(update=alone), False, on_main)
        if on_main:
            shared.append(one)
        else:
            own.append((one,))
    groups = (tuple(shared), *own)
    drawn = (tuple(one for one in group if one.van.panels.count) for group in groups)
    return tuple(group for group in drawn if group)
