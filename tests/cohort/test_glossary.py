"""The glossary has the best-put sayings of an archive, and nobody's name."""

from critsheet import vocabulary
from critsheet.archive.told import Saying
from critsheet.cohort.glossary import glossary

PACK = vocabulary.load()
CLEAR = "The foot slides, because the hips drag it along, and nobody believes that Osk stands there."


def saying(
    *quotes: str, kind: str = "fix", category: str = "contact", characters: tuple[str, ...] = ("Osk",)
) -> Saying:
    return Saying(category, kind, "Plant the foot.", quotes, None, characters)  # type: ignore[arg-type]


def explained(*sayings: Saying, people: tuple[str, ...] = ()) -> tuple[str, ...]:
    return glossary(sayings, people, PACK)[0].explanations


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
    (entry,) = glossary([praise], (), PACK)
    assert entry.praise and not entry.explanations


def test_the_choice_does_not_depend_on_the_order() -> None:
    sayings = [saying(CLEAR.replace("along", word)) for word in ("about", "round", "along", "behind", "back")]
    assert explained(*sayings) == explained(*reversed(sayings))


def test_categories_without_a_good_saying_are_left_out() -> None:
    assert glossary([saying("The foot slides.")], (), PACK) == []
