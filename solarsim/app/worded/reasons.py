"""Why a bank or a design is chosen, why no more fits, and what fuel comes to.

As `worded` looks for them.
"""

from __future__ import annotations

__all__ = ["JOINED", "PARTS", "REASONS", "WHOLE"]

REASONS = (
    "more than {number} strings in parallel share their current unevenly: take larger units",
    "lasts {days} in {share} of runs (target {target}); {rest}",
    "lasts {days} in {share} of runs (target {target})",
    "no bank up to {units} ({number} Ah) lasts {days} in {target} of runs; the largest does in "
    "{share}: {needed}",
    "nothing free is left beside the panels",
    "the van's own {number} panels lie where roof.panels puts them",
    "the van's own panel lies where roof.panels puts it",
    "the van claims {panels}, but {number} fit",
    "the van claims {panels}, but no layout with more than {number} was found",
    "the {panels} that fit make no whole strings of {number}; the most in whole strings: "
    "{number_most}",
    "the panels of the array {names} are neither drawn nor given room here, and no shade on them "
    "is counted: enter what they cover as obstacles of height 0, or see what fits together with "
    "--parts",
    "AC loads need an inverter ([inverter] in the van's file): {names}; for the roof this makes no "
    "difference, every other answer needs it",
    "no design of up to {panels} and {units} reaches {target}; the best, {parts}, lasts in {share} "
    "of runs; {rest}",
    "no design of up to {panels} and {units} reaches {target}; the best, {parts}, lasts in {share} "
    "of runs",
    "{number} designs reach {target}, and none of them may be built; the cheapest, {parts}: "
    "{reasons}",
    "the cheapest that lasts {days} in at least {target} of runs and passes the checks: {share}; "
    "{rest}",
    "the cheapest that lasts {days} in at least {target} of runs and passes the checks: {share}",
    "nothing charges it: no panels, and no driving or shore power in the plan",
    "No prices (panels.cost and battery.cost) for all of this: parts are weighed by what they "
    "usually cost beside each other: a watt of panel {number}, a rated Wh of LFP {number_lfp}, AGM "
    "{number_agm}, gel {number_gel}, flooded {number_flooded}, an ampere of DC-DC charger "
    "{number_a} (common practice, no source).",
    "No roof is given: whether {panels} of {size} fit was not looked at.",
    "The roof holds up to {panels} of {size} in whole strings of {number}; each number of them "
    "lies and is shaded in its own best layout.",
    "The roof holds up to {panels} of {size}; each number of them lies and is shaded in its own "
    "best layout.",
    "{fuel}: nine stays in ten burn no more than {number_most} {unit} a day ({number} in all), "
    "half no more than {number_half} ({number_half_all}); on average {uses}.",
    "{fuel}: nine trips in ten burn no more than {number_most} {unit} a day ({number} in all), "
    "half no more than {number_half} ({number_half_all}); on average {uses}.",
    "{fuel}: {number_most} {unit} a day ({number} in all): {uses}.",
    "{number} {unit} last {days} in nine stays of ten.",
    "{number} {unit} last {days} in nine trips of ten.",
    "It costs up to {cost} in nine stays of ten.",
    "It costs up to {cost} in nine trips of ten.",
    "On electricity, counted where the profile has its appliance: {uses}.",
    "Fuel is not counted for {uses}.",
    "nothing is burnt for heat: the profile has no heater",
    "hot water (usual habits): {number} L a day for {each}, warmed to {temp} from a tank as warm "
    "as the cabin",
    "hot water (given habits): {number} L a day for {each}, warmed to {temp} from a tank as warm "
    "as the cabin",
    "cooking (usual habits): {number} Wh of heat a day for {each}, less what the electric "
    "appliances cook",
    "cooking (given habits): {number} Wh of heat a day for {each}, less what the electric "
    "appliances cook",
    "burnt heat that arrives: {uses} of the lower heating value",
)
# Tried inside the braces of others alone.
PARTS = (
    "{number} units in {share}",
    "1 unit in {share}",
    "{number} units would last as well",
    "1 unit would last as well",
    "the electrical check stops it: {stops}",
    "more panel, driving or shore power, or less load is needed",
    "it is too cold to take {number} Wh a day of sun: a bank in {warm} comes first, then {more}",
    "the heated space",
    "a warmer place",
    "the heated space or one that heats itself",
    "a warmer place or one that heats itself",
    "it arrives with the bank at {start}, where it is cut off ({floor}), whatever its size: arrive "
    "with a charged bank (stay.start_soc)",
    "{number} %",
    "{number} to {number_end}",
    "{what} too short and {other} too narrow",
    "{what} too short",
    "{what} too narrow",
    "just right",
    "{parts} would last too and be cheaper, but is passed over: {reasons}",
    "so is one more",
    "so are {number} more",
    "the sun of this stay does not pay for a panel: ask about a brighter month before leaving the "
    "roof bare",
    "Diesel",
    "Propane",
    "Petrol",
    "heat",
    "hot water",
    "heat {number}",
    "hot water {number}",
    "cooking {number}",
    "generator {number}",
    "heat {number} %",
    "hot water {number} %",
    "cooking {number} %",
    "each of {number}",
    "each person aboard",
)
# Comes apart last of all, where nothing knows the whole.
JOINED = ("{one}; {other}",)
# Would fit any sentence: said only where all in their braces can be.
WHOLE = frozenset(
    (
        "{one} and {other}",
        "{what} too short",
        "{what} too narrow",
        "{number} units in {share}",
        "{designs} named",
        "{now} instead of {was}",
    )
)
