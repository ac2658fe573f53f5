"""The first view works out nothing that nobody looks at."""

from __future__ import annotations

import dataclasses
import html

import pytest
from streamlit.testing.v1 import AppTest

from solarsim.answers.generator import GENERATOR_CAUTION
from solarsim.app.link import PARAMETER, design_code
from solarsim.app.views import stay as stay_view
from solarsim.inputs.files.van import read_van
from solarsim.present.stay.fuel import NO_FUEL


def said(page):
    """What the page says, as its reader sees it."""
    return html.unescape(" ".join(one.value for one in (*page.markdown, *page.warning)))


@pytest.mark.slow
def test_what_to_change_first_is_worked_out_when_it_is_opened(app, monkeypatch):
    asked = []
    real = stay_view.levers_answer
    monkeypatch.setattr(stay_view, "levers_answer", lambda one: asked.append(one) or real(one))
    app.run()
    assert asked == []
    app.session_state["first_changes"] = True
    app.run()
    assert not app.exception
    assert len(asked) == 1
    assert any("Mean days gained" in one.value for one in app.caption)


def test_what_is_burnt_stands_with_the_answer(app):
    assert NO_FUEL in said(app)
    settings = ["fuel.heat=diesel", "fuel.diesel_tank_l=20", "generator.power_w=1000"]
    design = dataclasses.replace(
        app.session_state["design"], van=read_van("weekender", settings=settings)
    )
    page = AppTest.from_file(str(app._script_path), default_timeout=60)
    page.query_params[PARAMETER] = design_code(design)
    page.run()
    assert not page.exception
    told = said(page)
    assert "Diesel: nine stays in ten burn no more than" in told
    assert "Petrol: " in told
    assert NO_FUEL not in told
    assert GENERATOR_CAUTION in told
