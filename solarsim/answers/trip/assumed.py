"""What a trip takes for granted beside what a stay does."""

from __future__ import annotations

from solarsim.answers.generator import generator_notes
from solarsim.answers.trip.itinerary import PLUGGED_H, Itinerary
from solarsim.inputs.calendar import ARRIVAL_HOUR

__all__ = ["assumed"]


def assumed(itinerary: Itinerary) -> tuple[str, ...]:
    """Return the notes of it."""
    notes = []
    van, stops = itinerary.question.van, itinerary.trip.stops
    if len(stops) > 1:
        notes.append(
            "the stops share one weather by date: how dull or cold a day is for its place and "
            "season, and how far the climate data are off, goes on from stop to stop as if the van "
            "had stayed; between places far apart dull spells really break off sooner, so the "
            "chance is on the cautious side"
        )
        notes.append(
            f"each stop begins at {ARRIVAL_HOUR}:00 by its own clock and has the hours up to the "
            "arrival at the next, the drive there with them"
        )
    if any(stop.drive_h for stop in stops):
        notes.append(
            "on the road the weather is that of the place left, the sky is open, the panels are "
            "free of snow, and the people aboard use what they use at a stop"
        )
    if any(stop.plugged_nights for stop in stops):
        notes.append(
            f"a night plugged in lasts {PLUGGED_H:g} h from {ARRIVAL_HOUR}:00 (common practice, "
            "no source)"
        )
    notes.extend(generator_notes(van))
    if len(itinerary.crews) > 1:
        notes.append(
            "what each person uses (to charge, work, cook and wash) goes with how many are aboard; "
            "fridge, heater, fans and lights are shared"
        )
    alternator, shore = van.alternator, van.shore
    plans = (alternator is not None and alternator.drive_h > 0.0) or (
        shore is not None and shore.plugged_h > 0.0
    )
    if plans and len(stops) > 1:
        notes.append(
            "the van's own plans of driving and plugging in go on at each stop, counted from the "
            "arrival there"
        )
    return tuple(notes)
