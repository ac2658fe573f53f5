"""What an interview, a trip and a shopping list take for granted, and why a change does not apply.

As `worded` looks for them.
"""

from __future__ import annotations

__all__ = ["NOTES"]

NOTES = (
    "the plan's first drive comes {number} days after arrival: {share} of runs are cut off before "
    "it",
    "the plan's first shore power comes {number} days after arrival: {share} of runs are cut off "
    "before it",
    "The watts are those of generic appliances: put those of the labels in their place.",
    "How the van is insulated is the builder's to say: cabin.insulation is 'light' until then.",
    "Needs mains sockets, an inverter in the van: {uses}.",
    "Watts and hours of a medical device are its label's and the prescription's: put them into the "
    "profile before any answer is believed.",
    "Animals that stay with people add nothing to what runs.",
    "Driven for an hour every day: it counts where the van has a DC-DC charger.",
    "Driven for an hour every {number} days: it counts where the van has a DC-DC charger.",
    "Never driven: where the van's file has such a plan, ask with alternator.drive_h=0.",
    "Plugged in for a night every day: it counts where the van has a shore charger.",
    "Plugged in for a night every {number} days: it counts where the van has a shore charger.",
    "Never plugged in: where the van's file has such a plan, ask with shore.plugged_h=0.",
    "It is lived in for 1 month of the year: ask for the hardest first.",
    "It is lived in for {number} months of the year: ask for the hardest first.",
    "stop {number}: {note}",
    "stops {at}: {note}",
    "the stops share one weather by date: how dull or cold a day is for its place and season, and "
    "how far the climate data are off, goes on from stop to stop as if the van had stayed; between "
    "places far apart dull spells really break off sooner, so the chance is on the cautious side",
    "each stop begins at {clock} by its own clock and has the hours up to the arrival at the next, "
    "the drive there with them",
    "on the road the weather is that of the place left, the sky is open, the panels are free of "
    "snow, and the people aboard use what they use at a stop",
    "a night plugged in lasts {number} h from {clock} (common practice, no source)",
    "what each person uses (to charge, work, cook and wash) goes with how many are aboard; fridge, "
    "heater, fans and lights are shared",
    "the van's own plans of driving and plugging in go on at each stop, counted from the arrival "
    "there",
    "somebody looks after the generator at each full hour in which it may run, starts it at "
    "{start} of charge and stops it at {stop}; it charges the bank alone, AC loads stay on the "
    "inverter; it burns {number} {unit} of {fuel} for a kWh at its socket (common practice, no "
    "source)",
    "somebody looks after the generator at each full hour in which it may run, starts it at "
    "{start} of charge and stops it at {stop}; it charges the bank alone, AC loads stay on the "
    "inverter; it burns {number} {unit} of {fuel} for a kWh at its socket",
    "An animal in a closed van can die within minutes of a fan or a heater that stops: never leave "
    "it to rely on the battery alone.",
    "weights that no file gives (marked ~) are plain examples by class: common practice, no source",
    "not on the list: appliances, the alternator and the starter battery, conduit and clips, "
    "tools, wood and screws",
    # Why a change does not apply.
    "there is none to take away",
    "the roof as drawn has no room for {number}",
    "it is the only one",
    "no DC-DC charger aboard",
    "it drives all day already",
    "the van does not drive during the stay",
    "no shore charger aboard",
    "the plan has shore power already",
    "no inverter aboard",
    "it is so already",
    "nobody cooks on electricity",
    "somebody cooks on electricity already",
    "there is one already",
    "they are tilted {number} degrees",
    "200 W of panels do not charge {number} V by themselves",
    "they are clean",
    "no heater aboard",
    "it arrives at {share}",
    "the bank is lead-acid already",
    "this chemistry charges in the cold",
    "it makes no difference in this stay",
    "its first drive comes on day {number} after arrival, when every run is cut off already",
    "its first night on shore power comes on day {number} after arrival, when every run is cut off "
    "already",
    "nobody lives without it in air of {temp}",
    "someone's health depends on it",
)
