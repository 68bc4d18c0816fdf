"""Captions in place of sound: every usual form gives the same talk, word by word and in order of time."""

import json
from pathlib import Path

import pytest

from critsheet.errors import NothingSaid
from critsheet.sheet import Transcript
from critsheet.speech import read_captions

WEBVTT = """WEBVTT - the mentor's talk
Kind: captions
Language: en

NOTE made by hand
--> not a time

STYLE
::cue { color: white }

first
00:01.000 --> 00:03.000 align:start position:0%
<v Mara>The <b>hips</b> lead,

2
00:00:03.500 --> 00:00:05.500
then the chest.
"""
SUBRIP = """1
00:00:01,000 --> 00:00:03,000
The <i>hips</i> lead,

2
00:00:03,500 --> 00:00:05,500
{\\an8}then the chest.
"""
LINES = "[0:01 - 0:03] The hips lead,\n[0:03.5 - 0:05.5] then the chest.\n"
RECOGNISED = json.dumps(
    {
        "language": "en",
        "segments": [
            {"start": 1, "end": 3, "text": " The hips lead,"},
            {"start": 3.5, "end": 5.5, "text": " then the chest."},
        ],
    }
)


def read(tmp_path: Path, text: str | bytes) -> Transcript:
    path = tmp_path / "talk.txt"
    path.write_bytes(text.encode() if isinstance(text, str) else text)
    return read_captions(path)


def said(transcript: Transcript) -> str:
    return " ".join(word.text for word in transcript.words)


@pytest.mark.parametrize("text", [WEBVTT, SUBRIP, LINES, RECOGNISED], ids=["WebVTT", "SubRip", "lines", "JSON"])
def test_every_form_gives_the_same_talk(tmp_path: Path, text: str) -> None:
    transcript = read(tmp_path, text)
    assert [segment.text for segment in transcript.segments] == ["The hips lead,", "then the chest."]
    assert [(s.start, s.end) for s in transcript.segments] == [(1.0, 3.0), (3.5, 5.5)]
    assert transcript.language == "en"


def test_words_are_spread_evenly_over_their_caption(tmp_path: Path) -> None:
    words = read(tmp_path, SUBRIP).words
    assert [(word.text, word.start, word.end) for word in words[:3]] == [
        ("The", 1.0, 1.667),
        ("hips", 1.667, 2.333),
        ("lead,", 2.333, 3.0),
    ]


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "utf-32", "cp1252"])
def test_the_encoding_does_not_matter(tmp_path: Path, encoding: str) -> None:
    text = SUBRIP.replace("chest", "café").replace("\n", "\r\n")
    assert said(read(tmp_path, text.encode(encoding))) == "The hips lead, then the café."


@pytest.mark.parametrize("mark", ["[1:05] ", "1:05 ", "(01:05) ", "00:01:05 ", "[0:01:05.000] ", "1:05 - ", "1:05\n"])
def test_times_before_lines_are_read_as_people_write_them(tmp_path: Path, mark: str) -> None:
    transcript = read(tmp_path, f"[0:00] Hello.\n{mark}Okay.\n")
    assert said(transcript) == "Hello. Okay."
    assert transcript.segments[1].start == 65.0


def test_hours_minutes_and_seconds(tmp_path: Path) -> None:
    assert read(tmp_path, "1:02:03 Okay.").segments[0].start == 3723.0


def test_what_stands_before_the_first_time_is_not_lost(tmp_path: Path) -> None:
    assert said(read(tmp_path, "Right, so\n0:05 the arcs.")) == "Right, so the arcs."


def test_a_clock_in_the_talk_is_not_a_time_mark(tmp_path: Path) -> None:
    assert len(read(tmp_path, "[0:05] Look at 1:12 again, the elbow.").segments) == 1


def test_a_line_without_an_end_lasts_as_long_as_its_words_but_not_into_the_next(tmp_path: Path) -> None:
    first, second = read(tmp_path, "0:00 one two three four five\n0:01 six").segments
    assert first.end == 1.0
    assert second.end == pytest.approx(1.4)


