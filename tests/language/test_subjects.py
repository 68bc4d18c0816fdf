"""Who is talked of."""

from critsheet.language.subjects import characters, find_subjects, split_names


def names_in(text: str, names: tuple[str, ...]) -> list[str]:
    return [found.name for found in find_subjects(text.split(), names)]


def test_names_come_from_one_line() -> None:
    assert split_names("Osk, the valve,  , Osk, Old Tibby") == ("Osk", "valve", "Old Tibby")


def test_a_pronoun_stands_for_the_character_named_last() -> None:
    assert names_in("Osk waits and then Tibby turns and she runs", ("Osk", "Tibby")) == ["Osk", "Tibby", "Tibby"]


def test_a_pronoun_never_stands_for_a_prop() -> None:
    assert names_in("Osk lifts the valve and he waits", ("Osk", "valve")) == ["Osk", "valve", "Osk"]


def test_with_one_character_a_pronoun_needs_no_name_before_it() -> None:
    assert names_in("he drops it", ("Osk",)) == ["Osk"]


def test_the_last_word_of_a_longer_name_is_enough() -> None:
    assert names_in("then Tibby's tail goes", ("Old Tibby",)) == ["Old Tibby"]


def test_without_capitals_the_first_name_is_the_character() -> None:
    assert characters(("cook", "ladle")) == ("cook",)
