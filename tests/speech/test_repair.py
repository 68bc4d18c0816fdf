"""Misheard trade words and names are put right where the trade is talked of, and nowhere else."""

import pytest

from critsheet.sheet import Segment, Transcript, Word
from critsheet.speech import repair
from critsheet.vocabulary import Misheard, Phrase, Vocabulary
from critsheet.vocabulary.phrases import compile_phrase
from critsheet.vocabulary.tokens import pieces

CATEGORY_PHRASES = {
    "weight": ["weight", "shift ... weight", "weight shift", "feel ... weight", "hips"],
    "arcs": ["arcs", "clean arcs", "wobbly"],
    "overlap": ["overlap", "drag", "follow-through"],
    "polish": ["gimbal", "spline"],
    "lipsync": ["jaw", "jaw does? not open"],
}
CUES = {"chatter": ["wait let me"], "retraction": ["no wait"]}
BODY = {"foot": ["foot", "feet"], "head": ["head"], "eyes": ["eye"]}
MISHEARD = [
    ("arcs", "arcs", ["arks", "harks"], []),
    ("weight", "weight", ["wait", "way"], ["shift|feel|foot"]),
    ("weight", "weight shift", ["wait shift"], []),
    ("overlap", "overlap", ["over lap"], []),
    ("overlap", "follow-through", ["follow threw"], []),
    ("lipsync", "jaw", ["jar"], []),
]


def phrase(category: str | None, function: str, text: str) -> Phrase:
    return Phrase(f"{category or function}: {text}", category, function, text, compile_phrase(text))


@pytest.fixture(scope="module")
def vocabulary() -> Vocabulary:
    """A few of the trade's words."""
    trade = [phrase(category, "word", text) for category, texts in CATEGORY_PHRASES.items() for text in texts]
    cues = {cue: tuple(phrase(None, cue, text) for text in texts) for cue, texts in CUES.items()}
    rules = [
        Misheard(
            f"{category}: {meant}",
            category,
            tuple(tuple(piece for word in form.split() for piece in pieces(word)) for form in heard),
            meant,
            tuple(map(compile_phrase, near)),
        )
        for category, meant, heard, near in MISHEARD
    ]
    return Vocabulary(
        categories={},
        phrases=(*trade, *(cue for group in cues.values() for cue in group)),
        body={part: tuple(phrase(None, part, name) for name in names) for part, names in BODY.items()},
        subjects={},
        misheard=tuple(rules),
        stages=(),
        examples=(),
        hints=("gimbal", "spline", "silhouette"),
        sha256="",
        cues=cues,
    )


def spoken(text: str, probability: float = 1.0, unsure: str = "") -> Transcript:
    """A transcript of one word a second; the words in `unsure` were doubtful to the recogniser."""
    doubtful = unsure.split()
    words = tuple(
        Word(start=n, end=n + 1, text=word, probability=0.2 if word in doubtful else probability)
        for n, word in enumerate(text.split())
    )
    return Transcript(language="en", segments=(Segment(start=0, end=len(words), text=text, words=words),))


@pytest.mark.parametrize(
    ("heard", "meant"),
    [
        ("The arks on the head are wobbly.", "The arcs on the head are wobbly."),
        ("Arks on the head are wobbly.", "Arcs on the head are wobbly."),
        ("Some nice over lap on the head.", "Some nice overlap on the head."),
        ("More follow threw, on the feet.", "More follow-through, on the feet."),
        ("Do the wait shift before the foot lifts.", "Do the weight shift before the foot lifts."),
        ("He should shift his wait to the foot.", "He should shift his wait to the foot."),
        ("There's a gimble flip on the head.", "There's a gimbal flip on the head."),
        ("the jar doesn't open on the head turn", "the jaw doesn't open on the head turn"),
    ],
)
def test_trade_words_are_put_right(vocabulary: Vocabulary, heard: str, meant: str) -> None:
    assert repair(spoken(heard), vocabulary, ()).segments[0].text == meant


