"""The README's session as a notebook that a kernel runs, and the cards that it shows."""

from __future__ import annotations

import doctest
import re
from pathlib import Path

import pytest

import solarsim

ROOT = Path(solarsim.__file__).parents[1]


def session():
    """The sources of the README's examples under "From Python"."""
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    part = re.split(r"^#+ ", re.split(r"^#+ From Python\n", text, flags=re.M)[1], flags=re.M)[0]
    return [example.source.rstrip("\n") for example in doctest.DocTestParser().get_examples(part)]


def run(sources, folder, monkeypatch):
    """The cells of a notebook after a kernel has run it; a failing cell stops nothing."""
    import nbformat
    from nbclient import NotebookClient

    monkeypatch.setenv("PYTHONPATH", str(ROOT))
    for name in ("JUPYTER_CONFIG_DIR", "JUPYTER_RUNTIME_DIR", "IPYTHONDIR"):
        monkeypatch.setenv(name, str(folder / name.lower()))
    book = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell(one) for one in sources])
    client = NotebookClient(book, timeout=120, kernel_name="python3", allow_errors=True)
    client.execute(cwd=str(folder))
    return book.cells


def shown(cell, kind):
    return [output["data"][kind] for output in cell.outputs if kind in output.get("data", {})]


@pytest.mark.slow
def test_the_session_has_ten_lines_at_most():
    assert 3 <= sum(len(source.splitlines()) for source in session()) <= 10


@pytest.mark.slow
def test_the_session_runs_as_a_notebook_and_shows_cards(tmp_path, monkeypatch):
    sources = [
        *session(),
        "winter",
        "question",
        "winter.frame()[['place', 'p50_days']]",
        "solarsim.ask(month=13)",
    ]
    cells = run(sources, tmp_path, monkeypatch)
    errors = [
        (number, output["ename"], output["evalue"])
        for number, cell in enumerate(cells, start=1)
        for output in cell.outputs
        if output["output_type"] == "error"
    ]
    assert len(errors) == 1, errors
    number, name, message = errors[0]
    assert (number, name) == (len(cells), "InputError")
    assert message.startswith("month: got 13; should be")
    answer, asked, table = cells[-4:-1]
    for cell in (answer, asked):
        (card,) = shown(cell, "text/html")
        (text,) = shown(cell, "text/plain")
        assert card.startswith("<div")
        assert "color:inherit" in card
        assert len(text.splitlines()) <= 12
    (card,) = shown(answer, "text/html")
    assert "in January (9 stays in 10)" in card
    assert "The van &#x27;Lark&#x27; near Salzburg, AT" in card
    assert ">unplugged</th>" in card
    assert "p50_days" in shown(table, "text/html")[0]
