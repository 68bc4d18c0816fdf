"""The catalogue of texts: complete, the same in every language, and nothing in it is idle."""

import re
from pathlib import Path

import pytest

import critsheet
from critsheet import resources
from critsheet.errors import InputError, TemplateError
from critsheet.render.texts import english, languages, texts

PACKAGE = Path(critsheet.__file__).parent
TEMPLATES = resources.folder("templates")
NAMES = re.compile(r"\{\w+\}")
BUILT = (
    "group.",
    "body.",
    "fact.",
    "box.",
    "program.",
    "ticks.",
    "map.",
    "find.",
    "cautions.",
    "earlier.",
    "letter.",
    "cohort.",
)
"""Texts whose names are put together where they are used."""


def sources() -> str:
    files = [*TEMPLATES.rglob("*.html"), *PACKAGE.rglob("*.py")]
    return "\n".join(path.read_text(encoding="utf-8") for path in files)


def test_every_text_is_used_and_every_text_used_is_there() -> None:
    used, known = sources(), set(english().entries)
    bases = {key.removesuffix(".one").removesuffix(".other") for key in known} | known
    idle = [key for key in bases if not key.startswith((*BUILT, "history.")) and f'"{key}"' not in used]
    assert not [key for key in idle if f"{key}.one" not in known and key.rsplit(".", 1)[0] not in bases - {key}]
    asked = set(re.findall(r"\bt(?:\.count|\.raw)?\(\"([a-z_.]+[a-z_])\"", used))
    assert asked - bases == set()


@pytest.mark.parametrize("language", languages())
def test_every_language_says_everything_with_the_same_names_filled_in(language: str) -> None:
    found = texts(language).entries
    for key, text in english().entries.items():
        assert set(NAMES.findall(found[key])) <= set(NAMES.findall(text)), key
    own = (TEMPLATES / "texts" / f"{language}.yaml").read_text(encoding="utf-8")
    same = [
        key for key, text in english().entries.items() if language != "en" and found[key] == text and len(text) > 12
    ]
    assert not same, f"not yet in this language: {same}"
    assert own.startswith("#")


def test_a_second_language_says_what_every_category_means() -> None:
    from critsheet import vocabulary

    german = texts("de")
    for category in vocabulary.load().categories:
        assert all(german.of_category(category, key) for key in ("name", "meaning", "why", "remedy", "check")), category


@pytest.mark.parametrize(
    ("said", "german"),
    [
        ("raised 3 times", "3-mal genannt"),
        ("raised 3 times in a row", "3-mal in Folge genannt"),
        ("category uncertain: timing or arcs", "Einordnung unsicher: Timing oder Bögen"),
        ("category uncertain: timing", "Einordnung unsicher: Timing"),
        ("the mentor stressed it: “the biggest thing”", "ausdrücklich betont: „the biggest thing“"),
        ("said: frame 42; on screen meanwhile: frames 50–54", "gesagt: Bild 42; zu sehen war: Bilder 50–54"),
        ("something a school's own stage says", "something a school's own stage says"),
    ],
)
def test_what_the_program_says_of_a_note_is_translated_where_it_is_known(said: str, german: str) -> None:
    assert texts("de").said_by_program(said) == german
    assert english().said_by_program(said) == said


def test_what_the_program_says_is_still_worded_as_the_catalogue_knows_it() -> None:
    code = "\n".join(path.read_text(encoding="utf-8") for path in PACKAGE.rglob("*.py"))
    code = re.sub(r"\"\s*\n\s*f?\"", "", code)
    for key, text in english().entries.items():
        if key.startswith("program.") and not key.startswith("program.said_"):
            fragments = [part.strip() for part in re.split(r"\{\w+\}|[:;“”+–]", text)]
            assert all(part in code for part in fragments if len(part) > 5), key


def test_lists_read_as_prose() -> None:
    assert [english().listed(items) for items in ([], ["a"], ["a", "b"], ["a", "b", "c"])] == [
        "",
        "a",
        "a and b",
        "a, b and c",
    ]


def test_an_unknown_language_names_those_there_are() -> None:
    with pytest.raises(InputError, match="de, en"):
        texts("xx")


def own(folder: Path, name: str, text: str) -> Path:
    (folder / "texts").mkdir(exist_ok=True)
    (folder / "texts" / name).write_text(text, encoding="utf-8")
    return folder


def test_a_school_words_things_its_own_way(tmp_path: Path) -> None:
    school = own(tmp_path, "en.yaml", "letter:\n  kept: Hold on to\n")
    assert texts("en", school)("letter.kept") == "Hold on to"
    assert texts("en", school)("letter.above_all") == "What matters most"


def test_a_school_adds_a_language_of_its_own(tmp_path: Path) -> None:
    school = own(tmp_path, "fr.yaml", "group:\n  first: {title: D'abord}\ncategory:\n  weight: {name: Poids}\n")
    assert languages(school) == ("de", "en", "fr")
    french = texts("fr", school)
    assert french("group.first.title") == "D'abord"
    assert french("group.then.title") == "Then"
    assert french.of_category("weight", "name") == "Poids"


@pytest.mark.parametrize(
    ("text", "line", "says"),
    [
        ("letter:\n  keptt: x\n", 2, "letter.kept"),
        ("note:\n  why: x\n  step: '{m}'\n", 3, "{n}"),
        ("note:\n  step: '{n.real}'\n", 2, "brace"),
        ("note:\n  why: [a]\n", 2, "text"),
        ("note: {why: x\n", 2, "YAML"),
    ],
)
def test_a_mistake_in_a_schools_texts_names_file_and_line(tmp_path: Path, text: str, line: int, says: str) -> None:
    school = own(tmp_path, "en.yaml", text)
    with pytest.raises(TemplateError) as error:
        texts("en", school)
    assert f"en.yaml:{line}:" in str(error.value)
    assert says in str(error.value)
