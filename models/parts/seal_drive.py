"""How the hub turns the rotating half of a seal: dogs at the seal's back that stand in notches of the hub's end.

Dogs and notches stand equally spaced, the first at the top. Private to `impeller`, `seal_retainer`, `seal_bellows`.
"""

from __future__ import annotations

from models.spec.part import Numbers, Solid


def turn_about(solid: Solid, count: float) -> list[Solid]:
    """Repeat a solid that stands at the top `count` times about the x axis."""
    return [solid.rotate((0, 0, 0), (1, 0, 0), 360 * i / round(count)) for i in range(round(count))]


def make_notches(row: Numbers) -> list[Solid]:
    """Make what is milled out of a hub's rear rim, open outwards; none if the row has none."""
    from models.parts import forms

    if "drive-notch-count" not in row:
        return []
    half, rim = row["drive-notch-width"] / 2, row["hub-diameter"] / 2
    notch = forms.box(
        (-row["drive-notch-depth"], 1), (-half, half), (row["drive-notch-inside"] / 2, rim + 1)
    )
    return turn_about(notch, row["drive-notch-count"])


def make_dogs(row: Numbers, root_mm: float) -> list[Solid]:
    """Make the dogs: pieces of a tube that reach back from `root_mm` past the seal's back at x = 0."""
    from models.parts import forms

    half, outside = row["dog-width"] / 2, row["outside"] / 2
    tube = forms.tube(row["outside"], row["dog-inside"], -row["dog-length"], root_mm)
    block = forms.box((-row["dog-length"], root_mm), (-half, half), (0, outside))
    return turn_about(forms.one_solid(tube.intersect(block)), row["dog-count"])
