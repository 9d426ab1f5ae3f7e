"""The form of a lesson file, and how a departure from it is told to the author."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Annotated

from pydantic import Field, ValidationError
from pydantic_core import ErrorDetails

from models.spec.errors import ContentError, Fault, say_choice
from trainer.lesson.asked import ASKED, AnyAsked, make_wanted
from trainer.lesson.fields import (
    BuildName,
    Choices,
    ClearanceName,
    Id,
    Line,
    Markdown,
    Names,
    Truth,
    Written,
)
from trainer.lesson.kinds import QuestionKind
from trainer.lesson.lesson import Camera, Lesson, Path, Position, Show, Step
from trainer.lesson.tree import Tree
from trainer.lesson.written import list_braced, list_trouble

LONGEST_QUOTE = 40
TEXTS = ("title", "say", "caution")
"""The keys of a step that hold an author's own words."""


class ShowText(Written):
    """How a view is written; what it does not name has its usual value, not that of the step before."""

    build: BuildName | None = None
    options: Choices | None = Field(None, alias="with")
    lit: Names = ()
    ghosted: Names = ()
    cutaway: Truth = False
    apart: Annotated[float, Field(ge=0, le=1, allow_inf_nan=False)] = 0.0
    camera: Camera = Camera.ISO
    off: Id | None = None
    fault: Id | None = None
    clearance: ClearanceName | None = None
    near: Names = ()


class StepText(Written):
    """How a step is written."""

    title: Line
    show: ShowText | None = None
    say: Markdown = ""
    caution: Markdown = ""
    ask: Annotated[AnyAsked, Field(discriminator="kind")] | None = None


class LessonText(Written):
    """How a lesson is written."""

    title: Line
    build: BuildName
    options: Choices = Field(default_factory=dict, alias="with")
    steps: Annotated[tuple[StepText, ...], Field(min_length=1, max_length=200)]


Wording = Callable[[ErrorDetails], tuple[str, str]]

# The models by the key or the tag under which they stand in pydantic's account of a fault.
_MODELS: Mapping[str, type[Written]] = {
    "steps": StepText,
    "show": ShowText,
    **{str(kind): model for kind, model in ASKED.items()},
}


def make_lesson(tree: Tree, file: str) -> Lesson:
    """Make a lesson from a file's content.

    Raises:
        ContentError: listing every departure from the form.
    """
    try:
        text = LessonText.model_validate(tree.content)
    except ValidationError as error:
        faults = [_word(details, tree, file) for details in _list_departures(error)]
        raise ContentError(sorted(faults, key=lambda fault: (fault.line, fault.column))) from error
    steps: list[Step] = []
    view = Show(text.build, text.options)
    for step in text.steps:
        if step.show:
            view = _make_show(step.show, text)
        wanted = make_wanted(step.ask) if step.ask else None
        steps.append(Step(step.title, view, step.say, step.caution, wanted))
    positions = dict(tree.values)
    lesson = Lesson(text.title, text.build, text.options, tuple(steps), file, positions)
    faults = [*_list_troubles(lesson, tree), *_list_same_ids(lesson)]
    if faults:
        raise ContentError(sorted(faults, key=lambda fault: (fault.line, fault.column)))
    for path, written in list_texts(lesson):
        for number, braced in enumerate(list_braced(written)):
            positions[*path, number] = tree.find_inside(
                path, f"{{{braced.text}}}", written[: braced.at]
            )
    return lesson


def list_texts(lesson: Lesson) -> Iterator[tuple[Path, str]]:
    """List an author's own words with their path in the file."""
    yield ("title",), lesson.title
    for index, step in enumerate(lesson.steps):
        for key in TEXTS:
            yield ("steps", index, key), getattr(step, key)
        if step.ask:
            yield ("steps", index, "ask", "prompt"), step.ask.prompt


