"""Settle the options of a build: which values go together, and what they put into which place."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from itertools import combinations, product

from models.spec.errors import ImpossibleChoiceError, RefusalError, say_near
from models.spec.family import Family
from models.spec.seat import AsOne, LeftOut, Option, Place, Reseated, Rows, Without


@dataclass(frozen=True, slots=True)
class Clash:
    """Why chosen values do not go together: `value` of `option` needs one of, or bars, `others` of `other`."""

    option: str
    value: str
    is_needed: bool
    other: str
    others: tuple[str, ...]
    because: str

    def __str__(self) -> str:
        """Say it with the options' own names, for an error."""
        verb = "requires" if self.is_needed else "excludes"
        theirs = " or ".join(f"{self.other}={value}" for value in self.others)
        return f"{self.option}={self.value} {verb} {theirs}: {self.because}"


def choose(family: Family, wanted: Mapping[str, str]) -> dict[str, str]:
    """Give every option a value: the wanted one, else the first that goes with those settled before it.

    Raises:
        RefusalError: unknown option or value. ImpossibleChoiceError: two wanted values do not go
        together, or no value of another option goes with them; with the reason.
    """
    known = family.option_values()
    for name, value in wanted.items():
        if name not in known:
            raise RefusalError(f"{family.name} has no option {name!r}; {say_near(name, known)}")
        if value not in known[name]:
            raise RefusalError(
                f"option {name} has no value {value!r}; {say_near(value, known[name])}"
            )
    chosen = dict(wanted)
    _refuse(find_clashes(family, chosen))
    for option in family.options:
        if option.name not in chosen:
            chosen[option.name] = _settle(family, option, chosen)
    return {name: chosen[name] for name in known}


def _settle(family: Family, option: Option, chosen: Mapping[str, str]) -> str:
    clashes: list[Clash] = []
    for value in option.values:
        found = list(find_clashes(family, {**chosen, option.name: value}))
        if not found:
            return value
        clashes += found
    _refuse(iter(clashes))
    raise AssertionError("an option without values")


def _refuse(clashes: Iterator[Clash]) -> None:
    first = next(clashes, None)
    if first is not None:
        raise ImpossibleChoiceError(str(first))


def find_clashes(family: Family, chosen: Mapping[str, str]) -> Iterator[Clash]:
    """Find why chosen values do not go together; options that have no value yet bar nothing."""
    for option in family.options:
        value = chosen.get(option.name)
        if value is not None:
            yield from _find_missing(option, value, chosen)
            for mine, other, theirs, because in option.excludes:
                if mine == value and chosen.get(other) == theirs:
                    yield Clash(option.name, value, False, other, (theirs,), because)


def _find_missing(option: Option, value: str, chosen: Mapping[str, str]) -> Iterator[Clash]:
    needed: dict[str, list[tuple[str, str]]] = {}
    for mine, other, theirs, because in option.requires:
        if mine == value:
            needed.setdefault(other, []).append((theirs, because))
    for other, allowed in needed.items():
        if chosen.get(other, allowed[0][0]) not in [theirs for theirs, _ in allowed]:
            asked = tuple(theirs for theirs, _ in allowed)
            yield Clash(option.name, value, True, other, asked, allowed[0][1])


def find_nearest(
    family: Family, chosen: Mapping[str, str], option: str, value: str
) -> dict[str, str] | None:
    """Find the choice that has this value and changes as few of the other options as can be; None where none has it.

    Args:
        family: whose options they are.
        chosen: a value of every option, all of which go together.
        option: whose value is to change.
        value: the value it is to have.
    """
    wanted = {**chosen, option: value}
    values = family.option_values()
    others = [name for name in values if name != option]
    for count in range(len(others) + 1):
        for names in combinations(others, count):
            each = [[one for one in values[name] if one != chosen[name]] for name in names]
            for changed in product(*each):
                found = {**wanted, **dict(zip(names, changed, strict=True))}
                if next(find_clashes(family, found), None) is None:
                    return found
    return None


@dataclass(slots=True)
class Filled:
    """What the chosen options fill: places in build order, castings that are two places, further rows by place."""

    places: list[Place]
    aliases: dict[str, str] = field(default_factory=dict)
    rows: dict[str, list[str]] = field(default_factory=dict)

    def groups_of(self, place: str) -> list[str]:
        """List the groups of further rows of a place: its own, then those of the places cast into it."""
        cast_in = [name for name, within in self.aliases.items() if within == place]
        return [group for name in (place, *cast_in) for group in self.rows.get(name, ())]


def fill_places(family: Family, chosen: Mapping[str, str]) -> Filled:
    """Put each option's parts into their places; a place an option casts into another becomes an alias."""
    places = {place.name: place for place in family.places}
    filled = Filled([])
    gone: set[str] = set()
    for fill in family.list_fills(chosen):
        match fill:
            case Place():
                places[fill.name] = fill
            case AsOne():
                gone.add(fill.place)
                filled.aliases[fill.place] = fill.within
            case Without():
                gone.add(fill.place)
            case LeftOut():
                gone.add(fill.place)
                _close_up(places, fill.place)
            case Reseated() if fill.place in places:
                places[fill.place] = _reseat(places[fill.place], fill)
            case Rows():
                filled.rows.setdefault(fill.place, []).extend(fill.groups)
            case _:
                continue  # joints and clearances are read off the build; what is not there cannot rest otherwise
    filled.places = [place for name, place in places.items() if name not in gone]
    return filled


def _close_up(places: dict[str, Place], left_out: str) -> None:
    """Let what rested on a place rest on what that rested on."""
    below = places[left_out].seat
    if below is not None:
        for name, place in places.items():
            if place.seat is not None and place.seat.on == left_out:
                lower = replace(place.seat, on=below.on, on_face=below.on_face)
                places[name] = replace(place, seat=lower)


def _reseat(place: Place, slip: Reseated) -> Place:
    """Let a place's part rest as a mistake says."""
    mounts = slip.mounts or place.mounts
    return replace(place, seat=slip.seat, mounts=mounts, turned=place.turned != slip.turned)
