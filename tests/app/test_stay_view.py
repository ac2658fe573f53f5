"""The first view works out nothing that nobody looks at."""

from __future__ import annotations

from solarsim.app.views import stay as stay_view


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
