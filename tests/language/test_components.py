"""The language stage as a pipeline of components, and what it makes of speech."""

import pytest

from critsheet import vocabulary
from critsheet.language import Remark, read
from critsheet.language.components import COMPONENTS, pipeline
from critsheet.language.remarks import CHATTER, FAULT, PRAISE, REMEDY, RETRACTION
from critsheet.sheet import Segment, Shot, Transcript, Word

SECONDS_A_WORD = 0.3
PACK = vocabulary.load()
SHOT = Shot(first=101, last=188)


def spoken(*sentences: str) -> Transcript:
    """Each sentence a segment, a word every 0.3 s, half a second between sentences."""
    segments, at = [], 0.0
    for sentence in sentences:
        words = []
        for text in sentence.split():
            words.append(Word(start=round(at, 2), end=round(at + SECONDS_A_WORD, 2), text=text))
            at += SECONDS_A_WORD
        segments.append(Segment(start=words[0].start, end=words[-1].end, text=sentence, words=tuple(words)))
        at += 0.5
    return Transcript(language="en", segments=tuple(segments))


def remarks(*sentences: str, names: tuple[str, ...] = ()) -> list[Remark]:
    return read(spoken(*sentences), PACK, SHOT, names)


def test_each_component_needs_only_what_an_earlier_one_gives() -> None:
    given = {"doc._.spoken", "doc._.context"}
    for name in COMPONENTS:
        meta = pipeline().get_pipe_meta(name)
        assert set(meta.requires) <= given, name
        given |= set(meta.assigns)


def test_a_sentence_is_a_remark() -> None:
    assert [remark.text for remark in remarks("The foot slides.", "Plant it.")] == ["The foot slides.", "Plant it."]


def test_speech_without_any_punctuation_is_cut_into_clauses() -> None:
    talk = (
        "okay so let me just play that once more and here the left foot is sliding all the way through the step "
        "i would plant that foot from the contact until he lifts it off again and then the head is really nice i love "
        "how it drags behind the chest there so keep that and the last thing is the camera it pops right at the end"
    )
    found = remarks(talk)
    assert len(found) > 4
    assert " ".join(remark.text for remark in found) == talk


def test_a_long_pause_ends_a_clause() -> None:
    first, second = spoken("and the hips", "they go late").segments
    later = second.model_copy(
        update={"words": tuple(w.model_copy(update={"start": w.start + 2, "end": w.end + 2}) for w in second.words)}
    )
    found = read(Transcript(language="en", segments=(first, later)), PACK, SHOT, ())
    assert [remark.text for remark in found] == ["and the hips", "they go late"]


@pytest.mark.parametrize(
    ("sentence", "function"),
    [
        ("The foot slides all over the place.", FAULT),
        ("I would plant that foot until he lifts it.", REMEDY),
        ("I love how the arm drags there, it's really nice overlap.", PRAISE),
        ("Hold on, let me scrub back.", CHATTER),
        ("Actually no, scratch that.", RETRACTION),
    ],
)
def test_a_remark_knows_what_it_does(sentence: str, function: str) -> None:
    assert remarks(sentence)[0].function == function


def test_a_remark_holds_parts_names_and_frames() -> None:
    (remark,) = remarks("At frame one twenty Osk's left knee pops.", names=("Osk",))
    assert [part.part for part in remark.body] == ["knee"]
    assert [subject.name for subject in remark.subjects] == ["Osk"]
    assert [(said.first, said.last) for said in remark.frames] == [(120, 120)]


def test_nothing_said_gives_no_remark() -> None:
    assert read(Transcript(language="en", segments=()), PACK, SHOT, ()) == []
