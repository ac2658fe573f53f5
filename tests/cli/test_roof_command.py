"""The command `roof`: text, JSON, pictures, and what it refuses."""

from __future__ import annotations

import json

import pytest

KEYS = {
    *("schema", "roof", "parts", "panels", "count", "watts", "bound_w", "proved", "own", "counts"),
    *("nearest_free", "reasons", "costs", "other_panels", "shade_share_by_month", "warnings"),
    *("month", "panel_shade_share_by_month"),
}


def document(cli, *arguments):
    ran = cli("roof", *arguments, "--json", "-")
    assert (ran.code, ran.err) == (0, "")
    return json.loads(ran.out)


def test_json_has_its_keys_and_places(cli):
    got = document(cli)
    assert set(got) == KEYS
    assert got["watts"] == 600.0 == sum(panel["power_w"] for panel in got["panels"])
    assert got["count"] == len(got["panels"]) == 3
    assert got["counts"] == [1, 2, 3]
    assert len(got["shade_share_by_month"]) == 12
    assert all(0.0 <= share < 0.1 for share in got["shade_share_by_month"])
    assert got["own"]["count"] == 2 == len(got["own"]["panels"])
    assert got["own"]["fits"] is True
    for panel in got["panels"]:
        assert set(panel) == {"part", "x_m", "y_m", "length_m", "width_m", "power_w"}
        assert panel["x_m"] + panel["length_m"] <= got["roof"]["length_m"] - 0.05 + 1e-6
    assert [cost["name"] for cost in got["costs"]] == ["roof fan"]


@pytest.mark.slow
def test_settings_reach_the_roof(cli):
    longer = document(cli, "weekender", "--set", "roof.length_m=14ft 2in")
    assert longer["roof"]["length_m"] == pytest.approx(170 * 0.0254)
    assert longer["count"] == 4
    bus = document(cli, "--set", "roof.length_m=12", "--set", "roof.width_m=2.3")
    assert bus["count"] == 21
    assert bus["proved"] is True


@pytest.mark.slow
def test_a_van_with_a_template_and_an_outline(cli, tmp_path):
    body = '[van]\nname = "x"\n[panels]\npart = "200 W rigid"\ncount = 4\n'
    body += '[battery]\npart = "100 Ah LFP"\n'
    (tmp_path / "t.toml").write_text(f'{body}[roof]\ntemplate = "medium van"\n')
    assert document(cli, "t.toml")["own"]["fits"] is True
    outline = "outline = [[0, 0], ['9ft', 0], [3, 0.4], [3, 1.2], ['9ft', 1.6], [0, 1.6]]"
    (tmp_path / "o.toml").write_text(f"{body}[roof]\n{outline}\n")
    got = document(cli, "o.toml")
    assert got["roof"]["length_m"] == 3.0
    assert got["roof"]["outline"][1] == pytest.approx([2.7432, 0.0])
    assert got["watts"] > 0.0


@pytest.mark.slow
def test_text_says_what_fits_where_and_why_no_more(cli):
    ran = cli("roof", "long-stayer")
    assert (ran.code, ran.err) == (0, "")
    for words in (
        "holds 7 x 220 W rigid: 1,540 W",
        "the most possible",
        "The van's own 6 panels fit",
        "crosswise",
        "Why no more",
        "air cooler",
        "Lost to shade of what stands on the roof: Jan",
        "Other panels",
        "whole strings of 2",
        "Expected, not guaranteed",
    ):
        assert words in " ".join(ran.out.split()), words


def test_no_panel_at_all_is_an_answer(cli):
    ran = cli("roof", "--set", "roof.length_m=0.9")
    assert ran.code == 0
    assert "No 200 W rigid fits" in ran.out
    got = document(cli, "--set", "roof.length_m=0.9")
    assert (got["count"], got["panels"], got["own"]["fits"]) == (0, [], False)


@pytest.mark.parametrize(
    "name",
    ["roof.svg", *(pytest.param(n, marks=pytest.mark.slow) for n in ("roof.html", "roof.png"))],
)
def test_pictures_are_written(cli, tmp_path, name):
    assert cli("roof", "--plot", name).code == 0
    assert (tmp_path / name).stat().st_size > 5000


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["--parts", "200 W rigi"], ["200 W rigi", "'200 W rigid'"]),
        (["--set", "roof.length_m=11 foo"], ["roof.length_m", "11 foo", "11ft 2in"]),
        (["--set", "roof.template=big van"], ["roof.template", "big van", "'full bus'"]),
        (["--set", "roof.walkway_m=3"], ["walkway_m (3)", "width_m (1.6)"]),
        (["nowhere.toml"], ["nowhere.toml", "weekender"]),
        (["--plot", "roof.gif"], ["roof.gif", ".svg"]),
    ],
)
def test_refused_in_one_line(cli, tmp_path, arguments, words):
    ran = cli("roof", *arguments)
    assert ran.code == 2
    assert ran.out == ""
    assert len(ran.err.splitlines()) == 1
    for word in words:
        assert word in ran.err
    assert not list(tmp_path.iterdir())


@pytest.mark.slow
def test_a_van_without_an_inverter_is_answered_whatever_its_people_plug_in(cli, tmp_path):
    body = '[van]\nname = "x"\n[panels]\npart = "200 W rigid"\ncount = 2\n'
    body += '[battery]\npart = "100 Ah LFP"\n[roof]\ntemplate = "medium van"\n'
    (tmp_path / "bare.toml").write_text(body)
    plugged = ("bare.toml", "--profile", "remote-workers")
    # With an inverter there is nothing to warn of, and the roof is the same.
    calm = document(cli, *plugged, "--set", "inverter.power_w=1200")
    got = document(cli, *plugged)
    assert [line for line in got["warnings"] if line not in calm["warnings"]] == [
        line for line in got["warnings"] if "AC loads need an inverter" in line
    ]
    assert len(got["warnings"]) == len(calm["warnings"]) + 1
    assert {**got, "warnings": None} == {**calm, "warnings": None}
    assert "AC loads need an inverter" in " ".join(cli("roof", *plugged).out.split())
    # What counts the loads refuses still, and a place that is none comes first.
    assert "AC loads need an inverter" in cli("stay", *plugged).err
    ran = cli("roof", *plugged, "--place", "Nowhere at all")
    assert (ran.code, ran.out) == (2, "")
    assert "Nowhere at all" in ran.err


def test_a_van_without_a_roof_is_refused(cli, tmp_path):
    body = '[van]\nname = "x"\n[panels]\npart = "200 W rigid"\n[battery]\npart = "100 Ah LFP"\n'
    (tmp_path / "bare.toml").write_text(body)
    ran = cli("roof", "bare.toml")
    assert ran.code == 2
    assert "no [roof]" in ran.err