def _list_troubles(lesson: Lesson, tree: Tree) -> Iterator[Fault]:
    """Find braces that hold nothing known and numbers that stand bare; the lesson's own title holds no braces at all."""
    for braced in list_braced(lesson.title):
        position = tree.find_inside(("title",), f"{{{braced.text}}}", lesson.title[: braced.at])
        what = "the title of a lesson stands in lists of lessons, where no pump is shown"
        yield Fault(lesson.file, position.line, position.column, what, "Say it without braces")
    for path, written in list_texts(lesson):
        for trouble in list_trouble(written):
            position = tree.find_inside(path, trouble.snippet, written[: trouble.at])
            yield Fault(lesson.file, position.line, position.column, trouble.what, trouble.remedy)


def _make_show(show: ShowText, lesson: LessonText) -> Show:
    # Another build has options of its own: those of the lesson's build mean nothing to it.
    usual = lesson.options if show.build in {None, lesson.build} else {}
    options = usual if show.options is None else {**usual, **show.options}
    build = show.build or lesson.build
    return Show(
        build,
        options,
        show.lit,
        show.ghosted,
        show.cutaway,
        show.apart,
        show.camera,
        show.off or "",
        fault=show.fault or "",
        clearance=show.clearance or "",
        near=show.near,
    )


def _list_same_ids(lesson: Lesson) -> Iterator[Fault]:
    """Refuse two questions of one id: their attempts could not be told apart in the records."""
    seen: set[str] = set()
    for index, step in enumerate(lesson.steps):
        if step.ask and step.ask.id in seen:
            position = lesson.positions["steps", index, "ask", "id"]
            what = f"another question is already called {step.ask.id}"
            yield Fault(lesson.file, position.line, position.column, what, "Give it another id")
        elif step.ask:
            seen.add(step.ask.id)


def _list_departures(error: ValidationError) -> list[ErrorDetails]:
    """List pydantic's faults, less the lists it finds too short only because it threw faulty items out."""
    found = error.errors(include_url=False)
    places = [details["loc"] for details in found]
    return [
        details
        for details, loc in zip(found, places, strict=True)
        if details["type"] != "too_short"
        or not any(len(other) > len(loc) and other[: len(loc)] == loc for other in places)
    ]


def _word(details: ErrorDetails, tree: Tree, file: str) -> Fault:
    """Word one of pydantic's faults for the author, with the place it speaks of."""
    # A wrong kind is laid to the question as a whole; the author looks for it at its own key.
    inside = ("kind",) if details["type"] == "union_tag_invalid" else ()
    path = _find_path((*details["loc"], *inside), tree)
    is_unknown = details["type"] == "extra_forbidden"
    position = (tree.keys if is_unknown else tree.values).get(path) or tree.values.get(
        path, Position(0, 0)
    )
    wording = _WORDINGS.get(details["type"], _word_plainly)
    what, remedy = wording(details)
    return Fault(file, position.line, position.column, what, remedy)


def _find_path(loc: Sequence[str | int], tree: Tree) -> Path:
    """Find the longest path in the file that a fault's own path names; it may hold tags the file does not."""
    path: Path = ()
    for name in loc:
        if (*path, name) in tree.values:
            path = (*path, name)
    return path


def _name(details: ErrorDetails) -> str:
    """Name the value a fault speaks of: "lit, item 2"."""
    *_, before, last = ("", "the lesson", *(name for name in details["loc"] if name != "[key]"))
    return f"{before}, item {last + 1}" if isinstance(last, int) else str(last)


def _quote(value: object) -> str:
    """Quote what the author wrote, short enough to read."""
    text = str(value)
    return text if len(text) <= LONGEST_QUOTE else f"{text[:LONGEST_QUOTE]}…"


def _list_keys(loc: Sequence[str | int]) -> list[str]:
    """List the keys that may stand where a fault found an unknown one."""
    model: type[Written] = LessonText
    for name in loc[:-1]:
        model = _MODELS.get(str(name), model)
    return [field.alias or name for name, field in model.model_fields.items()]


