"""Which spoken numbers are frames of the shot."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from critsheet.language.said_frames import SaidFrames, frames_of_note, said_frames
from critsheet.sheet import Shot

FROM_0 = Shot(first=0, last=240)
FROM_1 = Shot(first=1, last=150)
FROM_101 = Shot(first=101, last=188)
FROM_1001 = Shot(first=1001, last=1142)


def heard(text: str, shot: Shot) -> list[tuple[int, int]]:
    return [(said.first, said.last) for said in said_frames(text.split(), shot)]


def as_captions(text: str) -> str:
    """The same words as automatic captions give them: lower case, no punctuation."""
    return " ".join(word.strip(",.?!;:") for word in text.lower().split())


@pytest.mark.parametrize(
    ("text", "shot", "frames"),
    [
        ("At frame forty-two the hips move.", FROM_1, [(42, 42)]),
        ("F forty-two, the knee pops.", FROM_1, [(42, 42)]),
        ("x nineteen the foot slides", FROM_1, [(19, 19)]),
        ("f42 there's a pop", FROM_1, [(42, 42)]),
        ("The knee pops at forty-two.", FROM_1, [(42, 42)]),
        ("The knee pops on forty-two.", FROM_1, [(42, 42)]),
        ("It slips at one oh eight.", FROM_1, [(108, 108)]),
        ("It slips at one-o-eight.", FROM_101, [(108, 108)]),
        ("It slips at a hundred and eight.", FROM_101, [(108, 108)]),
        ("She lets go at ten twenty-four.", FROM_1001, [(1024, 1024)]),
        ("She lets go at a thousand twenty-four.", FROM_1001, [(1024, 1024)]),
        ("From ten oh one it drifts.", FROM_1001, [(1001, 1001)]),
        ("Eleven hundred, the heel sinks.", FROM_1001, [(1100, 1100)]),
        ("One twenty to one thirty the camera drifts.", FROM_1, [(120, 130)]),
        ("Forty-two through fifty is even.", FROM_1, [(42, 50)]),
        ("Between 30 and 36 she swims.", FROM_1, [(30, 36)]),
        ("The head swims from eighty to eighty-five.", FROM_1, [(80, 85)]),
        ("The head swims from eighty to five.", FROM_1, [(80, 85)]),
        ("The head swims from one twenty to twenty-four.", FROM_1, [(120, 124)]),
        ("Forty-two, forty-three, the wrist flips.", FROM_1, [(42, 43)]),
        ("The wrist flips on 12, 13, 14.", FROM_1, [(12, 14)]),
        ("frame fourteen right through to frame twenty-two", FROM_1, [(14, 22)]),
        ("Two frames after 42 she blinks.", FROM_1, [(44, 44)]),
        ("Two frames before 42 she blinks.", FROM_1, [(40, 40)]),
        ("They should be there by 82.", FROM_1, [(82, 82)]),
        ("From 105 on the foot slides.", FROM_101, [(105, 105)]),
        ("The first ten frames are dead.", FROM_101, [(101, 110)]),
        ("I'd lose the last ten frames.", FROM_101, [(179, 188)]),
        ("A second and a half in, he blinks.", FROM_101, [(137, 137)]),
        ("It starts to swim two seconds in, and it's floaty.", FROM_0, [(48, 48)]),
        ("He lands at 42. Ten frames later, he blinks.", FROM_1, [(42, 42), (52, 52)]),
        ("At six foot eight, she turns.", FROM_0, [(104, 104)]),
        ("At six plus eight the mouth opens.", FROM_0, [(104, 104)]),
        ("On drawing seventeen the ear is missing.", FROM_1, [(17, 17)]),
        ("D17, the ear is missing.", FROM_1, [(17, 17)]),
        ("It pops at 1,024.", FROM_1001, [(1024, 1024)]),
        ("It drifts from 1 to, um, 40.", FROM_1, [(1, 40)]),
        ("It slides from 64 to about 80.", FROM_1, [(64, 80)]),
        ("It's open till 130 or whatever, 132.", FROM_1, [(132, 132)]),
        ("From 66 it's on the bar, and by 78 it's down here.", FROM_1, [(66, 78)]),
        ("Frame 36 he plants the pole. It stays like a broomstick until 41.", FROM_1, [(36, 41)]),
        ("Frames 12, 20 and 40 are the same drawing.", FROM_1, [(12, 12), (20, 20), (40, 40)]),
        ("Three frames pop, 240's got to match zero.", FROM_0, [(240, 240), (0, 0)]),
        ("One oh nine, ten, eleven, the kettle goes.", FROM_101, [(109, 111)]),
        ("It slides from the forties up to the middle nineties.", FROM_1, [(40, 95)]),
        ("Ten nineteen, the knee. And then it's soft on twenty-one.", FROM_1001, [(1019, 1019), (1021, 1021)]),
        ("Her hand goes in at 38, it's gone, it comes back up at 43.", FROM_1, [(38, 43)]),
        ("At 9 to 13, that's four hundred kilos of stone.", FROM_1, [(9, 13)]),
        ("Please take one sixteen and trace it.", FROM_1, [(116, 116)]),
        ("Hands on at 34, he goes. The barrel goes at 37, 38.", FROM_1, [(34, 34), (37, 38)]),
        ("From 90 back to 1 it jumps.", FROM_1, [(90, 90), (1, 1)]),
        ("Then 101-120 is floaty.", FROM_101, [(101, 120)]),
        ("So at three seconds the bird lands.", FROM_1, [(73, 73)]),
        ("At exactly 1 second the tail drops.", FROM_0, [(24, 24)]),
        ("It flips at half a second, really brief.", FROM_1, [(13, 13)]),
        ("He drifts from two seconds to about three and a half.", FROM_1, [(49, 85)]),
        ("Between four and five seconds she reads it.", FROM_1, [(97, 121)]),
        ("He slides from two seconds in to four.", FROM_1, [(49, 97)]),
        ("From five seconds on his head is cut.", FROM_1, [(121, 121)]),
        ("At two point five seconds it spins.", FROM_0, [(60, 60)]),
        ("It stops at 3.5 seconds dead.", FROM_0, [(84, 84)]),
        ("It dies at four seconds and six frames.", FROM_0, [(102, 102)]),
        ("Frame 12, frame 30, and frame 50. The fish in forty-four is wet.", FROM_1,
         [(12, 12), (30, 30), (50, 50), (44, 44)]),
        ("Frame 12, frame 30, frame 50. Then forty-six she hears it.", FROM_1,
         [(12, 12), (30, 30), (50, 50), (46, 46)]),
        ("Forty-two is too dark.", FROM_1, []),
        ("By picture one hundred he's a pear.", FROM_1, [(100, 100)]),
        ("By the sixtieth frame he's a pear.", FROM_1, [(60, 60)]),
        ("The loop jumps between 60 and 1, look.", FROM_1, [(60, 60), (1, 1)]),
        ("It pops on hundred, look.", FROM_1, [(100, 100)]),
        ("That's about 118, no, is it 118, it's 121, sorry, 121.", FROM_1, [(121, 121)]),
        ("It's walking 22 to 29, more or less.", FROM_1, [(22, 29)]),
        ("At one hundred oh two he knows.", FROM_1, [(102, 102)]),
        ("It nicks the first one. At fifty-eight it turns.", FROM_1, [(58, 58)]),
        ("Now there's a leaf in the last ten frames, let it land.", FROM_101, [(179, 188)]),
    ],
)  # fmt: skip
@pytest.mark.parametrize("manner", ["punctuated", "captions"])
def test_a_number_that_names_a_frame_is_found(
    text: str, shot: Shot, frames: list[tuple[int, int]], manner: str
) -> None:
    assert heard(text if manner == "punctuated" else as_captions(text), shot) == frames


NO_FRAMES = """
Hold it for eight frames. | Delay the head two frames. | Slide it two frames later. | Give me ten, twelve frames.
I'd say twenty-four frames of nothing. | a two-frame dart | an eight-frame hold | It's a 96 frame cycle.
It's on twos. | Put it on 2's. | Two poses, three keys. | One of them is late. | That one, not this one.
version four | This is take 12. | Same note as week three. | number two, she's just off | in scene 14 | on page 30
You're seventy percent there. | He's at 64 percent. | It's fifty-fifty. | Put her in three-quarter.
Turn her ten, fifteen degrees. | don't cross the 180 line | do a 180 there | it's 16 by 9 | it renders at 1080p
It costs 40 dollars. | It's $40. | It runs at 24 fps. | I put a 50 lens on it | in the 3D view
He gets up like he's 17. | She's, what, sixty kilos? | A hundred and something kilos. | the file is 90 megs
I had no power till about seven. | See you at ten o'clock. | see you at 7:30 | I did it for forty hours.
Give it a good second. | half a second in the air | It's a second and a half in all.
He's done it ten thousand times. | a hundred times better | I could watch it 20 times. | I have 20 students today
You've given every one of these twelve. Twelve, twelve, twelve. | Fourteen, sixteen, twelve, sixteen. | 1, 2, 3 and hup
At 160 mm, two, two, three, fourteen, twenty, and so on. | two hundred and something pictures
I counted twenty-six on the second one. | The waiting ones could be, I dunno, thirty, and then four.
cut it to twenty | get it to zero | They all lag by four. | from zero to hundred | a good thirty of nothing
number forty | like the year fifty | It's at 60 per cent.
I'd like one eye closing. | three of them, frame by frame, one under the other | It lasts from two to three seconds.
Stretch the hold from two seconds to three. | Hold it between four and five seconds. | at a second glance
at two seconds a step | One second, I drink. | Two seconds, that's all I'd give. | Give it one second four at most.
Mouth shuts early. Two frames later.
between the two of them | The first one and the second one. | on the twenty-fifth | back in the 90s
"""


@pytest.mark.parametrize("text", [text.strip() for text in NO_FRAMES.strip().replace("\n", "|").split("|")])
@pytest.mark.parametrize("shot", [FROM_0, FROM_1], ids=["from 0", "from 1"])
@pytest.mark.parametrize("manner", ["punctuated", "captions"])
def test_lengths_counts_and_labels_are_no_frames(text: str, shot: Shot, manner: str) -> None:
    assert heard(text if manner == "punctuated" else as_captions(text), shot) == []


def test_a_number_called_a_frame_outside_the_shot_is_kept_with_a_doubt() -> None:
    (said,) = said_frames("at frame 240 the foot slides".split(), FROM_101)
    assert (said.first, said.last) == (240, 240)
    assert said.doubt == "frame 240 said, but the shot runs from 101 to 188"


def test_a_frame_that_a_recogniser_wrote_like_a_time_is_found_and_doubted() -> None:
    (said,) = said_frames("she lets go at 10:24 and sinks".split(), FROM_1001)
    assert (said.first, said.last) == (1024, 1024)
    assert said.doubt == "'10:24' taken as frame 1024: it could be a time"


def test_a_number_without_its_hundreds_is_doubted() -> None:
    said = said_frames("Ten nineteen, the knee. And then it's soft on twenty-one.".split(), FROM_1001)
    assert said[1].doubt == "only the last figures were said; taken as frame 1021"


def test_a_word_number_counts_only_where_the_mentor_speaks_in_frames() -> None:
    assert heard("It lands on four.", FROM_1) == []
    often = "Frame twenty, frame thirty and frame forty. It lands on four, and up."
    assert heard(often, FROM_1) == [(20, 20), (30, 30), (40, 40), (4, 4)]


def test_a_bare_number_outside_the_shot_is_no_frame() -> None:
    assert heard("At 240, the foot slides.", FROM_101) == []


@pytest.mark.parametrize(
    "text", ["about 40 she blinks", "around forty she blinks", "at forty-ish she blinks", "at 40 or so she blinks",
             "in the mid-forties she blinks"],
)  # fmt: skip
def test_a_rough_place_is_flagged(text: str) -> None:
    (said,) = said_frames(text.split(), FROM_1)
    assert said.approximate


def test_an_exact_place_is_not_flagged() -> None:
    (said,) = said_frames("right at frame 40 she blinks".split(), FROM_1)
    assert not said.approximate and said.doubt is None


def test_bare_timecodes_are_read_where_the_mentor_speaks_in_seconds() -> None:
    shot = Shot(fps="25", first=1, last=300)
    speech = "At two seconds he looks. One second four, the lips don't meet, and four nineteen too. Ten fifteen, blink."
    assert heard(speech, shot) == [(51, 51), (30, 30), (120, 120), (266, 266)]
    assert heard("Four nineteen, the lips don't meet.", shot) == []


def test_a_place_opens_a_sentence_in_seconds_where_the_mentor_speaks_in_seconds() -> None:
    speech = "One second in, the foot. At two seconds, the elbow. Three seconds, the jump."
    assert heard(speech, FROM_1) == [(25, 25), (49, 49), (73, 73)]
    assert heard("Three seconds, the jump.", FROM_1) == []


def test_decimal_places_are_seconds_where_the_mentor_speaks_in_seconds() -> None:
    speech = "At one second the tongue goes out, at 2.5 it is back, and from 1.5 to two and a half it's inside out."
    assert heard(speech, FROM_0) == [(24, 24), (60, 60), (36, 60)]


def test_a_terse_mentor_is_read_without_punctuation() -> None:
    speech = "ninety to ninety six jitter on the hose latch seventy four no clack eighty one the pad sinks"
    assert heard(speech, FROM_1) == [(90, 96), (74, 74), (81, 81)]


def test_a_range_begins_a_sentence_until_its_end() -> None:
    assert heard("Sixty-six. Toe is on the line. Until seventy-two it's sliding.", FROM_1) == [(66, 72)]


def test_from_frame_one_is_the_outset_where_the_shot_begins_elsewhere() -> None:
    assert heard("From frame one until the end it goes at one speed.", FROM_1001) == []
    assert heard("From frame one until the end it goes at one speed.", FROM_1) == [(1, 1)]


def test_arms_after_a_frame_do_not_lengthen_it() -> None:
    assert heard("at eleven forty, one arm here, one arm there", Shot(first=1001, last=1190)) == [(1140, 1140)]


def test_converted_seconds_say_so() -> None:
    (said,) = said_frames("a second and a half in, he blinks".split(), Shot(fps="24", first=101, last=188))
    assert said.doubt == "converted from 'a second and a half in' at 24 frames a second"


def test_feet_and_drawings_say_what_they_suppose() -> None:
    (feet,) = said_frames("at six foot eight, she turns".split(), FROM_0)
    assert feet.doubt is not None and "0+00" in feet.doubt
    (drawing,) = said_frames("D17, the ear is missing".split(), FROM_1)
    assert drawing.doubt is not None and "drawing" in drawing.doubt


def test_from_there_begins_at_the_frame_named_before() -> None:
    assert heard("frame one twelve she pushes and from there to one thirty her hands creep", FROM_1) == [
        (112, 112),
        (112, 130),
    ]


def test_ten_frames_later_without_a_frame_before_is_nothing() -> None:
    assert heard("Ten frames later, he blinks.", FROM_1) == []


def test_positions_are_words() -> None:
    words = "So , from one twenty to one twenty-four , it drifts .".split()
    (said,) = said_frames(words, FROM_1)
    assert (said.start, said.end) == (3, 8)


def test_a_shot_of_unknown_length_takes_what_is_named() -> None:
    assert heard("At frame forty-two, and from 60 to 75.", Shot()) == [(42, 42), (60, 75)]


def test_a_frame_said_again_inside_a_short_list_is_one_range() -> None:
    note = said_frames("F 12, left knee pops. 12, 13, 14. Ease it through.".split(), FROM_1)
    assert [(said.first, said.last) for said in frames_of_note(note)] == [(12, 14)]


def test_a_moment_inside_a_longer_range_stays() -> None:
    note = said_frames("You go down from 101 until 111, and on 104 he's off the floor.".split(), FROM_1)
    assert [(said.first, said.last) for said in frames_of_note(note)] == [(101, 111), (104, 104)]


def test_a_note_about_frames_in_a_row_is_about_the_stretch() -> None:
    note = said_frames("At 88 he sees the cat and at 89 he's already going up.".split(), FROM_1)
    assert [(said.first, said.last) for said in frames_of_note(note)] == [(88, 89)]


def test_a_note_without_numbers_has_no_frames() -> None:
    assert frames_of_note(said_frames("this foot here slides".split(), FROM_1)) == ()


_WORDS = st.sampled_from(
    "at frame from to 42 one twenty forty two ten oh hundred and a second half in later frames , . um about 1,024 "
    "10:24 3.5 seconds point nothing between and in D17 till first last six foot eight zero nineties 40s fifty-fifty "
    "it's he's 's — - six".split()
)


@given(st.lists(_WORDS, max_size=30))
def test_any_speech_gives_ordered_ranges_inside_its_words(words: list[str]) -> None:
    for shot in (FROM_0, FROM_1001, Shot()):
        said = said_frames(words, shot)
        assert said == sorted(said, key=lambda frames: (frames.start, frames.end))
        for frames in said:
            assert 0 <= frames.start < frames.end <= len(words)
            assert frames.first <= frames.last


@given(st.lists(st.text(max_size=8), max_size=12))
def test_any_text_is_read_without_error(words: list[str]) -> None:
    assert isinstance(said_frames(words, FROM_1), list)


@given(first=st.integers(1, 140), length=st.integers(0, 10))
def test_a_range_said_in_digits_is_that_range(first: int, length: int) -> None:
    last = first + length
    said = said_frames(f"it slides from {first} to {last} there".split(), FROM_1)
    assert [(frames.first, frames.last) for frames in said] == [(first, last)]
    assert isinstance(said[0], SaidFrames)


@pytest.mark.parametrize(
    "said, frames",
    [
        ("frame one 12 she pushes", [(112, 112)]),
        ("from there to like one 30", [(130, 130)]),
        ("this one 12 he turns", [(12, 12)]),
    ],
)
def test_a_number_that_a_recogniser_writes_half_in_digits_is_one(said: str, frames: list[tuple[int, int]]) -> None:
    found = said_frames(said.split(), Shot(fps="24", first=1, last=236))
    assert [(here.first, here.last) for here in found] == frames
