"""The command `certificate`: issue one for practicals that were signed off, print it, list and withdraw."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, TypedDict, Unpack
from uuid import uuid4

import click

from models.spec.errors import RefusalError
from trainer.console.asking import FILE, make_command, make_json_option, print_json
from trainer.console.records import describe_verified, make_records_option, tell_verified
from trainer.words import Words
from trainer.words.telling_practical import tell_title

if TYPE_CHECKING:
    from trainer.records import FiledCertificate, Records, Verified


class CertificateChoice(TypedDict):
    """What the options of `certificate` say."""

    name: str | None
    practicals: tuple[str, ...]
    title: str | None
    by: str | None
    months: int | None
    out: Path | None
    print_code: str | None
    withdraw: str | None
    why: str | None
    list: bool


def make_certificate(words: Words) -> click.Command:
    """Make the command."""
    say = words.say
    options = (
        click.argument("name", required=False),
        click.option(
            "--for",
            "practicals",
            multiple=True,
            metavar="PRACTICAL",
            help=say("records.help-for"),
        ),
        click.option("--title", metavar="TEXT", help=say("records.help-title")),
        click.option("--by", metavar="NAME", help=say("records.help-by")),
        click.option(
            "--months", type=click.IntRange(1, 600), metavar="N", help=say("records.help-months")
        ),
        click.option("--out", type=FILE, metavar="PDF", help=say("records.help-certificate-out")),
        click.option("--print", "print_code", metavar="CODE", help=say("records.help-print")),
        click.option("--withdraw", metavar="CODE", help=say("records.help-withdraw")),
        click.option("--why", metavar="TEXT", help=say("records.help-why")),
        click.option("--list", is_flag=True, help=say("records.help-list")),
        make_records_option(words),
        make_json_option(words),
    )

    @make_command(words, "certificate", *options)
    def certificate(as_json: bool, **asked: Unpack[CertificateChoice]) -> None:
        from trainer.records import open_records

        _check_question(words, asked)
        with open_records() as records:
            found = _answer(words, records, asked)
            if asked["out"] is not None:
                _print(words, records, found[0].filed, asked["out"])
        if as_json:
            described = [describe_verified(one) for one in found]
            print_json(described if asked["list"] else described[0])
            return
        for one in found:
            click.echo(tell_verified(words, one))
            if one.filed is not None:
                click.echo(words.say("records.code", code=one.filed.code))
        if asked["list"] and not found:
            click.echo(words.say("records.no-certificates"))
        if asked["out"] is not None:
            click.echo(words.say("records.printed", file=str(asked["out"])))

    return certificate


def _check_question(words: Words, asked: CertificateChoice) -> None:
    """Raise UsageError unless exactly one thing is asked, with what it takes."""
    questions = (
        bool(asked["practicals"]),
        asked["print_code"] is not None,
        asked["withdraw"] is not None,
        asked["list"],
    )
    if sum(questions) != 1:
        raise click.UsageError(words.say("records.one-question"))
    if asked["practicals"] and not (asked["name"] and asked["by"]):
        raise click.UsageError(words.say("records.needs-names"))
    if asked["print_code"] is not None and asked["out"] is None:
        raise click.UsageError(words.say("records.needs-out"))
    if asked["withdraw"] is not None and not (asked["by"] and asked["why"]):
        raise click.UsageError(words.say("records.needs-why"))


def _answer(words: Words, records: Records, asked: CertificateChoice) -> list[Verified]:
    from trainer.records import Verified

    now = datetime.now(UTC).astimezone()  # a day ends at the midnight of whoever sits here
    if asked["list"]:
        filed = records.list_certificates(asked["name"])
        return [records.verify_code(one.code, now.date()) for one in filed]
    code = asked["print_code"] or asked["withdraw"]
    if code is None:
        made = _issue(words, records, asked, now)
        return [records.verify_code(made.code, now.date())]
    found = records.verify_code(code, now.date())
    if found.filed is None:
        raise RefusalError(words.say("records.verify-unknown"))
    if asked["withdraw"] is not None:
        records.withdraw_certificate(
            found.filed.certificate.id, uuid4(), now, asked["by"] or "", asked["why"] or ""
        )
        found = records.verify_code(code, now.date())
    assert isinstance(found, Verified)
    return [found]


def _issue(
    words: Words, records: Records, asked: CertificateChoice, now: datetime
) -> FiledCertificate:
    from trainer.session.certifying import issue_certificate

    title = asked["title"] or tell_title(words, asked["practicals"])
    return issue_certificate(
        records, asked["name"] or "", asked["practicals"], issuer=asked["by"] or "",
        title=title, months=asked["months"], id_=uuid4(), now=now,
    )  # fmt: skip


def _print(words: Words, records: Records, filed: FiledCertificate | None, out: Path) -> None:
    from trainer.console.writing import write_whole
    from trainer.handout.certificate_page import make_certificate_pdf, tell_certificate

    assert filed is not None
    ids = set(filed.certificate.sign_offs)
    sign_offs = [one for one in records.list_sign_offs() if one.id in ids]
    told = tell_certificate(words, filed, sign_offs)
    write_whole(words, make_certificate_pdf(told, words), out)