def _word_unknown(details: ErrorDetails) -> tuple[str, str]:
    key = str(details["loc"][-1])
    return f"{_quote(key)} is not known here", say_choice(key, _list_keys(details["loc"]))


def _word_kind(details: ErrorDetails) -> tuple[str, str]:
    kind = details["ctx"]["tag"]
    return f"{_quote(kind)} is not a kind of question", say_choice(kind, list(QuestionKind))


def _word_camera(details: ErrorDetails) -> tuple[str, str]:
    return f"{_quote(details['input'])} is not a camera", say_choice(details["input"], list(Camera))


def _word_name(details: ErrorDetails) -> tuple[str, str]:
    what = f"{_name(details)} is not a name: {_quote(details['input'])}"
    return what, "Names are lower case with dashes, like wear-ring or end-suction/100-250"


def _word_literal(details: ErrorDetails) -> tuple[str, str]:
    return f"{_name(details)} is {_quote(details['input'])}", f"Write {details['ctx']['expected']}"


def _word_length(details: ErrorDetails) -> tuple[str, str]:
    context = details["ctx"]
    if "min_length" in context:
        return (
            f"{_name(details)} is empty or too short",
            f"Give it at least {context['min_length']}",
        )
    return f"{_name(details)} is too long", f"Give it at most {context['max_length']}"


def _word_bound(details: ErrorDetails) -> tuple[str, str]:
    (bound, limit), *_ = details["ctx"].items()
    words = {"ge": "at least", "gt": "more than", "le": "at most", "lt": "less than"}
    return (
        f"{_name(details)} is {_quote(details['input'])}",
        f"It has to be {words[bound]} {limit:g}",
    )


def _word_plainly(details: ErrorDetails) -> tuple[str, str]:
    return f"{_name(details)}: {details['msg']}", "See the guide on writing lessons"


def _make_wording(what: str, remedy: str) -> Wording:
    return lambda details: (f"{_name(details)} {what}", remedy)


_A_NUMBER = _make_wording("is not a number", "Write it like 0.35")
_A_LIST = _make_wording("is not a list", "Write the items in [ ], or one to a line behind dashes")
_A_MAPPING = _make_wording(
    "does not hold keys of its own", "Write key: value lines below it, indented"
)
_A_TEXT = _make_wording("is not a text", "Write one text here, no list and no keys")
_WORDINGS: Mapping[str, Wording] = {
    "missing": _make_wording("is missing", "Every such entry needs it"),
    "extra_forbidden": _word_unknown,
    "union_tag_invalid": _word_kind,
    "union_tag_not_found": _make_wording(
        "names no kind", f"Write kind: and one of {', '.join(QuestionKind)}"
    ),
    "enum": _word_camera,
    "literal_error": _word_literal,
    "string_too_short": _word_length,
    "string_too_long": _word_length,
    "too_short": _word_length,
    "too_long": _word_length,
    "greater_than": _word_bound,
    "greater_than_equal": _word_bound,
    "less_than": _word_bound,
    "less_than_equal": _word_bound,
    "float_parsing": _A_NUMBER,
    "float_type": _A_NUMBER,
    "finite_number": _A_NUMBER,
    "bool_parsing": _make_wording("is neither true nor false", "Write true or false"),
    "bool_type": _make_wording("is neither true nor false", "Write true or false"),
    "list_type": _A_LIST,
    "tuple_type": _A_LIST,
    "dict_type": _A_MAPPING,
    "model_type": _A_MAPPING,
    "model_attributes_type": _A_MAPPING,
    "string_type": _A_TEXT,
    "string_unicode": _make_wording(
        "holds half a character", r"Look for \uD800 to \uDFFF in quotes"
    ),
    "string_pattern_mismatch": _word_name,
    "reaching_out": _make_wording(
        "holds a link, a picture or HTML", "Lessons are text only; say it in words"
    ),
    "bold_left_open": _make_wording("leaves bold open", "Put ** before and behind what is bold"),
    "twice": lambda details: (f"{_name(details)} {details['msg']}", "Name each once"),
}
