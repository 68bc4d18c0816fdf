"""Puts right the trade words and names that a recogniser misheard, keeping what it wrote."""

from collections.abc import Iterable, Sequence

from critsheet.sheet import Repair, Segment, Transcript, Word
from critsheet.speech.candidates import Change, misheard, sounding_names, sounding_terms
from critsheet.speech.context import Context
from critsheet.speech.spoken import Spoken, take_apart
from critsheet.vocabulary import Vocabulary


def repair(transcript: Transcript, vocabulary: Vocabulary, names: tuple[str, ...]) -> Transcript:
    """The transcript with misheard trade words and names put right.

    A changed word keeps what was heard in `raw` ("" for a word added beside it), and every change is listed in
    `repairs` with its rule: the id of a misheard rule of the vocabulary, "sound:TERM" or "name:NAME".
    """
    spoken = take_apart(transcript)
    context = Context([item.word.text for item in spoken], vocabulary)
    changes = _apart(
        [
            *misheard(spoken, vocabulary, context),
            *sounding_names(spoken, names),
            *sounding_terms(spoken, vocabulary, context),
        ]
    )
    words: list[list[Word]] = [[] for _ in transcript.segments]
    repairs = list(transcript.repairs)
    place = 0
    for change in changes:
        _keep(spoken[place : change.run.start], words)
        run = spoken[change.run.start : change.run.end]
        meant = _meant(run, change)
        words[run[0].segment] += meant
        repairs.append(_listed(run, meant, change))
        place = change.run.end
    _keep(spoken[place:], words)
    segments = (_with_words(segment, new) for segment, new in zip(transcript.segments, words, strict=True))
    return transcript.model_copy(update={"segments": tuple(segments), "repairs": tuple(repairs)})


def _apart(changes: Iterable[Change]) -> list[Change]:
    """Changes that share no word, in order: of two, the longer run, then the earlier, then the one found first."""
    kept: list[Change] = []
    taken: set[int] = set()
    for change in sorted(changes, key=lambda c: (c.run.start - c.run.end, c.run.start)):
        places = set(range(change.run.start, change.run.end))
        if taken.isdisjoint(places):
            taken |= places
            kept.append(change)
    return sorted(kept, key=lambda change: change.run.start)


def _keep(spoken: Sequence[Spoken], words: list[list[Word]]) -> None:
    for item in spoken:
        words[item.segment].append(item.word)


def _meant(run: Sequence[Spoken], change: Change) -> list[Word]:
    """The words that take the run's place, with its times and marks."""
    texts = change.run.meant.split()
    if run[0].opens and run[0].core[:1].isupper() and not change.is_name:
        texts[0] = texts[0][:1].upper() + texts[0][1:]
    texts[0] = run[0].before + texts[0]
    texts[-1] += (run[-1].owner if change.is_name else "") + run[-1].after
    if len(texts) == len(run):
        return [
            item.word if item.word.text == text else item.word.model_copy(update={"text": text, "raw": item.word.text})
            for item, text in zip(run, texts, strict=True)
        ]
    start, end = run[0].word.start, run[-1].word.end
    step = (end - start) / len(texts)
    heard = " ".join(item.word.text for item in run)
    probability = min(item.word.probability for item in run)
    return [
        Word(
            start=round(start + step * number, 3),
            end=round(start + step * (number + 1), 3),
            text=text,
            raw=heard if number == 0 else "",
            probability=probability,
        )
        for number, text in enumerate(texts)
    ]


def _listed(run: Sequence[Spoken], meant: Sequence[Word], change: Change) -> Repair:
    return Repair(
        start=run[0].word.start,
        raw=" ".join(item.word.text for item in run),
        text=" ".join(word.text for word in meant),
        rule=change.rule,
    )


def _with_words(segment: Segment, words: list[Word]) -> Segment:
    if words == list(segment.words):
        return segment
    return segment.model_copy(update={"words": tuple(words), "text": " ".join(word.text for word in words)})
