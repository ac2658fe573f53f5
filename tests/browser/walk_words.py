"""What a walk types, presses and chooses."""

from __future__ import annotations

PLACES = (
    "Salzburg, AT",
    "Bergen, NO",
    "Phoenix, AZ, US",
    "Hobart, AU",
    "47.80, 13.05",
    "Xyzzyville",
)
# What people type, what is refused, and what may be read in two ways.
NUMBERS = {
    "stay.days": "1 2 5 7 10 14 21 30 45 0 400",
    "stay.heading_deg": "0 45 90 123,5 180 270",
    "stay.target_chance": "80 90 95 99 100 ninety",
    "panels.count": "0 1 2 3 4 6 8 -1 2.5",
    "panels.series": "1 1 2",
    "panels.tilt_deg": "0 10 30 45 90",
    "panels.azimuth_deg": "90 180 200",
    "panels.soiling_share": "0 2 5 12,5",
    "panels.cost": "180 219,90 1,200",
    "controller.max_output_a": "20 30 50 60",
    "controller.max_input_v": "75 100 150",
    "battery.units": "1 2 3 4 6 8 0 two",
    "battery.cost": "400 990,5",
    "stay.start_soc": "100 80 50 0",
    "inverter.power_w": "300 1200 2000 3000",
    "inverter.idle_w": "0 5 12,5 20",
    "alternator.dcdc_a": "20 30 60",
    "alternator.drive_h": "0 0,5 1 2 30",
    "alternator.every_days": "1 2 3",
    "shore.charger_a": "10 20 40",
    "shore.plugged_h": "0 1 8 12,5",
    "shore.every_days": "1 2 7",
    "cabin.people": "1 2 3 4",
    "cabin.heater_set_point_c": "5 15 18.5 21 99",
    "cabin.night_set_point_c": "5 10 16",
    "battery.bms_discharge_a": "100 150,5 -5",
    "battery.bms_charge_a": "50 100 many",
    "alternator.rating_a": "90 180 240,5",
    "roof.length_m": "2.5 3,4 4.2 5,5 0 30",
    "roof.width_m": "1.4 1,6 2.1 9",
    "roof.margin_m": "0 0,05 0.1 2",
    "roof.gap_m": "0,02 0.05 -1",
    "roof.walkway_m": "0 0,4 0.5",
}
LENGTHS_M = "0,5 1 2.5 6 70 x"
BUTTONS = ("Keep the present design", "Build", "Take", "Drop")
SWITCHES = {
    "Inverter aboard": "inverter",
    "DC-DC charger aboard": "alternator",
    "Shore charger aboard": "shore",
}
# What a class of van leaves as it is.
STAYS = {"stay.place", "stay.month", "stay.days", "stay.parking"}
# Where what the people bring stands in a design.
PEOPLE = ("profile.", "cabin.", "appliances.", "hourly.")
