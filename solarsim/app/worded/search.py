"""What became of a search's designs and what they change, as `worded` looks for it."""

from __future__ import annotations

__all__ = ["SEARCH"]

SEARCH = (
    "{designs} in all; every one was tried or ruled out",
    "{designs} left out, no room on the roof: {example}",
    "{designs} left out, parts that do not go together: {example}",
    "{designs} left out, too dear: more than {number}",
    "{designs} left out, too heavy: more than {limit}",
    "{designs} left out, too high: more than {limit}",
    "{designs} short of the target; of these:",
    "{designs} short of the target",
    "{designs} would reach the target, and the checks stop each of them",
    "of these {number}, such as: {example}",
    "{designs} would be among the best, but the checks stop them",
    "{designs} would be named before others, but the checks stop them",
    "{designs} beaten by one that is named",
    "{designs} named",
    "tilted {number} instead of {number_was} degrees",
    "controller of {number} A instead of {number_was} A",
    "{now} instead of {was}, for a stay without driving",
    "{now} instead of {was}",
    "a DC-DC charger of {number} A",
    "no DC-DC charger",
    "no panels",
    "Prices are not all known (none for {names}): parts are weighed by what they usually cost "
    "beside each other: a watt of panel {number}, a rated Wh of LFP {number_lfp}, AGM "
    "{number_agm}, gel {number_gel}, flooded {number_flooded}, an ampere of DC-DC charger "
    "{number_a} (common practice, no source).",
    "Weights are of panels with what holds them, batteries, controller and DC-DC charger; those "
    "that no file gives are plain examples by class (common practice, no source).",
    "Heights are of a tilted panel's raised edge above its lower one; brackets and frame come on "
    "top, and wind on what stands up is not looked at.",
    "This stay plans no driving: a DC-DC charger of any size, or none, makes no difference to its "
    "days. That is true of this stay alone; whoever wants to charge on the road gives "
    "alternator.drive_h first.",
    "No roof is given: whether the panels fit was not looked at.",
    "the roof has no room for more than {number} of {panel}",
)