def test_a_daily_word_is_changed_only_where_the_recogniser_was_unsure_too(vocabulary: Vocabulary) -> None:
    text = "He should shift his wait to the foot."
    assert repair(spoken(text), vocabulary, ()).segments[0].text == text
    assert "shift his weight" in repair(spoken(text, unsure="wait"), vocabulary, ()).segments[0].text


@pytest.mark.parametrize(
    "text",
    [
        "Noah built two arks for it.",
        "Wait, let me find the foot.",
        "No wait, the foot is fine.",
        "I like the way the foot lands.",
        "There is a jar beside the head.",
        "Over there. Lap the head twice.",
        "He can feel his feet.",
    ],
)
def test_ordinary_talk_stays_as_it_is(vocabulary: Vocabulary, text: str) -> None:
    repaired = repair(spoken(text, probability=0.9), vocabulary, ("Osk", "the jar"))
    assert repaired == spoken(text, probability=0.9)


def test_the_raw_text_and_the_times_are_kept(vocabulary: Vocabulary) -> None:
    repaired = repair(spoken("Some over lap, on the head."), vocabulary, ())
    word = repaired.words[1]
    assert (word.text, word.raw, word.start, word.end) == ("overlap,", "over lap,", 1.0, 3.0)
    assert [w.raw for w in repaired.words if w is not word] == [None] * 4


def test_every_repair_is_listed_with_its_rule(vocabulary: Vocabulary) -> None:
    repaired = repair(spoken("The arks of the gimble on Oscs head."), vocabulary, ("Osk",))
    assert [(r.start, r.raw, r.text, r.rule) for r in repaired.repairs] == [
        (1.0, "arks", "arcs", "arcs: arcs"),
        (4.0, "gimble", "gimbal", "sound:gimbal"),
    ]


def test_a_term_of_two_words_takes_the_time_of_one(vocabulary: Vocabulary) -> None:
    rule = Misheard("timing: on twos", "timing", (("ontoos",),), "on twos")
    only = Vocabulary(**{**vars(vocabulary), "misheard": (rule,)})
    words = repair(spoken("Put the head ontoos."), only, ()).words[3:]
    assert [(w.text, w.raw, w.start, w.end) for w in words] == [
        ("on", "ontoos.", 3.0, 3.5),
        ("twos.", "", 3.5, 4.0),
    ]


@pytest.mark.parametrize(
    ("heard", "name", "meant"),
    [
        ("So Osc comes in.", "Osk", "So Osk comes in."),
        ("and osc's foot slides", "Osk", "and Osk's foot slides"),
        ("Then Tibi, turns.", "Tibby", "Then Tibby, turns."),
        ("Then Dagney jumps.", "Dagny", "Then Dagny jumps."),
        ("Here tib bi jumps.", "Tibby", "Here Tibby jumps."),
        ("Look at Madam Fen there.", "Madame Fenn", "Look at Madam Fenn there."),
    ],
)
def test_names_are_put_right_by_their_sound(vocabulary: Vocabulary, heard: str, name: str, meant: str) -> None:
    repaired = repair(spoken(heard), vocabulary, (name,))
    assert repaired.segments[0].text == meant
    assert all(change.rule.startswith("name:") for change in repaired.repairs)


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("Ask him why.", "Osk"),
        ("So oscar comes in.", "Osk"),
        ("When a foot lifts.", "Wenna"),
        ("Osk comes in, with osk's hat.", "Osk"),
        ("The barrel rolls.", "the barrel"),
        ("Take it to the tabby.", "Tibby"),
    ],
)
def test_words_only_a_little_like_a_name_stay(vocabulary: Vocabulary, text: str, name: str) -> None:
    assert repair(spoken(text), vocabulary, (name,)).repairs == ()


def test_what_was_repaired_is_not_repaired_again(vocabulary: Vocabulary) -> None:
    once = repair(spoken("The arks of Tibi on the head."), vocabulary, ("Tibby",))
    assert repair(once, vocabulary, ("Tibby",)) == once


def test_an_empty_transcript_stays_empty(vocabulary: Vocabulary) -> None:
    empty = Transcript(language="en", segments=())
    assert repair(empty, vocabulary, ("Osk",)) == empty
