"""The profile's file reads back, names its answers, and the page holds the same."""

from __future__ import annotations

import re
import tomllib

import pytest

from solarsim.answers.interview.interview import interview
from solarsim.inputs.interview import interview_from_data, read_interview
from solarsim.inputs.profile import profile_from_data
from solarsim.present.interview.document import answers_toml, interview_document, profile_toml
from solarsim.present.interview.make import page_bytes


@pytest.fixture(scope="module")
def answer():
    return interview(read_interview("couple", settings=['answers.medical=["breathing device"]']))


def test_the_file_is_the_profile(answer):
    read = profile_from_data(tomllib.loads(profile_toml(answer)), source="p.toml")
    assert read == answer.profile


def test_above_each_appliance_stands_its_answer(answer):
    blocks = profile_toml(answer).split("\n\n")
    tables = [block for block in blocks if "[[appliances]]" in block]
    assert len(tables) == len(answer.appliances)
    for block, one in zip(tables, answer.appliances, strict=True):
        assert re.match(rf"# question \d+, {one.key}: ", block)
        assert f"# Source of its numbers: {one.source}" in block
    usual = interview(interview_from_data({"answers": {"people": 2}}, source=""))
    assert "fridge: medium, 65 litres (not answered; the usual)" in profile_toml(usual)


def test_the_answers_read_back(answer):
    assert interview_from_data(tomllib.loads(answers_toml(answer.interview)), source="") == (
        answer.interview
    )


def test_a_name_cannot_leave_its_place():
    name = 'x"\n[[appliances]]\n# \u2028 \x7f </h1><script>'
    answer = interview(interview_from_data({"answers": {"people": 1, "name": name}}, source=""))
    tables = tomllib.loads(profile_toml(answer))
    assert tables["profile"]["name"] == name
    assert len(tables["appliances"]) == len(answer.appliances)
    assert b"<script" not in page_bytes(answer, ".html")


def test_the_document_traces_every_appliance(answer):
    document = interview_document(answer)
    assert [one["appliance"] for one in document["follows"]] == [
        a.name for a in answer.profile.appliances
    ]
    assert document["profile"]["profile"]["medical"] == ["breathing device"]
    assert "never rely on this alone" in document["cautions"][0]


def test_the_page_shows_choices_and_cautions(answer):
    page = page_bytes(answer, ".html").decode()
    assert "never rely on this alone" in page
    assert page.count("(chosen)") == 12
    blank = page_bytes(None, ".html").decode()
    assert "(chosen)" not in blank
    assert blank.count("<h2>") == 12
    # A form that was filled in by hand must say whose it is.
    assert blank.count("What the profile is called, such as a number of the order") == 1
    assert "What the profile is called" not in page
    assert answer.profile.profile.name in page
    assert page_bytes(answer, ".html") == page_bytes(answer, ".html")


@pytest.mark.slow
@pytest.mark.parametrize("blank", [False, True])
def test_the_pdf_is_tagged_and_holds_the_words(answer, blank):
    import io

    import pypdf

    read = pypdf.PdfReader(io.BytesIO(page_bytes(None if blank else answer, ".pdf")))
    text = " ".join(" ".join(page.extract_text() for page in read.pages).split())
    assert "Does anybody's health depend on a device?" in text
    assert ("What runs" in text) is not blank
    assert read.trailer["/Root"]["/MarkInfo"]["/Marked"]
