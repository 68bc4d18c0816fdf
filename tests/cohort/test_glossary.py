"""The glossary has the best-put sayings of an archive, and nobody's name."""

import pytest

from critsheet import vocabulary
from critsheet.archive.told import Saying
from critsheet.cohort.glossary import Explained, glossary

PACK = vocabulary.load()
CLEAR = "The foot slides, because the hips drag it along, and nobody believes that Osk stands there."

NOTHING = Explained("contact", (), ())


def saying(
    *quotes: str, kind: str = "fix", category: str = "contact", characters: tuple[str, ...] = ("Osk",)
) -> Saying:
    return Saying(category, kind, "Plant the foot.", quotes, None, characters)  # type: ignore[arg-type]


def explained(*sayings: Saying, people: tuple[str, ...] = ()) -> tuple[str, ...]:
    return entry(*sayings, people=people).explanations


def entry(*sayings: Saying, people: tuple[str, ...] = ()) -> Explained:
    return next(one for one in glossary(sayings, people, PACK) if one.category == "contact")


def test_a_saying_that_gives_a_reason_explains() -> None:
    chat = "Okay um this foot here is sliding you know this here is sliding again."
    assert explained(saying(chat), saying(CLEAR)) == (CLEAR.replace("Osk", "the character"),)


def test_nobody_is_named() -> None:
    said = "Tamsin, the foot slides because Tamsin Okoro's hips drag it along, as Hal said to Tamsin before."
    (one,) = explained(saying(said), people=("Tamsin Okoro", "Hal Orsini"))
    assert not any(name in one for name in ("Tamsin", "Okoro", "Hal"))
    assert one.startswith("Someone, the foot slides because someone's hips")


def test_a_prop_keeps_its_name() -> None:
    said = "The foot slides so that the crate seems to weigh nothing at all to him."
    assert "the crate" in explained(saying(said, characters=("the crate",)))[0]


def test_what_is_nearly_the_same_stands_once() -> None:
    assert len(explained(saying(CLEAR), saying(CLEAR.replace("nobody believes", "then nobody believes")))) == 1


def test_praise_stands_by_itself() -> None:
    praise = saying("The foot stays planted like a tree, and that gives the whole push its weight.", kind="keep")
    assert entry(praise).praise and not entry(praise).explanations


def test_the_choice_does_not_depend_on_the_order() -> None:
    sayings = [saying(CLEAR.replace("along", word)) for word in ("about", "round", "along", "behind", "back")]
    assert explained(*sayings) == explained(*reversed(sayings))


def test_every_category_is_there_also_without_a_good_saying() -> None:
    found = glossary([saying("The foot slides.")], (), PACK)
    assert [one.category for one in found] == sorted(PACK.categories, key=lambda one: PACK.categories[one].order)
    assert not any(one.explanations or one.praise for one in found)


@pytest.mark.parametrize("name", ["annemarie", "Orill", "Mark", "Priya"])
def test_a_name_is_not_left_in_however_it_is_written(name: str) -> None:
    people = ("Anne-Marie Toft", "Sean O'Rill", "Mark Idowu", "Priya Venn")
    for start in (f"{name}, the foot", f"{name} saw that the foot", f"As {name} saw, the foot"):
        found = glossary(
            [saying(f"{start} slides, because the hips drag it along and nobody believes it.")], people, PACK
        )
        assert name.lower() not in str(found).lower()


def test_somebody_whom_the_archive_does_not_know_is_not_named() -> None:
    said = "As I told Odile, the foot slides, because the hips drag it along and nobody believes it."
    assert entry(saying(said), people=("Mark Idowu",)) == NOTHING


def test_trade_capitals_are_nobodys_name() -> None:
    said = "I'd use FK there, because the foot slides in IK and the C-curve of the leg is lost."
    assert explained(saying(said)) == (said,)


def test_a_question_explains_nothing() -> None:
    assert entry(saying("Does the foot slide because the hips drag it along so far?")) == NOTHING


def test_what_was_wrong_before_is_no_praise() -> None:
    said = "The foot slid last time like it was on ice, all the way to the door."
    assert entry(saying(said, kind="keep")) == NOTHING
