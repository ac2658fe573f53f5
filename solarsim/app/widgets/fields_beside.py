"""The inputs beside every view, in the order of the job: what each means, what the trade takes."""

from __future__ import annotations

from solarsim.app.widgets.field import Field

__all__ = ["BESIDE", "MAIN"]

BESIDE: tuple[Field, ...] = (
    Field(
        "stay.place",
        "where",
        "Place",
        "A town of 5,000 people or more, such as 'Portland, OR, US', or 'latitude, longitude' "
        "such as '47.80, 13.05'. Found without a network.",
    ),
    Field(
        "stay.month",
        "where",
        "Month",
        "The stay is centred on the month's middle. The month with the least sun decides the bank.",
    ),
    Field(
        "stay.start",
        "where",
        "First day instead",
        "The day of arrival, at 17:00. Left empty, the month decides.",
        optional=True,
    ),
    Field(
        "stay.days",
        "where",
        "Days without moving",
        "How long the van shall stand without being plugged in. Weekends: 2 to 3; holidays: 5 to "
        "10; winter camps: 14.",
    ),
    Field(
        "stay.climate",
        "where",
        "Weather from",
        "The climate that comes with the program, or the real years that `solarsim weather get` "
        "has fetched for the place on this machine. An uploaded file takes the place of both.",
    ),
    Field(
        "stay.parking",
        "where",
        "Parked",
        "What hides the sky. Trees or houses to the south cost most in winter.",
    ),
    Field(
        "stay.heading_deg",
        "where",
        "The front looks, degrees",
        "Clockwise from north: 90 is east. Tilted panels and what stands on the roof depend on it. "
        "Left empty, the van may stand any way round.",
        optional=True,
    ),
    Field(
        "stay.brush_snow",
        "where",
        "Snow is brushed off",
        "A flat panel stays covered until it thaws or somebody brushes it.",
    ),
    Field(
        "stay.target_chance",
        "where",
        "Chance wanted, %",
        "How sure the stay must be. 90 % is usual; 95 % and more where a fridge holds medicine.",
        percent=True,
    ),
    Field("panels.part", "roof", "Panel", "A class of panel; any maker's of that class will do."),
    Field(
        "panels.count",
        "roof",
        "Panels",
        "How many of them. Medium vans carry 1 to 3, long ones and buses 4 to 8.",
    ),
    Field(
        "panels.series",
        "roof",
        "In series",
        "Panels in one string. 1 is usual at 12 V, 2 at 24 V: a string must stand some volts above "
        "the bank.",
    ),
    Field(
        "panels.tilt_deg",
        "roof",
        "Tilt, degrees",
        "0 lies flat on the roof, as most do. Tilted up by hand: 20 to 40.",
    ),
    Field(
        "panels.facing",
        "roof",
        "Tilted to the van's",
        "The side of the van that tilted panels look to. Flat ones do not mind.",
    ),
    Field(
        "panels.azimuth_deg",
        "roof",
        "Tilted towards, degrees",
        "Clockwise from north: 180 is south. Left empty, the van may stand any way round.",
        optional=True,
    ),
    Field(
        "panels.soiling_share",
        "roof",
        "Lost to dirt, %",
        "2 to 5 on flat panels that are washed now and then; 10 and more after dust or under "
        "trees. Common practice, no source.",
        percent=True,
    ),
    Field(
        "panels.cost",
        "roof",
        "Price of one panel",
        "In any money, fitted or bare. With prices the tuning looks for the cheapest.",
        optional=True,
    ),
    Field("controller.kind", "roof", "Charge controller", "MPPT is usual; PWM is cheap and slow."),
    Field(
        "controller.max_output_a",
        "roof",
        "Controller's output, A",
        "Largest charging current. About panel watts divided by 14 V at 12 V: 20 to 50.",
    ),
    Field(
        "controller.max_input_v",
        "roof",
        "Controller's highest input, V",
        "A string's open-circuit voltage on the coldest morning must stay below. 75, 100 and 150 "
        "are usual.",
    ),
    Field(
        "van.system_voltage_v",
        "bank",
        "System voltage, V",
        "12 in vans; 24 or 48 where the inverter is of 3 kW and more.",
    ),
    Field("battery.part", "bank", "Battery", "One unit of the bank, by chemistry and size."),
    Field(
        "battery.units",
        "bank",
        "Batteries",
        "How many units of the bank, in whole strings. Weekends: 100 to 200 Ah at 12 V; living "
        "aboard: 300 to 600 Ah.",
    ),
    Field(
        "stay.start_soc",
        "bank",
        "Full on arrival, %",
        "State of charge on arrival. 100 after a drive or a night on shore power.",
        percent=True,
    ),
    Field(
        "battery.location",
        "bank",
        "The bank stands",
        "Lithium takes no charge below 0 C: inside the heated space it stays warm.",
    ),
    Field(
        "battery.cost",
        "bank",
        "Price of one unit",
        "In the same money as the panel's.",
        optional=True,
    ),
    Field(
        "inverter.power_w",
        "bank",
        "Inverter, W",
        "What it gives for hours. 300 for chargers, 1,000 to 2,000 for a kettle or microwave, "
        "3,000 for induction.",
    ),
    Field(
        "inverter.idle_w",
        "bank",
        "Inverter's own draw, W",
        "While it is on without a load: 5 to 30. At 20 W it takes 480 Wh a day.",
        places=1,
    ),
    Field(
        "inverter.always_on",
        "bank",
        "Inverter stays on",
        "Otherwise it runs only while an AC load does.",
    ),
    Field(
        "alternator.dcdc_a",
        "bank",
        "DC-DC charger, A",
        "Charges from the alternator while driving: 20 to 60.",
    ),
    Field(
        "alternator.drive_h",
        "bank",
        "Driving, hours",
        "On each driving day. 0 for a stay without moving.",
        places=1,
    ),
    Field(
        "alternator.every_days",
        "bank",
        "Driving every … days",
        "1 is every day, 3 every third.",
    ),
    Field("shore.charger_a", "bank", "Shore charger, A", "Charges from the post: 10 to 60."),
    Field(
        "shore.plugged_h",
        "bank",
        "Plugged in, hours",
        "On each plug-in day. 0 off grid.",
        places=1,
    ),
    Field(
        "shore.every_days",
        "bank",
        "Plugged in every … days",
        "1 is every day, 3 every third.",
    ),
    Field(
        "cabin.people",
        "people",
        "People",
        "Each warms the cabin a little. What each uses for themselves runs longer or shorter with "
        "their number: charging, laptops, cooking, water and shower. Fridge, heater, fans and "
        "lights are shared. See Design, Appliances.",
    ),
    Field(
        "cabin.heater_set_point_c",
        "people",
        "Heated to, °C",
        "By day. 18 to 21 °C is usual. Left empty, nobody heats (then switch the heater off, too).",
        places=1,
        optional=True,
    ),
    Field(
        "cabin.night_set_point_c",
        "people",
        "Heated at night to, °C",
        "10 to 16 °C is usual. Left empty, as by day.",
        places=1,
        optional=True,
    ),
    Field("cabin.insulation", "people", "Insulation", "Most finished vans are light or good."),
)

# What is changed most stands above all others, in this order.
_MAIN_PATHS = (
    *("stay.place", "stay.month", "stay.days"),
    *("cabin.people", "panels.count", "battery.units"),
)
MAIN: tuple[Field, ...] = tuple(
    next(field for field in BESIDE if field.path == path) for path in _MAIN_PATHS
)
