"""The command that makes a load profile of a client's answers."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, Literal

import typer

from solarsim.cli.options import JsonOption
from solarsim.cli.output import check_file, check_json, say_aside, tell
from solarsim.errors import InputError

if TYPE_CHECKING:
    from solarsim.inputs.interview import Interview

__all__ = ["interview"]

AnswersOption = Annotated[
    str | None,
    typer.Option(
        help="Answers as a TOML file or a shipped example's name, not asked on the terminal "
        "(`solarsim keys answers`)."
    ),
]
AnswerSetOption = Annotated[
    list[str] | None,
    typer.Option("--set", metavar="answers.KEY=VALUE", help="Change an answer. May be repeated."),
]
OutOption = Annotated[
    Path | None, typer.Option(help="Write the load profile, which `stay --profile` takes: .toml.")
]
KeepOption = Annotated[
    Path | None, typer.Option(help="Write the answers themselves, for --answers: .toml.")
]
PageOption = Annotated[
    list[Path] | None,
    typer.Option(help="Write a page to print: .html or .pdf. May be repeated."),
]
BlankOption = Annotated[
    bool, typer.Option("--blank", help="Ask nothing: --page is the form to fill in by hand.")
]
# No usual answer stands in for these: a medical device must not be passed over.
_MUST_BE_SAID = ("people", "medical")

PaperOption = Annotated[Literal["a4", "letter"], typer.Option(help="Size of a PDF's pages.")]


def interview(
    answers: AnswersOption = None,
    settings: AnswerSetOption = None,
    out: OutOption = None,
    keep: KeepOption = None,
    page: PageOption = None,
    blank: BlankOption = False,
    paper: PaperOption = "a4",
    json: JsonOption = None,
) -> None:
    """Twelve plain questions to the client, and the load profile that follows from the answers.

    Beside each appliance stands the answer that it follows from: change the answer and make the
    profile anew, or change the profile. Its watts and hours are those of the parts library. A
    medical device marks the profile, and every answer about it then says whether it is safe.
    """
    check_json(json)
    for target, field in ((out, "--out"), (keep, "--keep")):
        check_file(target, ".toml", field=field)
    _check_pages(page or [])
    if blank:
        _write_blank(page, [answers, settings, out, keep, json], paper)
        return
    from solarsim.answers.interview.interview import interview as make
    from solarsim.inputs.files.write import write_file
    from solarsim.inputs.interview import read_interview
    from solarsim.present.interview.document import answers_toml, interview_document, profile_toml
    from solarsim.present.interview.make import page_bytes
    from solarsim.present.interview.text import print_interview

    if answers is None:
        asked = _asked_here(settings or [])
    else:
        asked = read_interview(answers, settings=settings or ())
    answer = make(asked)
    made = [(path, page_bytes(answer, path.suffix.lower(), paper=paper)) for path in page or []]
    if out is not None:
        made.append((out, profile_toml(answer).encode()))
    if keep is not None:
        made.append((keep, answers_toml(asked).encode()))
    for path, content in made:
        write_file(path, content)
    if json is not None or not made:
        tell(answer, json, print_interview, interview_document)
    else:
        for caution in answer.cautions:
            say_aside(f"solarsim: {caution}")


def _check_pages(pages: list[Path]) -> None:
    if pages:
        from solarsim.inputs.files.write import check_writable
        from solarsim.present.interview.make import check_page_path

        for path in pages:
            check_page_path(path)
            check_writable(path)


def _write_blank(
    pages: list[Path] | None, others: list[Any], paper: Literal["a4", "letter"]
) -> None:
    from solarsim.inputs.files.write import write_file
    from solarsim.present.interview.make import page_bytes

    if not pages or any(other is not None for other in others):
        message = "makes an empty form alone; give --page and nothing else"
        raise InputError(message, field="--blank")
    made = [(path, page_bytes(None, path.suffix.lower(), paper=paper)) for path in pages]
    for path, content in made:
        write_file(path, content)


def _asked_here(settings: list[str]) -> Interview:
    """Ask on the terminal, each question again until its answer can be used."""
    from solarsim.answers.interview.questions import QUESTIONS, allowed_choices, answer_text
    from solarsim.inputs.interview import ClientAnswers, interview_from_data

    given: dict[str, Any] = {}
    say_aside("Twelve questions. Enter alone takes the usual answer; Ctrl-C ends it.")
    for number, asked in enumerate(QUESTIONS, start=1):
        say_aside(f"\n{number}. {asked.text}")
        for key, hint in asked.keys.items():
            if key == "warmth" and given.get("heater") == "none":
                continue
            for place, choice in enumerate(allowed_choices(key), start=1):
                say_aside(f"   {place}  {answer_text(key, choice)}")
            field = ClientAnswers.model_fields[key]
            if isinstance(field.default, tuple) and allowed_choices(key):
                say_aside("   none")
            must = key in _MUST_BE_SAID
            usual = "" if must else f" [{answer_text(key, field.default)}]"
            answer = _answer(key, f"   {hint or 'which one'}{usual}: ", number)
            if answer is not None:
                given[key] = answer
    return interview_from_data({"answers": given}, source="", settings=settings)


def _answer(key: str, prompt: str, number: int) -> Any:
    from solarsim.answers.interview.questions import typed_answer
    from solarsim.weather.places import find_place

    while True:
        print(prompt, end="", file=sys.stderr, flush=True)
        line = sys.stdin.readline() if sys.stdin is not None else ""
        if not line:
            say_aside("")
            message = f"ended before question {number} was answered; or give --answers FILE.toml"
            raise InputError(message, source="the interview")
        try:
            answer = typed_answer(key, line)
            if answer is None and key in _MUST_BE_SAID:
                raise InputError("must be answered", field=key)
            if key == "place" and answer is not None:
                find_place(answer)
        except InputError as error:
            say_aside(f"   {error}")
        else:
            return answer
