"""The form of a bench sheet: what the assembler typed, with units, each fault at its line."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Mapping
from enum import StrEnum
from typing import Any, TypeVar

from models.spec.errors import RefusalError, say_near
from models.spec.units import UNITS_MM
from trainer.session.quantities import (
    LENGTH_IN,
    LENGTH_MM,
    PRESSURE_BAR,
    TORQUE_NM,
    Kind,
    read_quantity,
)
from trainer.session.sheet import PLACES, SIGNED, Condition, Group, Outcome
from trainer.session.sheet_entries import Entries, Reading, Round
from trainer.session.sheet_plan import SET_BY_SHIMS, SheetPlan, Wanted
from trainer.session.toml_form import FormPath, FormReading, TomlForm, quote
from trainer.session.typed import say_length, say_range

TOP = ("shop", "assembler", "serial", "date", "build", "options", "gauges", "signed", "found", "left", "pack", "parts", "torque", "pressure", "tests", "run-in", "as-found", "remarks")  # fmt: skip
ROUND = tuple(group.value for group in Group)
PACK = ("found", "trial-gap", "trial-pack", "fitted", "why")
OTHERS = "others"
"""In place of all parts that the form does not name."""
LONGEST_NAME = 80
MOST_SHIMS = 8
MOST_READINGS = 4
MOST_RUN_IN = 12
LARGEST_OFF_MM = 0.5
THINNEST_FEELER_MM = 0.02
"""No feeler is thinner (common practice); 0 is a part that touches."""
Chosen = TypeVar("Chosen", bound=StrEnum)


def read_head(form: TomlForm) -> tuple[str, dict[str, str]]:
    """Read which build a form is for, with its options.

    Raises:
        ContentError: it does not say so in texts.
    """
    reading = FormReading(form)
    build = reading.text(("build",), form.content.get("build", ""))
    if not build and not reading.faults:
        reading.blame(("build",), "build is missing", 'write build = "end-suction/100-250"')
    said = form.content.get("options", {})
    options: dict[str, str] = {}
    if isinstance(said, dict):
        options = {name: reading.text(("options", name), said[name]) for name in said}
    else:
        reading.blame(("options",), "options is no table", "write [options] and a line for each")
    reading.check()
    return build, options


def read_entries(form: TomlForm, plan: SheetPlan, unit: str = "mm") -> Entries:
    """Read a form that was filled in for the build of a plan.

    Raises:
        ContentError: with every fault; lengths are told in `unit`, which is "mm" or "in".
    """
    reading = _Reading(form, plan, unit)
    entries = reading.read()
    reading.check()
    return entries


class _Reading(FormReading):
    """Gather entries and faults."""

    def __init__(self, form: TomlForm, plan: SheetPlan, unit: str = "mm") -> None:
        super().__init__(form)
        self.plan, self.unit = plan, unit
        self.gauges_mm: dict[str, float] = {}

    def read(self) -> Entries:
        content = self.form.content
        self.check_keys((), content, TOP)
        self.gauges_mm = self._read_gauges()
        pack = self._table(("pack",), PACK)
        pressure = self._table(("pressure",), ("working", "seal-limit"))
        parts, others = self._read_parts()
        return Entries(
            shop=self._name("shop"),
            assembler=self._name("assembler"),
            serial=self._name("serial"),
            date=self._read_date(content.get("date", "")),
            gauges_mm=self.gauges_mm,
            signed=self._texts(("signed",), SIGNED),
            found=self._read_round("found"),
            left=self._read_round("left"),
            pack_found_mm=self._pack_mm(("pack", "found"), pack),
            trial_gap=self._trial(pack),
            trial_pack_mm=self._pack_mm(("pack", "trial-pack"), pack),
            pack_fitted_mm=self._pack_mm(("pack", "fitted"), pack),
            pack_why=self.text(("pack", "why"), pack.get("why", "")),
            parts=parts,
            others=others,
            torques_nm=self._read_torques(),
            working_bar=self._pressure(("pressure", "working"), pressure),
            seal_limit_bar=self._pressure(("pressure", "seal-limit"), pressure),
            tests=self._read_tests(),
            run_in=self._read_run_in(content.get("run-in", [])),
            as_found=self.text(("as-found",), content.get("as-found", "")),
            remarks=self.text(("remarks",), content.get("remarks", "")),
        )

    # ------------------------------------------------------------------ head
    def _name(self, key: str) -> str:
        return self.text((key,), self.form.content.get(key, ""), LONGEST_NAME)

    def _read_date(self, said: Any) -> str:  # noqa: ANN401 - whatever the file holds
        if isinstance(said, dt.date) and not isinstance(said, dt.datetime):
            return said.isoformat()
        text = self.text(("date",), said)
        try:
            return dt.date.fromisoformat(text).isoformat() if text else ""
        except ValueError:
            what = f"date is {quote(text)}"
            self.blame(("date",), what, 'write year, month and day, like "2026-03-02"')
            return ""

    def _read_gauges(self) -> dict[str, float]:
        said = self._table(("gauges",))
        found: dict[str, float] = {}
        for name, off in said.items():
            at: FormPath = ("gauges", name)
            self.text(at, name, LONGEST_NAME)
            reading = self._length(at, off)
            if reading is None:
                continue
            if not 0.0 <= reading.value_mm <= LARGEST_OFF_MM:
                what = f"a gauge that may be off by {off} measures no gap"
                self.blame(
                    at,
                    what,
                    f"write how far it may be off, up to {say_length(LARGEST_OFF_MM, self.unit)}",
                )
                continue
            found[name] = reading.value_mm
        return found

    # ------------------------------------------------------------------ what was measured
    def _read_round(self, name: str) -> Round:
        said = self._table((name,), ROUND)
        readings: dict[Group, dict[str, tuple[Reading, ...]]] = {}
        gauges: dict[Group, str] = {}
        for group in Group:
            at: FormPath = (name, group.value)
            if group.value not in said:
                continue
            wanted = self.plan.of(group)
            known = ("push", "pull") if group is Group.END_FLOAT and wanted else tuple(wanted)
            table = self._table(at, ("gauge", *known))
            read = self._read_group(at, group, table)
            if read:
                readings[group] = read
            gauge = self._read_gauge(at, table.get("gauge", ""), is_needed=bool(read))
            if gauge:
                gauges[group] = gauge
        return Round(readings, gauges)

    def _read_gauge(self, at: FormPath, said: Any, *, is_needed: bool) -> str:  # noqa: ANN401 - whatever the file holds
        at = (*at, "gauge")
        gauge = self.text(at, said, LONGEST_NAME)
        if gauge and gauge not in self.gauges_mm:
            near = say_near(gauge, self.gauges_mm) or 'write NAME = "0.01 mm" under [gauges]'
            self.blame(at, f"no gauge is called {quote(gauge)}", near)
        elif is_needed and not gauge:
            remedy = say_near("", self.gauges_mm) or "name it, and under [gauges] how far it is off"
            self.blame(at, "the gauge that measured this is missing", remedy)
        return gauge

    def _read_group(
        self, at: FormPath, group: Group, table: Mapping[str, Any]
    ) -> dict[str, tuple[Reading, ...]]:
        wanted = self.plan.of(group)
        if group is Group.END_FLOAT:
            return self._read_float(at, table, wanted)
        found = {}
        for name, one in wanted.items():
            here: FormPath = (*at, name)
            before = len(self.faults)
            read = self._lengths(here, table.get(name, []), MOST_READINGS)
            if len(self.faults) > before:
                continue
            is_possible = self._are_possible(here, read, one)
            if group is Group.GAPS and read and len(read) != PLACES:
                what = f"{name} has {len(read)} readings"
                remedy = f"measure at {PLACES} places, turning the impeller by a quarter"
                self.blame(here, what, remedy)
            elif group is Group.RUN_OUT and len(read) > 1:
                self.blame(here, f"{name} has {len(read)} readings", "write the largest alone")
            elif read and is_possible:
                found[name] = read
        return found

    def _read_float(
        self, at: FormPath, table: Mapping[str, Any], wanted: Mapping[str, Wanted]
    ) -> dict[str, tuple[Reading, ...]]:
        if not wanted:
            return {}
        [(name, one)] = wanted.items()
        ends = [self._length((*at, key), table.get(key, "")) for key in ("push", "pull")]
        push, pull = ends
        if push is None or pull is None:
            if push or pull:
                what = "one of push and pull is missing"
                empty: FormPath = (*at, "pull" if pull is None else "push")
                self.blame(empty, what, "push and pull the shaft, and write what the dial shows")
            return {}
        moved = Reading(pull.value_mm - push.value_mm, f"{push.typed} to {pull.typed}")
        if moved.value_mm < 0.0:
            what = f"pull {pull.typed} is less than push {push.typed}"
            self.blame((*at, "pull"), what, "set the dial to count up when the shaft is pulled")
            return {}
        return {name: (push, pull)} if self._is_possible((*at, "pull"), moved, one) else {}

    def _are_possible(self, at: FormPath, read: tuple[Reading, ...], wanted: Wanted) -> bool:
        return False not in [self._is_possible(at, reading, wanted) for reading in read]

    def _is_possible(self, at: FormPath, reading: Reading, wanted: Wanted) -> bool:
        low, high = wanted.possible_mm
        is_too_thin = (
            wanted.group is Group.GAPS and 0.0 < reading.value_mm < THINNEST_FEELER_MM - 1e-9
        )
        if low - 1e-9 <= reading.value_mm <= high + 1e-9 and not is_too_thin:
            return True
        where = "thinner than any feeler" if is_too_thin else "outside any possible range"
        limits = f"required are {say_range(wanted.low_mm, wanted.high_mm, self.unit)}"
        what = f"{wanted.name} {reading.typed} is {where} ({limits})"
        self.blame(at, what, _guess_unit(reading, wanted) or "measure it again")
        return False

    # ------------------------------------------------------------------ pack
    def _pack_mm(self, at: FormPath, table: Mapping[str, Any]) -> tuple[float, ...]:
        shims = self._lengths(at, table.get(str(at[-1]), []), MOST_SHIMS)
        for shim in shims:
            if not 0.0 < shim.value_mm <= 10.0:
                what = f"a shim of {shim.typed} is no shim"
                self.blame(at, what, "a thickness is above zero, and in mm, um, thou or in")
        return tuple(shim.value_mm for shim in shims)

    def _trial(self, pack: Mapping[str, Any]) -> tuple[Reading, ...]:
        at: FormPath = ("pack", "trial-gap")
        gaps = self._lengths(at, pack.get("trial-gap", []), PLACES)
        wanted = self.plan.of(Group.GAPS).get(SET_BY_SHIMS)
        if gaps and wanted is None:
            self.blame(at, "this pump has no gap that shims set", "leave it out")
            return ()
        if gaps and len(gaps) != PLACES:
            self.blame(at, f"trial-gap has {len(gaps)} readings", f"measure at {PLACES} places")
        if bool(gaps) != bool(pack.get("trial-pack")):
            what = "one of trial-gap and trial-pack is missing"
            there: FormPath = at if gaps else ("pack", "trial-pack")
            self.blame(there, what, "a gap counts with the pack that was in it")
        return gaps if wanted is not None and self._are_possible(at, gaps, wanted) else ()

    # ------------------------------------------------------------------ parts, joints, tests
    def _read_parts(self) -> tuple[dict[str, tuple[Condition, str]], Condition | None]:
        said = self._table(("parts",), (OTHERS, *self.plan.parts))
        found: dict[str, tuple[Condition, str]] = {}
        for place in [name for name in said if name in self.plan.parts]:
            at: FormPath = ("parts", place)
            read = self._choice(at, said[place], Condition)
            if read is None:
                continue
            if read[0] is not Condition.REUSE and not read[1]:
                what = f"{place} is to be {read[0].value}ed without a reason"
                self.blame(at, what, f'write "{read[0].value}: what you saw"')
            found[place] = read
        others = self._choice(("parts", OTHERS), said.get(OTHERS, ""), Condition)
        if others and others[0] is not Condition.REUSE:
            what = f"{OTHERS} is {quote(said[OTHERS])}"
            self.blame(("parts", OTHERS), what, 'write "reuse", and name each other part')
        return found, others[0] if others else None

    def _read_torques(self) -> dict[str, float]:
        joints = [one.joint for one in self.plan.boltings]
        said = self._table(("torque",), joints)
        found: dict[str, float] = {}
        for joint in [name for name in said if name in joints]:
            value = self._quantity(("torque", joint), said[joint], TORQUE_NM)
            if value is not None:
                found[joint] = value
        return found

    def _pressure(self, at: FormPath, table: Mapping[str, Any]) -> float | None:
        return self._quantity(at, table.get(str(at[-1]), ""), PRESSURE_BAR)

    def _read_tests(self) -> dict[str, tuple[Outcome, str]]:
        said = self._table(("tests",), self.plan.tests)
        read = {
            name: self._choice(("tests", name), said[name], Outcome)
            for name in said
            if name in self.plan.tests
        }
        return {name: one for name, one in read.items() if one is not None}

    def _read_run_in(self, said: Any) -> tuple[str, ...]:  # noqa: ANN401 - whatever the file holds
        at: FormPath = ("run-in",)
        if not isinstance(said, list) or len(said) > MOST_RUN_IN:
            self.blame(at, "run-in is no list", f'write ["…", "…"], at most {MOST_RUN_IN}')
            return ()
        return tuple(text for text in (self.text(at, one) for one in said) if text)

    # ------------------------------------------------------------------ kinds of value
    def _table(self, at: FormPath, known: tuple[str, ...] | list[str] | None = None) -> dict[str, Any]:  # fmt: skip
        """Give a table of the form, {} where it is not there; its keys are checked when they are known."""
        here: Any = self.form.content
        for key in at:
            here = here.get(key, {}) if isinstance(here, dict) else {}
        if not isinstance(here, dict):
            name = ".".join(map(str, at))
            self.blame(at, f"{name} is no table", f"write [{name}] and its keys below it")
            return {}
        if known is not None:
            self.check_keys(at, here, known)
        return here

    def _texts(self, at: FormPath, known: tuple[str, ...]) -> dict[str, str]:
        said = self._table(at, known)
        read = {key: self.text((*at, key), said[key], LONGEST_NAME) for key in known if key in said}
        return {key: text for key, text in read.items() if text}

    def _choice(self, at: FormPath, said: Any, kind: type[Chosen]) -> tuple[Chosen, str] | None:  # noqa: ANN401 - whatever the file holds
        """Read WORD or WORD: NOTE; None for "" and, after blaming it, for anything else."""
        text = self.text(at, said)
        if not text:
            return None
        word, _, note = text.partition(":")
        known = [one.value for one in kind]
        if word.strip().lower() not in known:
            near = say_near(word.strip().lower(), known)
            self.blame(at, f"{at[-1]} is {quote(text)}", f'{near}; write "{known[0]}: why"')
            return None
        return kind(word.strip().lower()), note.strip()

    def _lengths(self, at: FormPath, said: Any, most: int) -> tuple[Reading, ...]:  # noqa: ANN401 - whatever the file holds
        listed = said if isinstance(said, list) else [said]
        if len(listed) > most:
            self.blame(at, f"{at[-1]} has {len(listed)} values", f"write {most} at most")
            return ()
        return tuple(one for one in (self._length(at, text) for text in listed) if one is not None)

    def _length(self, at: FormPath, said: Any) -> Reading | None:  # noqa: ANN401 - whatever the file holds
        value = self._quantity(at, said, LENGTH_IN if self.unit == "in" else LENGTH_MM)
        # to the picometre: what an inch leaves behind the ninth place is no reading
        return None if value is None else Reading(round(value, 9), " ".join(said.split()))

    def _quantity(self, at: FormPath, said: Any, kind: Kind) -> float | None:  # noqa: ANN401 - whatever the file holds
        """Read a number with its unit; None for "" and, after blaming it, for anything else."""
        if isinstance(said, (int, float)) and not isinstance(said, bool):
            remedy = f'write it in quotes with its unit, like "{kind.like}"'
            self.blame(at, f"{at[-1]} {said} carries no unit", remedy)
            return None
        text = self.text(at, said)
        if not text:
            return None
        try:
            return read_quantity(text, kind)
        except RefusalError as error:
            what, _, remedy = str(error).partition("; ")
            self.blame(at, f"{at[-1]}: {what}", remedy)
            return None


def _guess_unit(reading: Reading, wanted: Wanted) -> str:
    """Say in which other unit the same number would be possible, the nearest to the aim first; "" for none."""
    found = re.match(r"[+-]?[\d.]+", reading.typed)
    if found is None or reading.typed.count(" to "):
        return ""
    number = float(found[0])
    low, high = wanted.low_mm, wanted.high_mm
    off = {
        unit: abs(number * factor - wanted.aim_mm)
        for unit, factor in UNITS_MM.items()
        if low <= number * factor <= high
    }
    return f"is it {found[0]} {min(off, key=off.__getitem__)}?" if off else ""
