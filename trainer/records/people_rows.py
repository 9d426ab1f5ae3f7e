"""Find, add, rename people, inside a transaction that `Records` has opened."""

from __future__ import annotations

import json

import sqlalchemy as sa

from models.spec.errors import RefusalError
from trainer.records.attempt import check_person_name
from trainer.records.schema import ATTEMPTS, NAMES, PEOPLE

STAND_IN = "nobody-"
"""What the name of an erased person begins with; nobody else's may."""


def find_person(connection: sa.Connection, name: str) -> int | None:
    """Find the number of a person by the name; nothing where there is none."""
    return connection.scalar(sa.select(PEOPLE.c.number).where(PEOPLE.c.name == name))


def find_or_add_person(connection: sa.Connection, name: str) -> int:
    """Find the number of a person, who is added if need be. The transaction holds the write lock.

    Raises:
        RefusalError: the name is one that stands in for somebody who was erased.
    """
    number = find_person(connection, name)
    if number is not None and not name.startswith(STAND_IN):
        return number
    if name.startswith(STAND_IN):
        raise RefusalError(f"A name cannot begin with {STAND_IN!r}: so those are called whose name was erased.")  # fmt: skip
    number = 1 + (connection.scalar(sa.select(sa.func.max(PEOPLE.c.number))) or 0)
    connection.execute(PEOPLE.insert().values(number=number, name=name))
    return number


def list_names(connection: sa.Connection) -> tuple[str, ...]:
    """List the names of all who were not erased, in the order they were first typed."""
    wanted = sa.select(PEOPLE.c.name).where(PEOPLE.c.erased_utc.is_(None)).order_by(PEOPLE.c.number)
    return tuple(connection.scalars(wanted))


def count_attempts(connection: sa.Connection) -> dict[str, int]:
    """Count the attempts of everybody who was not erased, by name; those without any too."""
    wanted = (
        sa.select(PEOPLE.c.name, sa.func.count(ATTEMPTS.c.number))
        .join_from(PEOPLE, ATTEMPTS, isouter=True)
        .where(PEOPLE.c.erased_utc.is_(None))
        .group_by(PEOPLE.c.number, PEOPLE.c.name)
        .order_by(PEOPLE.c.number)
    )
    return {row[0]: row[1] for row in connection.execute(wanted)}


def rename_person(connection: sa.Connection, old: str, new: str) -> None:
    """Give a person another name; what was signed under the old one keeps it.

    Raises:
        RefusalError: there is no such person, or somebody else has the new name.
    """
    number = find_known(connection, old)
    name = check_person_name(new)
    if name.startswith(STAND_IN):
        raise RefusalError(f"A name cannot begin with {STAND_IN!r}: so those are called whose name was erased.")  # fmt: skip
    if find_person(connection, name) not in {None, number}:
        raise RefusalError(f"Somebody else is kept as {name}; two people's records stay apart.")
    connection.execute(PEOPLE.update().where(PEOPLE.c.number == number).values(name=name))


def list_own_names(connection: sa.Connection, number: int) -> frozenset[str]:
    """List what a person is called and was called when something was signed, in small letters.

    A former name that somebody else has by now is left out: it stands for the other one, too.
    """
    named = sa.select(NAMES.c.said_json).where(NAMES.c.person_number == number)
    former = {str(json.loads(text)["name"]) for text in connection.scalars(named) if text}
    names = connection.execute(sa.select(PEOPLE.c.number, PEOPLE.c.name)).all()
    others = {name.casefold() for other, name in names if other != number}
    now = {name.casefold() for other, name in names if other == number}
    return frozenset(now | ({name.casefold() for name in former} - others))


def find_known(connection: sa.Connection, typed: str) -> int:
    """Find the number of a person by the name as typed. Raises RefusalError with near matches where there is none."""
    from difflib import get_close_matches

    name = check_person_name(typed)
    number = find_person(connection, name)
    names = list_names(connection)
    if number is None or name not in names:
        near = get_close_matches(name, names, 5)
        hint = f" Did you mean {', '.join(near)}?" if near else ""
        raise RefusalError(f"Nobody is kept as {name}.{hint}")
    return number
