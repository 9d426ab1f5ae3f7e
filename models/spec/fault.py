"""Seeded faults: the mistakes of a rebuild, each a transformation of a sound build that breaks exactly one rule."""

from __future__ import annotations

from dataclasses import dataclass

from models.spec.seat import Fill, LeftOut, Reseated, Rows, Slip, Without


@dataclass(frozen=True, slots=True)
class SeededFault:
    """A mistake that is made in a rebuild.

    key: its words are `fault.KEY` and `fault.KEY.leads-to`.
    rule: number of the one rule that it breaks.
    fills: what stands in the place of what the options fill.
    needs: (option, value) rows; several rows of one option allow any of theirs. A family that lacks an
    option has what its systems say of it for good, so such a row binds only the others.
    shims_left_out: so many of the pack, those at the hub first.
    at: places at which one sees it, the first of which the eye goes to; those of the fills if empty.
    near: (place, face) which the eye goes to where that piece as a whole is too large.
    """

    key: str
    rule: int
    fills: tuple[Fill | Slip, ...] = ()
    needs: tuple[tuple[str, str], ...] = ()
    shims_left_out: int = 0
    at: tuple[str, ...] = ()
    near: tuple[str, str] | None = None

    @property
    def places(self) -> tuple[str, ...]:
        """The places at which one sees it, in the order of interest."""
        return self.at or tuple(dict.fromkeys(self._list_touched()))

    def list_needs(self) -> dict[str, tuple[str, ...]]:
        """List by option the values that allow the mistake."""
        needed: dict[str, tuple[str, ...]] = {}
        for option, value in self.needs:
            needed[option] = (*needed.get(option, ()), value)
        return needed

    def _list_touched(self) -> list[str]:
        touched = [
            fill.place
            for fill in self.fills
            if isinstance(fill, LeftOut | Reseated | Rows | Without)
        ]
        return ["shim", *touched] if self.shims_left_out else touched
