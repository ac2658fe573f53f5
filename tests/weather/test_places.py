"""Finding places by name and by coordinates."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solarsim.errors import InputError, PlaceError
from solarsim.weather.place_names import fold_name
from solarsim.weather.places import find_place


@pytest.mark.parametrize(
    ("text", "name", "timezone", "offset_h"),
    [
        ("Salzburg", "Salzburg, AT", "Europe/Vienna", 1.0),
        ("salzburg, at", "Salzburg, AT", "Europe/Vienna", 1.0),
        ("Salzburg, Austria", "Salzburg, AT", "Europe/Vienna", 1.0),
        ("Portland, Oregon, US", "Portland, OR, US", "America/Los_Angeles", -8.0),
        ("Portland, ME", "Portland, ME, US", "America/New_York", -5.0),
        ("Köln", "Köln, DE", "Europe/Berlin", 1.0),
        ("Cologne", "Köln, DE", "Europe/Berlin", 1.0),
        ("Wien", "Vienna, AT", "Europe/Vienna", 1.0),
        ("Москва", "Moscow, RU", "Europe/Moscow", 3.0),
        ("東京", "Tokyo, JP", "Asia/Tokyo", 9.0),
        ("Roma", "Rome, IT", "Europe/Rome", 1.0),
        ("tromso", "Tromsø, NO", "Europe/Oslo", 1.0),
        ("Windhoek, NA", "Windhoek, NA", "Africa/Windhoek", 2.0),
        ("Washington, D.C.", "Washington, DC, US", "America/New_York", -5.0),
        ("Perth, Australia", "Perth, WA, AU", "Australia/Perth", 8.0),
        ("Adelaide, SA", "Adelaide, SA, AU", "Australia/Adelaide", 9.5),
        ("Athens, Georgia", "Athens, GA, US", "America/New_York", -5.0),
        ("Vancouver, BC", "Vancouver, BC, CA", "America/Vancouver", -8.0),
    ],
)
def test_names(text, name, timezone, offset_h):
    place = find_place(text)
    assert (place.name, place.timezone, place.utc_offset_h) == (name, timezone, offset_h)
    # What is shown can be typed.
    assert find_place(place.name) == place


def test_salzburg_stands_where_it_stands():
    place = find_place("Salzburg, AT")
    assert place.latitude_deg == pytest.approx(47.80, abs=0.01)
    assert place.longitude_deg == pytest.approx(13.04, abs=0.01)
    # The city lies at 424 m; the grid is coarse.
    assert place.elevation_m == pytest.approx(424.0, abs=100.0)


def test_several_towns_of_a_name_are_listed():
    with pytest.raises(PlaceError) as caught:
        find_place("Portland, US")
    message = str(caught.value)
    assert "'Portland, OR, US' (United States" in message
    assert "'Portland, ME, US'" in message
    assert message.index("OR, US") < message.index("ME, US")
    assert "GB" not in message
    assert "coordinates" in message
    assert caught.value.choices[:2] == ("Portland, OR, US", "Portland, ME, US")
    assert all(f"'{choice}'" in message for choice in caught.value.choices)


def test_towns_alike_in_all_are_told_apart_by_coordinates():
    with pytest.raises(PlaceError, match=r"'Shāhpur, IN' at '\d+\.\d\d, \d+\.\d\d'") as caught:
        find_place("Shahpur, IN")
    assert len(caught.value.choices) > 1
    for choice in caught.value.choices:
        found = find_place(choice)
        assert choice == f"{found.latitude_deg:.2f}, {found.longitude_deg:.2f}"


def test_a_far_larger_town_needs_no_country():
    assert find_place("Paris").name == "Paris, FR"
    assert find_place("Paris, TX").name == "Paris, TX, US"


def test_wrong_country_lists_where_the_name_is():
    with pytest.raises(PlaceError, match=r"none there.*Vienna, AT"):
        find_place("Vienna, Spain")


def test_unknown_name_suggests_near_ones():
    with pytest.raises(PlaceError, match=r"near: .*'Salzburg, AT'") as caught:
        find_place("Slazburg")
    assert "Salzburg, AT" in caught.value.choices
    with pytest.raises(PlaceError, match="give a larger town nearby") as caught:
        find_place("Qxzzyvwk")
    assert caught.value.choices == ()


@pytest.mark.parametrize("text", ["", " , ", ",,", "47,80, 13,05", "47.8"])
def test_what_is_no_place_says_what_is(text):
    with pytest.raises(PlaceError, match="latitude, longitude"):
        find_place(text)


def test_coordinates():
    place = find_place("47.80, 13.05")
    assert (place.latitude_deg, place.longitude_deg) == (47.80, 13.05)
    assert place.name == "47.800 N, 13.050 E"
    assert place.timezone == "Europe/Vienna"
    assert find_place("54.8 S 68.3 W").latitude_deg == -54.8
    assert find_place("-54.8;-68.3").timezone == "America/Argentina/Ushuaia"


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("91, 10", r"latitude 91; must lie between -90 and 90"),
        ("10, -181", r"longitude -181; must lie between -180 and 180"),
        ("-10 S, 5", "a sign or a letter, not both"),
    ],
)
def test_coordinates_out_of_range(text, message):
    with pytest.raises(PlaceError, match=message):
        find_place(text)


@given(st.floats(-90, 90), st.floats(-180, 180))
def test_any_coordinates_are_a_place(latitude, longitude):
    place = find_place(f"{latitude:.4f}, {longitude:.4f}")
    assert place.latitude_deg == pytest.approx(latitude, abs=1e-4)
    assert place.longitude_deg == pytest.approx(longitude, abs=1e-4)
    assert -12 <= place.utc_offset_h <= 14
    assert -450 <= place.elevation_m <= 6600
    again = find_place(place.name)
    assert again.latitude_deg == pytest.approx(place.latitude_deg, abs=6e-4)


@pytest.mark.slow
@given(st.text(max_size=30))
def test_any_text_is_a_place_or_an_input_error(text):
    try:
        assert find_place(text).name
    except PlaceError as error:
        assert "got" in str(error)  # noqa: PT017


def test_overrides():
    place = find_place("Salzburg", elevation_m=424.0, timezone="Asia/Kolkata")
    assert (place.elevation_m, place.timezone, place.utc_offset_h) == (424.0, "Asia/Kolkata", 5.5)


@pytest.mark.parametrize("timezone", ["Mars/Base", "Europe/Wien", "", "../etc", "/abs"])
def test_unknown_time_zone(timezone):
    with pytest.raises(InputError, match=r"timezone: .*no such time zone.*Europe/Vienna"):
        find_place("Salzburg", timezone=timezone)


@pytest.mark.parametrize("elevation_m", [-500.0, 9000.0, float("nan")])
def test_impossible_elevation(elevation_m):
    with pytest.raises(InputError, match=r"elevation_m: got .*between -450 and 6000"):
        find_place("Salzburg", elevation_m=elevation_m)


@given(st.text(max_size=20))
def test_folding_is_stable(text):
    once = fold_name(text)
    assert fold_name(once) == once
    assert "," not in once
    assert "|" not in once
