"""Say things in one language: the object every face is handed."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from enum import StrEnum
from functools import lru_cache
from pathlib import Path
from string import Formatter
from typing import TYPE_CHECKING, SupportsFloat

from models.spec.errors import find_near
from models.spec.units import MM_IN_INCH
from trainer.words.catalogue import list_fields, read_catalogue

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

_HERE = Path(__file__).parent
MORE_DIGITS = 2
"""An inch needs two digits more than a millimetre: 0.01 mm is 0.0004 in, and a tenth of a thou is 0.0025 mm."""


class LengthUnit(StrEnum):
    """What lengths are written in."""

    MM = "mm"
    INCH = "in"


@dataclass(slots=True)
class Lengths:
    """In what unit lengths are written; changed in place, so that all who hold the words write anew alike."""

    unit: LengthUnit = LengthUnit.MM

    @property
    def is_inch(self) -> bool:
        """Are they written in inches?"""
        return self.unit is LengthUnit.INCH


@lru_cache(maxsize=4096)
def _find_needed(text: str) -> frozenset[str]:
    """Find the fields that a text needs; an order of seventy lines says the same few texts over and over."""
    return frozenset(list_fields(text))


@dataclass(frozen=True)
class Words:
    """Hold one language's texts. Passed around by whoever needs to speak; there is no global one."""

    language: str
    texts: Mapping[str, str]
    plurals: Mapping[str, tuple[str, ...]]
    choose_plural: Callable[[int], int]
    lengths: Lengths = field(default_factory=Lengths, compare=False)

    def say(self, key: str, /, **fields: object) -> str:
        """Say the text of a key.

        Args:
            key: the text's name in the catalogue, such as `part.impeller.name`.
            **fields: what the text's fields stand for. A float is written as
                the language writes numbers, with two digits; for other digits
                or a unit pass `number(…)` or `millimetres(…)` instead.

        Returns:
            The text with its fields filled.

        Raises:
            KeyError: naming near matches where the key is unknown, or the
                field that is missing.
        """
        if key in self.plurals:
            raise KeyError(f"{key} needs a number: use count")
        if key not in self.texts:
            raise KeyError(self._say_unknown(key))
        return self._fill(key, self.texts[key], fields)

    def count(self, key: str, number: int, /, **fields: object) -> str:
        """Say the text of a key for a number of things.

        Args:
            key: a text that has plural forms.
            number: how many; the text finds it in its field `number`, already
                written as the language writes numbers.
            **fields: as for `say`.

        Returns:
            The form of the text that suits the number, its fields filled.

        Raises:
            KeyError: as for `say`.
        """
        if key in self.texts:
            raise KeyError(f"{key} has no plural: use say")
        if key not in self.plurals:
            raise KeyError(self._say_unknown(key))
        form = self.plurals[key][self.choose_plural(number)]
        return self._fill(key, form, {"number": self.number(number, digits=0), **fields})

    def has(self, key: str) -> bool:
        """Tell whether a key has a text, single or plural."""
        return key in self.texts or key in self.plurals

    def number(self, value: SupportsFloat, digits: int = 2) -> str:
        """Write a number as the language writes it, rounded to a fixed count of digits.

        Args:
            value: a finite number without unit.
            digits: how many digits follow the decimal sign, trailing noughts kept.

        Raises:
            ValueError: where the value is not finite; no reader should meet "nan".
        """
        plain = float(value)
        if not math.isfinite(plain):
            raise ValueError(f"{plain} cannot be written as a number")
        # Imported on first use: its tables cost some 80 ms that no start path should pay.
        from babel.numbers import format_decimal

        # Adding nought turns the -0.0 that rounding may leave into 0.0.
        rounded = round(plain, digits) + 0.0
        pattern = "#,##0" + ("." + "0" * digits if digits else "")
        return str(format_decimal(rounded, format=pattern, locale=self.language))

    def millimetres(self, value: SupportsFloat, digits: int = 2) -> str:
        """Write a length of so many millimetres with its unit, in the unit that lengths are written in.

        Args:
            value: the length in mm.
            digits: how many follow the decimal sign in mm; two more in inches, as the trade writes decimal inches.
        """
        key = "unit.inches" if self.lengths.is_inch else "unit.millimetres"
        return self.say(key, value=self.length(value, digits))

    def length(self, value: SupportsFloat, digits: int = 2) -> str:
        """Write a length of so many millimetres as a bare number, where its unit stands beside it (`unit`)."""
        more = MORE_DIGITS if self.lengths.is_inch else 0
        return self.number(self.count_units(float(value)), digits + more)

    def count_units(self, mm: float) -> float:
        """Count how many units a length of so many mm is, in the one that lengths are written in."""
        return mm / MM_IN_INCH if self.lengths.is_inch else mm

    @property
    def unit(self) -> str:
        """Write the unit that lengths are written in: "mm" or "in"."""
        return self.say(f"unit.{self.lengths.unit}")

    def join(self, items: Sequence[str]) -> str:
        """Join names into one phrase: "a", "a and b", "a, b and c".

        Raises:
            ValueError: where there is nothing to join; the caller needs another sentence then.
        """
        if not items:
            raise ValueError("nothing to join")
        joined = items[0]
        for item in items[1:-1]:
            joined = self.say("list.middle", before=joined, after=item)
        if len(items) > 1:
            joined = self.say("list.last", before=joined, after=items[-1])
        return joined

    def _fill(self, key: str, text: str, fields: Mapping[str, object]) -> str:
        written = {
            name: self._write(value) for name, value in fields.items() if f"{{{name}}}" in text
        }
        missing = sorted(_find_needed(text) - set(written))
        if missing:
            raise KeyError(f"{key} needs the field {', '.join(missing)}")
        return Formatter().vformat(text, (), written)

    def _write(self, value: object) -> str:
        return self.number(value) if isinstance(value, float) else str(value)

    def _say_unknown(self, key: str) -> str:
        near = find_near(key, (*self.texts, *self.plurals))
        return f"{key} is not in the catalogue" + (f"; near: {', '.join(near)}" if near else "")


def begin(text: str) -> str:
    """Begin a text with a capital, as a sentence or a title begins, and leave all else as it is."""
    return text[:1].upper() + text[1:]


def list_languages(folder: Path = _HERE) -> list[str]:
    """List the languages there are catalogues for, by their folder names."""
    return sorted(
        path.name for path in folder.iterdir() if path.is_dir() and any(path.glob("*.po"))
    )


def load_words(language: str = "en", folder: Path = _HERE) -> Words:
    """Load every catalogue of one language.

    Args:
        language: the name of a folder beside this module, such as `en`.
        folder: where the language folders lie.

    Returns:
        The words, to be passed to whoever speaks.

    Raises:
        KeyError: where there is no such language, naming those there are.
        ContentError: listing every fault of the catalogues.
    """
    languages = list_languages(folder)
    # Compared with what is there and never joined to a path unseen: the name may come from outside.
    if language not in languages:
        raise KeyError(
            f"there are no words for the language {language}; there are: {', '.join(languages)}"
        )
    catalogue = read_catalogue(sorted((folder / language).glob("*.po")))
    return Words(language, catalogue.texts, catalogue.plurals, catalogue.choose_plural)
