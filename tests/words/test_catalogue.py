"""The catalogue reader agrees with babel's, and names every fault of a broken file."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from babel.messages.mofile import read_mo, write_mo
from babel.messages.pofile import read_po
from hypothesis import given
from hypothesis import strategies as st

import trainer.words
from models.spec.errors import ContentError
from trainer.words import list_languages, load_words
from trainer.words.catalogue import list_fields, read_catalogue

WORDS_FOLDER = Path(trainer.words.__file__).parent
HEADER = 'msgid ""\nmsgstr ""\n"Plural-Forms: nplurals=2; plural=(n != 1);\\n"\n\n'


def read_faults(tmp_path: Path, *texts: str) -> list[str]:
    paths = [tmp_path / f"{name}.po" for name in "abc"[: len(texts)]]
    for path, text in zip(paths, texts, strict=True):
        path.write_text(text, encoding="utf-8")
    with pytest.raises(ContentError) as caught:
        read_catalogue(paths)
    return [f"{Path(fault.file).name}:{fault.line} {fault.what}" for fault in caught.value.faults]


@pytest.mark.parametrize(
    "path", sorted(WORDS_FOLDER.glob("*/*.po")), ids=lambda path: f"{path.parent.name}/{path.name}"
)
def test_our_reader_and_babel_read_the_same(path: Path) -> None:
    ours = read_catalogue([path])
    with path.open("rb") as file:
        theirs = read_po(file)
    babel_texts = {m.id: m.string for m in theirs if isinstance(m.id, str) and m.id}
    babel_plurals = {m.id[0]: tuple(m.string or ()) for m in theirs if not isinstance(m.id, str)}
    assert ours.texts == babel_texts
    assert ours.plurals == babel_plurals
    compiled = io.BytesIO()
    write_mo(compiled, theirs)
    compiled.seek(0)
    assert len(list(read_mo(compiled))) == len(list(theirs))


text_strategy = st.text(
    st.characters(codec="utf-8", exclude_categories=["Cc", "Cs", "Zl", "Zp"]), min_size=1
)


@given(
    st.dictionaries(st.from_regex(r"[a-z]{1,6}(\.[a-z]{1,6}){0,2}", fullmatch=True), text_strategy)
)
def test_what_is_written_with_escapes_reads_back(
    tmp_path_factory: pytest.TempPathFactory, texts: dict[str, str]
) -> None:
    texts = {
        key: f"- {text}\t\n".replace("{", "(").replace("}", ")") for key, text in texts.items()
    }
    path = tmp_path_factory.mktemp("po") / "a.po"

    def quote(text: str) -> str:
        return (
            text.replace("\\", r"\\").replace('"', r"\"").replace("\n", r"\n").replace("\t", r"\t")
        )

    body = "".join(f'msgid "{key}"\nmsgstr ""\n"{quote(text)}"\n' for key, text in texts.items())
    path.write_text(HEADER + body, encoding="utf-8")
    assert read_catalogue([path]).texts == texts


def test_every_fault_is_named_with_its_line(tmp_path: Path) -> None:
    faults = read_faults(
        tmp_path,
        HEADER
        + 'msgid "a"\nmsgstr "one"\n'  # lines 5, 6
        + 'msgid "a"\nmsgstr "two"\n'
        + 'msgid "b"\nmsgstr ""\n'
        + "msgid c\n"
        + 'msgid "d"\nmsgstr "{x.y}"\n'
        + 'msgid "e"\nmsgid_plural "e"\nmsgstr[0] "x"\n'
        + '#, fuzzy\nmsgid "f"\nmsgstr "bad \\q"\n',
    )
    assert [fault.split(" ")[0] for fault in faults] == [
        "a.po:11",
        "a.po:17",
        "a.po:19",
        "a.po:7",
        "a.po:9",
        "a.po:12",
        "a.po:14",
    ]
    assert "already in" in faults[3]


def test_a_key_held_by_two_files_is_a_fault_naming_both(tmp_path: Path) -> None:
    one = HEADER + 'msgid "bench.tidy"\nmsgstr "Tidy."\n'
    (fault,) = read_faults(tmp_path, one, one)
    assert fault.startswith("b.po:5 the key bench.tidy is already in")
    assert "a.po:5" in fault


@pytest.mark.parametrize(
    ("text", "what"),
    [
        ("", "holds no plural rule"),
        ('msgid ""\nmsgstr "Plural-Forms: nplurals=2; plural=import;"\n', "cannot be read"),
        ('msgid ""\nmsgstr "Plural-Forms: nplurals=2; plural=n/0;"\n', "cannot be read"),
        (
            'msgid ""\nmsgstr "Plural-Forms: nplurals=1; plural=n != 1;"\n',
            "more forms than it declares",
        ),
        (HEADER + 'msgstr "lonely"\nmsgstr "twice"\n', "out of place"),
        ('"text first"\n' + HEADER, "before the first msgid"),
        (HEADER + 'msgctxt "x"\nmsgid "a"\nmsgstr "b"\n', "cannot be read"),
        (HEADER + "#" * 1_000_001, "larger than"),
    ],
)
def test_a_broken_file_is_refused(tmp_path: Path, text: str, what: str) -> None:
    assert any(what in fault for fault in read_faults(tmp_path, text))


def test_files_of_one_language_share_one_plural_rule(tmp_path: Path) -> None:
    other = HEADER.replace("n != 1", "n > 1")
    assert any(
        "differ in their plural rule" in fault for fault in read_faults(tmp_path, HEADER, other)
    )


def test_a_file_that_is_not_utf8_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "a.po"
    path.write_bytes(HEADER.encode() + b'msgid "a"\nmsgstr "\xff"\n')
    with pytest.raises(ContentError, match="not UTF-8"):
        read_catalogue([path])


@given(
    st.lists(
        st.sampled_from(
            [
                'msgid ""',
                'msgid "a"',
                'msgstr "x{y}"',
                'msgstr[0] "',
                '"z\\n"',
                "#, fuzzy",
                "msgid_plural",
                "{",
                "\\",
                '"Plural-Forms: nplurals=3; plural=n%0;\\n"',
                "\x00",
                HEADER,
            ]
        )
    )
)
def test_any_lines_give_a_catalogue_or_content_error(
    tmp_path_factory: pytest.TempPathFactory, lines: list[str]
) -> None:
    path = tmp_path_factory.mktemp("po") / "a.po"
    path.write_text("\n".join(lines), encoding="utf-8")
    try:
        read_catalogue([path])
    except ContentError as error:
        assert error.faults  # noqa: PT017 - either outcome is right


@pytest.mark.parametrize("language", [name for name in list_languages() if name != "en"] or ["en"])
def test_every_language_says_what_english_says(language: str) -> None:
    english, other = load_words("en"), load_words(language)
    assert other.texts.keys() == english.texts.keys()
    assert other.plurals.keys() == english.plurals.keys()
    for key, text in english.texts.items():
        assert set(list_fields(other.texts[key])) == set(list_fields(text)), key
    for key, forms in english.plurals.items():
        wanted = set().union(*map(list_fields, forms)) | {"number"}
        for form in other.plurals[key]:
            assert set(list_fields(form)) <= wanted, key
