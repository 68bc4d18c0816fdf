"""What an invented mentor said about an invented shot, and the notes in it."""

from critsheet.sheet import (
    FrameRange,
    Moment,
    Note,
    Repair,
    Segment,
    Transcript,
    Word,
)

SAID = (
    (2.0, "Okay, so this is Osk lifting the crate, second pass."),
    (9.5, "First off, the way he looks at it before he touches it, I love that, don't lose it."),
    (
        21.0,
        "Now the biggest thing. When he lifts, it goes up like it's empty. I don't feel any weight in it.",
    ),
    (30.5, "I would get his hips back and down before the crate leaves the floor, around 130 to 138."),
    (48.0, "The head, the chest and the hips all stop together at 151."),
    (55.0, "Delay the head two or three frames."),
    (80.0, "And this foot is sliding here, plant it till he steps."),
    (131.0, "Same thing on the landing, everything stops on one frame."),
    (160.0, "Nitpick, if there is time, the fingers on the handle all close at once."),
    (3601.5, "Oh, and film yourself lifting something really heavy and show me that next time."),
)


def spoken() -> Transcript:
    """The talk with evenly spread word times and one misheard word put right."""
    segments = []
    for start, text in SAID:
        tokens = text.split()
        words = [
            Word(
                start=round(start + 0.3 * i, 2),
                end=round(start + 0.3 * i + 0.25, 2),
                text=token,
                raw="wait" if token == "weight" else None,
                probability=0.9,
            )
            for i, token in enumerate(tokens)
        ]
        segments.append(Segment(start=start, end=words[-1].end, text=text, words=tuple(words)))
    repairs = (Repair(start=26.4, raw="wait", text="weight", rule="misheard.weight.wait"),)
    return Transcript(language="en", segments=tuple(segments), repairs=repairs)


def moment(at: int) -> Moment:
    start, text = SAID[at]
    return Moment(start=start, end=start + 0.3 * len(text.split()), quote=text)


NOTES = (
    Note(
        id="n1",
        kind="fix",
        category="weight",
        also=("posing",),
        subject="Osk",
        body=("hips",),
        moments=(moment(2), moment(3)),
        frames=(FrameRange(first=130, last=138, confidence=0.6),),
        strength="must",
        followup="repeated",
        action="Get the hips back and down before the crate leaves the floor, around 130 to 138.",
        rank=1,
        reasons=("said: “the biggest thing”", "hips before limbs"),
        doubts=("the frames were said roughly: “around”",),
    ),
    Note(
        id="n2",
        kind="fix",
        category="overlap",
        body=("head", "chest", "hips"),
        moments=(moment(4), moment(5), moment(7)),
        frames=(FrameRange(first=151, last=151),),
        strength="should",
        action="Delay the head two or three frames at 151 and on the landing.",
        rank=2,
        reasons=("raised 2 times",),
    ),
    Note(
        id="n3",
        kind="fix",
        category="contact",
        body=("foot",),
        moments=(moment(6),),
        strength="should",
        action="Plant the foot until he steps.",
        rank=3,
        doubts=("recogniser unsure of “plant”",),
    ),
    Note(
        id="n4",
        kind="fix",
        category="hands",
        body=("fingers",),
        moments=(moment(8),),
        strength="could",
        place="end",
        action="Close the fingers on the handle one after another.",
        rank=4,
        reasons=("said: “nitpick”",),
    ),
    Note(
        id="n5",
        kind="keep",
        category="anticipation",
        subject="Osk",
        moments=(moment(1),),
        place="start",
        action="Keep the look at the crate before he touches it.",
        rank=5,
    ),
    Note(
        id="n6",
        kind="plan",
        category="workflow",
        moments=(moment(9),),
        scope="shot",
        strength="should",
        action="Film yourself lifting something really heavy and show it next time.",
        rank=6,
    ),
)
