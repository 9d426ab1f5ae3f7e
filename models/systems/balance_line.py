"""Balance line: leads what leaks past the hub ring from the chamber behind the impeller back to the suction.

It runs outside the casing, from a port of the back plate in the window of an open bracket to one on the
neck of the suction cover. Source of the arrangement: common practice.
"""

from __future__ import annotations

from models.parts import pipe, seal_ring, union_fitting
from models.spec.build import Build
from models.spec.fault import SeededFault
from models.spec.joint import Joint, JointKind
from models.spec.rule import Rule
from models.spec.seat import Fill, Place, Rows, Seat
from models.systems.shared import WET_END

ENDS = {"plate": "back-plate", "cover": "suction-cover"}
"""Which casting each end of the line is screwed to."""

LINE: tuple[Fill, ...] = (
    *(Rows(host, (f"{host}-balance-line",)) for host in ENDS.values()),
    *(
        place
        for end, host in ENDS.items()
        for place in (
            Place(f"balance-ring-{end}", seal_ring.PART, Seat("lower", host, "line-pad"), row="balance-ring", mounts=(host, "line-port"), group=WET_END),
            Place(f"balance-fitting-{end}", union_fitting.PART, Seat("shoulder", f"balance-ring-{end}", "upper"), row="balance-fitting", mounts=(host, "line-port"), group=WET_END),
            Place(f"union-ring-{end}", seal_ring.PART, Seat("lower", f"balance-fitting-{end}", "union-face"), row="union-ring", mounts=(f"balance-fitting-{end}", "union"), group=WET_END),
        )
    ),
    Place(
        "balance-line", pipe.LINE, Seat("start", "union-ring-plate", "upper"), mounts=("balance-fitting-plate", "line"),
        reaches={"end": ("balance-fitting-cover", "line")}, group=WET_END,
    ),
)  # fmt: skip

# tied at its other end, the line keeps a fitting from being wound out, as a nut does its stud
JOINTS = tuple(
    joint
    for end, host in ENDS.items()
    for joint in (
        Joint(f"balance-fitting-{end}-thread", JointKind.THREADED, (host, f"balance-fitting-{end}"), ("balance-line",), wet=True, sealed_by=(f"balance-ring-{end}",)),
        Joint(f"balance-fitting-{end}-seal", JointKind.SEALED, (host, f"balance-ring-{end}", f"balance-fitting-{end}")),
        Joint(f"balance-union-{end}", JointKind.THREADED, (f"balance-fitting-{end}", "balance-line"), wet=True, sealed_by=(f"union-ring-{end}",)),
        Joint(f"balance-union-{end}-seal", JointKind.SEALED, (f"balance-fitting-{end}", f"union-ring-{end}", "balance-line")),
    )
)  # fmt: skip


def line_relieves_nothing(build: Build) -> tuple[str, ...]:
    """Name the balance line when it does not join the chamber inside the hub ring to the suction, or is too narrow.

    It must open between the chamber's lip and the hub ring's bore, end between suction face and wear
    ring, and have more area than the gap it relieves.
    """
    if not build.has("balance-line"):
        return ()
    plate, cover = build.piece_at("back-plate").row, build.piece_at("suction-cover").row
    half, ring = (
        float(build.piece_at("balance-line").row["bore"]) / 2,
        float(build.diameter("hub-ring", "bore")),
    )
    inlet, lip = (
        float(plate["line-inlet-radius"]),
        float(plate["chamber-bore"]) / 2 + float(plate["wall"]),
    )
    opens = lip < inlet - half and inlet + half < ring / 2
    outlet = -float(cover["line-port-position"])
    front, eye = (
        float(build.position("suction-cover", face)) for face in ("suction-face", "ring-shoulder")
    )
    ends = front < outlet - half and outlet + half < eye
    rim = float(build.diameter("impeller", "hub-rim"))
    wide = 4 * half**2 > ring**2 - rim**2
    return () if opens and ends and wide else ("balance-line",)


RULES = (Rule(27, "balance-line-joins-suction", line_relieves_nothing),)

FAULTS = (
    SeededFault("balance-line-thin", 27, (Rows("balance-line", ("balance-line-thin",)),), needs=(("hub-ring", "balance-line"),)),
)  # fmt: skip
