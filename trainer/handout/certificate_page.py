"""Set a certificate on A4 as a PDF: whose it is, what for, until when, on what it rests, and the code to verify it."""

from __future__ import annotations

import json
import tempfile
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from trainer.handout.sheet_foot import split_hash
from trainer.records import FiledCertificate, SignOff
from trainer.stage.look import find_letters_file
from trainer.words import Words
from trainer.words.telling import tell_pump
from trainer.words.telling_practical import tell_name

TEMPLATE = Path(__file__).with_name("certificate.typ")
LETTERS = "DejaVuSans.ttf"


@dataclass(frozen=True, slots=True)
class ToldCertificate:
    """A certificate in words. rests: what, on which pump, when, who watched; one row a practical."""

    heading: str
    name: str
    says: str
    title: str
    dates: tuple[tuple[str, str], ...]
    withdrawn: str
    rests_title: str
    rests_columns: tuple[str, ...]
    rests: tuple[tuple[str, ...], ...]
    signatures: tuple[tuple[str, str], ...]
    code_title: str
    code: str
    verify: str
    hash: str
    safety: str


def tell_certificate(
    words: Words, filed: FiledCertificate, sign_offs: Sequence[SignOff]
) -> ToldCertificate:
    """Put a certificate into words, with the practicals it rests on."""
    certificate, say = filed.certificate, words.say
    expires = certificate.expires
    name = say("records.name-erased") if filed.is_erased else certificate.person
    until = expires.isoformat() if expires else say("records.for-good")
    withdrawn = ""
    if filed.withdrawn is not None:
        when, why = filed.withdrawn
        withdrawn = say("records.paper-withdrawn", when=f"{when:%Y-%m-%d}", why=why)
    return ToldCertificate(
        heading=say("records.paper-heading"),
        name=name,
        says=say("records.paper-says"),
        title=certificate.title,
        dates=(
            (say("records.paper-issued"), f"{certificate.when:%Y-%m-%d}"),
            (say("records.paper-until"), until),
        ),
        withdrawn=withdrawn,
        rests_title=say("records.paper-rests"),
        rests_columns=tuple(
            say(f"records.paper-{column}") for column in ("practical", "pump", "day", "observer")
        ),
        rests=tuple(
            (
                tell_name(words, one.practical),
                tell_pump(words, one.build),
                f"{one.when:%Y-%m-%d}",
                one.observer,
            )
            for one in sign_offs
        ),
        signatures=(
            (say("records.paper-issuer"), certificate.issuer),
            (say("records.paper-holder"), name),
        ),
        code_title=say("records.paper-code"),
        code=filed.code,
        verify=say("records.paper-verify", code=filed.code),
        hash=say("records.paper-hash", number=filed.number, hash=split_hash(filed.hash)),
        safety=say("records.paper-safety"),
    )


def make_certificate_pdf(told: ToldCertificate, words: Words) -> bytes:
    """Make the PDF of a certificate."""
    (pdf,) = _set(told, words, is_picture=False)
    return pdf


def make_certificate_pages(told: ToldCertificate, words: Words, ppi: int = 110) -> list[bytes]:
    """Make each page of a certificate as a PNG, to be looked at on a screen."""
    return _set(told, words, is_picture=True, ppi=ppi)


def _set(told: ToldCertificate, words: Words, *, is_picture: bool, ppi: int = 144) -> list[bytes]:
    import typst

    data = asdict(told) | {"language": words.language}
    with tempfile.TemporaryDirectory(prefix="pumpwright-") as name:
        folder = Path(name)
        (folder / "data.json").write_text(json.dumps(data), encoding="utf-8")
        (folder / "page.typ").write_bytes(TEMPLATE.read_bytes())
        made: Any = typst.compile(
            str(folder / "page.typ"),
            root=str(folder),
            format="png" if is_picture else "pdf",
            ppi=float(ppi),
            font_paths=[str(find_letters_file(LETTERS).parent)],
            ignore_system_fonts=True,
        )
    # One page of PNG comes by itself, several as a list.
    pages = made if isinstance(made, list) else [made]
    return [bytes(page) for page in pages]
