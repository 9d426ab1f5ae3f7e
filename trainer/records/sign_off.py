"""An observed practical, as it is signed off by who did it and who watched."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime
from uuid import UUID

from models.spec.errors import RefusalError
from trainer.records.attempt import check_person_name
from trainer.records.entry import Entry, EntryKind, FiledEntry, Named, Role
from trainer.records.plain_json import make_time_text, read_mapping


@dataclass(frozen=True, slots=True)
class LineSigned:
    """One line of the rubric as it was marked. line: its id. mark: 0 to 1. remark: the observer's own words."""

    line: str
    mark: float
    is_critical: bool = False
    remark: str = ""

    def __post_init__(self) -> None:
        if not 0.0 <= self.mark <= 1.0:
            raise ValueError(f"mark must be from 0 to 1, not {self.mark}")
        object.__setattr__(self, "mark", float(self.mark))


@dataclass(frozen=True, slots=True)
class SignOff:
    """A practical that one person did and another watched; both have signed.

    person, observer: their names. person_signed, observer_signed: what each typed to sign, which must be the name.
    practical: id of what was done. build, options: on which pump. lines: the rubric, line by line.
    passed: the verdict by the rubric's own rule; with a critical line short of full marks it cannot be.
    begun: when the watching began; nothing where that was not kept (before 2026-12). It is signed at `when`.

    Raises:
        RefusalError: somebody watched himself, or has not signed with the name.
        ValueError: the verdict cannot be; the caller has a bug.
    """

    id: UUID
    when: datetime
    person: str
    observer: str
    person_signed: str
    observer_signed: str
    practical: str
    build: str
    lines: tuple[LineSigned, ...]
    passed: bool
    options: Mapping[str, str] = field(default_factory=dict)
    remark: str = ""
    begun: datetime | None = None

    def __post_init__(self) -> None:
        object.__setattr__(self, "begun", _tidy_begun(self.begun))
        for name in ("person", "observer", "person_signed", "observer_signed"):
            object.__setattr__(self, name, check_person_name(getattr(self, name)))
        if self.person.casefold() == self.observer.casefold():
            raise RefusalError("Nobody signs off a practical of their own; somebody else watches.")
        check_signature(self.person, self.person_signed)
        check_signature(self.observer, self.observer_signed)
        if not self.lines or not self.practical or not self.build:
            raise ValueError("a sign-off names its practical, its pump and the lines of its rubric")
        if self.passed and any(one.is_critical and one.mark < 1.0 for one in self.lines):
            raise ValueError("a practical with a critical line missed is not passed")


def check_signature(name: str, typed: str) -> None:
    """Check that somebody has signed with the name that is kept, in large or small letters. Raises RefusalError."""
    signed = check_person_name(typed)
    if name.casefold() != signed.casefold():
        raise RefusalError(f"{name} signs with this very name, not with {signed}.")


def _tidy_begun(begun: datetime | None) -> datetime | None:
    if begun is not None and begun.tzinfo is None:
        raise ValueError("begun must carry its time zone")
    return begun.astimezone(UTC) if begun is not None else None


@dataclass(frozen=True, slots=True)
class FiledSignOff:
    """A sign-off in its place in the history. known_as: what the one who did it is called now."""

    sign_off: SignOff
    number: int
    hash: str
    known_as: str


def make_entry(sign_off: SignOff) -> Entry:
    """Make the history's entry of a sign-off. Remarks are said of the learner, and are erased with the name."""
    remarks = {one.line: one.remark for one in sign_off.lines if one.remark}
    begun = {"begun_utc": make_time_text(sign_off.begun)} if sign_off.begun else {}
    return Entry(
        sign_off.id,
        sign_off.when,
        EntryKind.SIGNED_OFF,
        {
            **begun,
            "practical": sign_off.practical,
            "build": sign_off.build,
            "options": dict(sign_off.options),
            "lines": [[one.line, one.mark, one.is_critical] for one in sign_off.lines],
            "passed": sign_off.passed,
        },
        {
            Role.LEARNER: Named(
                sign_off.person,
                {
                    "signed": sign_off.person_signed,
                    "remark": sign_off.remark,
                    "remarks": remarks,
                },
            ),
            Role.OBSERVER: Named(sign_off.observer, {"signed": sign_off.observer_signed}),
        },
    )


def place_sign_off(filed: FiledEntry) -> FiledSignOff:
    """Read a sign-off back with its place in the history."""
    return FiledSignOff(read_sign_off(filed), filed.number, filed.hash, filed.now[Role.LEARNER])


def read_sign_off(filed: FiledEntry) -> SignOff:
    """Read a sign-off back. Of an erased person the stand-in's name counts as signed."""
    entry = filed.entry
    content = read_mapping(entry.content)
    learner, observer = entry.names[Role.LEARNER], entry.names[Role.OBSERVER]
    told, told_by = read_mapping(learner.told), read_mapping(observer.told)
    remarks = read_mapping(told.get("remarks"))
    lines: object = content["lines"]
    begun = content.get("begun_utc")
    assert isinstance(lines, list)
    return SignOff(
        id=entry.id,
        when=entry.when,
        person=learner.person,
        observer=observer.person,
        person_signed=str(told.get("signed", learner.person)),
        observer_signed=str(told_by.get("signed", observer.person)),
        practical=str(content["practical"]),
        build=str(content["build"]),
        lines=tuple(
            LineSigned(str(line), float(mark), bool(critical), str(remarks.get(line, "")))
            for line, mark, critical in lines
        ),
        passed=bool(content["passed"]),
        options={key: str(value) for key, value in read_mapping(content["options"]).items()},
        remark=str(told.get("remark", "")),
        begun=datetime.fromisoformat(str(begun)) if begun else None,
    )