ROLLING = """WEBVTT
Kind: captions
Language: en

00:00:00.000 --> 00:00:02.000 align:start position:0%

okay<00:00:00.400><c> so</c><00:00:00.800><c> the</c>

00:00:02.000 --> 00:00:02.010 align:start position:0%
okay so the


00:00:02.010 --> 00:00:04.000 align:start position:0%
okay so the
hips<00:00:02.500><c> stop</c><00:00:03.000><c> dead</c>

00:00:04.000 --> 00:00:04.010 align:start position:0%
hips stop dead


00:00:04.010 --> 00:00:06.000 align:start position:0%
hips stop dead
right<00:00:04.600><c> there</c>
"""


def test_automatic_captions_that_roll_up_the_screen_are_read_once(tmp_path: Path) -> None:
    assert said(read(tmp_path, ROLLING)) == "okay so the hips stop dead right there"


def test_automatic_captions_keep_the_times_of_single_words(tmp_path: Path) -> None:
    times = {word.text: word.start for word in read(tmp_path, ROLLING).words}
    assert (times["so"], times["hips"], times["stop"], times["there"]) == (0.4, 2.01, 2.5, 4.6)


def test_rolling_captions_saved_as_subrip_are_read_once(tmp_path: Path) -> None:
    lines = ["okay so the hips", "stop dead right here", "and i would let them", "settle two frames later"]
    text = "".join(
        f"{n}\n00:00:{2 * n:02},000 --> 00:00:{2 * n + 4:02},000\n" + "\n".join(lines[max(0, n - 1) : n + 1]) + "\n\n"
        for n in range(len(lines))
    )
    assert said(read(tmp_path, text)) == " ".join(lines)


def test_a_mentor_who_repeats_words_is_not_cut(tmp_path: Path) -> None:
    text = "0:00 the knee pops again\n0:02 again the elbow\n0:04 no no\n0:06 no the other one\n0:08 drag the wrist\n"
    assert said(read(tmp_path, text)) == "the knee pops again again the elbow no no no the other one drag the wrist"


def test_overlapping_captions_keep_all_words_in_order_of_start(tmp_path: Path) -> None:
    text = "WEBVTT\n\n00:05.000 --> 00:09.000\nthen the chest\n\n00:01.000 --> 00:06.000\nthe hips lead\n"
    assert said(read(tmp_path, text)) == "the hips lead then the chest"


def test_subrip_without_empty_lines_between_captions(tmp_path: Path) -> None:
    assert said(read(tmp_path, SUBRIP.replace("\n\n", "\n"))) == "The hips lead, then the chest."


def test_an_empty_line_inside_a_caption_loses_nothing(tmp_path: Path) -> None:
    text = SUBRIP.replace("lead,\n", "lead,\n\nalways\n")
    assert said(read(tmp_path, text)) == "The hips lead, always then the chest."


def test_markup_sounds_and_invisible_characters_are_left_out(tmp_path: Path) -> None:
    text = "[0:01] [Music] <font color='red'>the</font> \u202ehips\u202c \x1b[31m&amp; \u200bchest >> ♪ [inaudible]"
    assert said(read(tmp_path, text)) == "the hips & chest"


def test_a_recognisers_words_keep_their_times_and_doubts(tmp_path: Path) -> None:
    word = {"start": 1.25, "end": 1.5, "word": " hips", "probability": 0.4}
    document = {"segments": [{"start": 1.0, "end": 2.0, "text": " hips", "words": [word]}]}
    (heard,) = read(tmp_path, json.dumps(document)).words
    assert (heard.text, heard.start, heard.end, heard.probability) == ("hips", 1.25, 1.5, 0.4)


def test_a_bare_list_of_segments_will_do(tmp_path: Path) -> None:
    assert said(read(tmp_path, '[{"start": 0, "end": 1, "text": "okay"}]')) == "okay"


def test_captions_without_words_say_so(tmp_path: Path) -> None:
    with pytest.raises(NothingSaid, match="no words"):
        read(tmp_path, "0:01 [Music]\n0:09 ♪♪\n")
