"""Lip seals with their garter springs: put in and joined alike wherever one stands."""

from __future__ import annotations

from models.parts import garter_spring, oil_seal
from models.spec.joint import Joint, JointKind
from models.spec.seat import Place, Seat, Span


def put_lip_seal(
    name: str,
    seat: Seat,
    bore: tuple[str, str],
    shaft: tuple[str, str],
    group: str,
    mounts: tuple[str, str] | None = None,
) -> tuple[Place, Place]:
    """Put a lip seal between a bore and the shaft, and its garter spring, which stands as the seal does, in the groove over the lip."""
    spans = {"housing-bore": Span(bore), "shaft-diameter": Span(shaft)}
    return (
        Place(name, oil_seal.PART, seat, mounts=mounts, spans=spans, group=group),
        Place(
            f"garter-of-{name}", garter_spring.PART, Seat("back", name, "groove-wall"), row="garter-spring",
            spans={"groove": Span((name, "groove-bottom"))}, group=group,
        ),
    )  # fmt: skip


def join_garter(name: str) -> Joint:
    """Let a lip seal carry its garter spring, which is sprung out of the groove by hand."""
    return Joint(f"garter-in-{name}", JointKind.PRESS, (name, f"garter-of-{name}"))
