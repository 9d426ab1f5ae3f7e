"""What a proof card says, passage by passage."""

from __future__ import annotations

from models.spec.build import Build
from trainer.core.order.state import TakenOff
from trainer.desktop.panes.proof_pane import Passage
from trainer.desktop.telling_proof import (
    ToldLine,
    tell_amount,
    tell_face,
    tell_how,
    tell_limits,
    tell_line,
)
from trainer.session.proof import ClearanceProof, say_place
from trainer.session.wrong_move import TriedMove
from trainer.words import Words
from trainer.words.naming import Naming
from trainer.words.telling_chain import PLACES_MM

LEAST_SHARE = 0.005
"""A dimension with less of the spread than this is counted, not listed, where there are many."""
MANY = 14
TOUCH_MM = 0.05
"""Solids so near have met: what the facets of the meshes take off."""


def list_clearance_passages(words: Words, build: Build, proof: ClearanceProof) -> list[Passage]:
    """List what stands behind a clearance: its two faces, its chain line by line, what changes it, its limits."""
    one = proof.measured
    faces = [tell_face(words, build, piece, face) for piece, face in proof.pieces]
    passages = [Passage(words.say("proof.faces"), faces)]
    if not proof.clearance.is_plain:
        passages.append(Passage(words.say("proof.how"), [tell_how(words, proof)]))
    geometric = [line for line in proof.lines if not line.is_effect]
    many = len(geometric) > MANY
    shown = [line for line in geometric if not many or line.link.share >= LEAST_SHARE]
    lines = [tell_line(words, build, line) for line in shown]
    left = len(geometric) - len(shown)
    texts = []
    if proof.clearance.is_plain:
        texts.append(words.say("proof.sum", value=tell_amount(words, one, one.value_mm, PLACES_MM)))
    if left:
        texts.append(words.count("proof.more", left))
    key = "proof.chain" if proof.clearance.is_plain else "proof.inputs"
    passages.append(Passage(words.say(key), texts, lines))
    effects = [tell_line(words, build, line) for line in proof.lines if line.is_effect]
    if effects:
        told = [
            words.say("clearances.effect", effect=words.say(f"effect.{each.name}"), value=tell_amount(words, one, each.value_mm, PLACES_MM))
            for each in one.effects
            if each.value_mm
        ]  # fmt: skip
        passages.append(Passage(words.say("proof.effects"), told, effects))
    source = ToldLine(tell_limits(words, one), "", say_place(proof.limits), proof.limits.title)
    passages.append(Passage(words.say("proof.limits"), (), [source]))
    return passages


def list_move_passages(words: Words, naming: Naming, tried: TriedMove) -> list[Passage]:
    """List what stands behind a move that was tried: who meets whom, how far it gets, and how that was found."""
    piece = words.say("proof.move-piece", piece=naming.tell_piece(tried.piece))
    stops = naming.tell_pieces(sorted(tried.hindrance)) if tried.hindrance else ""
    if isinstance(tried.found, TakenOff):
        nothing = words.say("proof.move-nothing", direction=naming.tell_way(tried.found.direction))
        way = Passage(words.say("proof.move-way"), [nothing, words.say("proof.move-how")])
        return [Passage(words.say("proof.move-parts"), [piece]), way]
    if tried.direction is None:
        holder = words.say("proof.move-holder", piece=stops)
        return [
            Passage(words.say("proof.move-held-parts"), [piece, holder] if stops else [piece]),
            Passage(words.say("proof.move-way"), [words.say("proof.move-held")]),
        ]
    blocker = words.say("proof.move-blocker", piece=stops)
    travel = words.say(
        "proof.move-touching" if tried.is_touching else "proof.move-travel",
        travel=words.millimetres(tried.travel_mm, 1),
        direction=naming.tell_way(tried.direction),
    )
    return [
        Passage(words.say("proof.move-parts"), [piece, blocker]),
        Passage(words.say("proof.move-way"), [travel, words.say("proof.move-how")]),
    ]


def tell_contact(
    words: Words, naming: Naming, tried: TriedMove, lengths_mm: tuple[float, ...]
) -> str:
    """Tell how far apart the kernel finds two solids, before and after the travel."""
    apart, contact = lengths_mm
    told = words.say(
        "proof.move-measured",
        apart=words.millimetres(apart, PLACES_MM),
        contact=words.millimetres(contact, PLACES_MM),
        piece=naming.tell_piece(tried.piece),
        travel=words.millimetres(tried.travel_mm, 1),
    )
    meets = contact <= TOUCH_MM
    return " ".join((told, words.say("proof.move-contact" if meets else "proof.move-riding")))
