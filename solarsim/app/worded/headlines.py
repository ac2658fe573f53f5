"""Headlines of the roof, the electrical check, regions and logs, as `worded` looks for them."""

from __future__ import annotations

__all__ = ["HEADLINES"]

HEADLINES = (
    # The roof.
    "No {panel} fits on the roof of '{van}'.",
    "The roof of '{van}' holds {panels}: {number} W (the most possible).",
    "The roof of '{van}' holds {panels}: {number} W (at most {number_most} W could be).",
    "proved: no arrangement holds more than {number} W",
    "proved: no arrangement holds more than {number} W, {panels}",
    "no arrangement that was found holds more; {number} W is what none can pass",
    "the free place that comes nearest, {size} at x {number_x}, y {number_y} m, is {lack} for one "
    "more {panel} lengthwise ({needed})",
    "the free place that comes nearest, {size} at x {number_x}, y {number_y} m, is {lack} for one "
    "more {panel} crosswise ({needed})",
    # The electrical check.
    "The van '{van}' keeps every rule that was looked at.",
    # A region.
    "{month}, {region}: the van '{van}' lasts {days} with a chance of {share} or more over {land} "
    "of the land; in half of the runs and on half of the land it lasts {half}.",
    # A log.
    "By its log the van '{van}' lasts {half} in half of all stays in {month} (chance of {days}: "
    "{chance}). The promise was {half_before} ({chance_before}).",
    "By its log the van '{van}' lasts {half} in half of all stays in {month} (chance of {days}: "
    "{chance}). The promise was {half_before} ({chance_before}). In {month_log}, a month of the "
    "log, it lasts {half_log}; the promise for it was {half_promised}.",
)
