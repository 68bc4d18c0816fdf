"""The pages of errors on an invented critique, and their agreement with the scorer."""

import random
from pathlib import Path
from typing import Any

import pages
import pytest
import score
from critiques import Critique
from diagnosis import CAUSES, Diagnosis, Reading

from critsheet.sheet import Segment, Shot, Transcript, Word

COLUMNS = ("gold", "found", "detect")
SPEECH = (
    "the knee pops at twelve smooth it",
    "the hand slips on the rope and <b>the eyes</b> are late",
    "the cloak is dead give it a drag then a settle",
    "the landing is lovely keep it",
)


def note(name: str, start: float, end: float, **labels: Any) -> dict[str, Any]:
    plain = {"kind": "fix", "category": "limbs", "also": [], "body": [], "frames": [], "scope": "moment"}
    rest = {"strength": "should", "followup": None, "action": f"Action of {name}.", "rank": 1, "doubts": ()}
    return plain | rest | {"id": name, "moments": [[start, end]]} | labels


def reading(gold: list[dict[str, Any]], found: list[dict[str, Any]], gold_top: list[str], top: list[str]) -> Reading:
    """The speech has a word a second, and each line of it is a segment."""
    segments, at = [], 0
    for line in SPEECH:
        words = tuple(Word(start=at + i, end=at + i + 0.9, text=text) for i, text in enumerate(line.split()))
        segments.append(Segment(start=at, end=words[-1].end, text=line, words=words))
        at += len(words)
    golds, sheet = {"notes": gold, "top": gold_top}, {"notes": found, "top": top}
    transcript = Transcript(language="en", segments=tuple(segments))
    shot = Shot(first=1, last=48)
    critique = Critique("mini", False, transcript, shot, ("<i>Orrin</i>",), (), golds)
    return Reading(critique, sheet, score.score(golds, sheet))


@pytest.fixture
def mini() -> Reading:
    """A note mislabelled; two merged; one split; one missed; one invented."""
    gold = [
        note("n1", 0, 6.9, frames=[[12, 12]], body=["knee"], also=["polish"]),
        note("n2", 7, 12.9, category="hands"),
        note("n3", 13, 17.9, category="eyes", strength="must"),
        note("n4", 18, 28.9, category="secondary", action="Give the <script>cloak</script> a drag."),
        note("n5", 29, 32.9, kind="keep", category="weight", strength=None),
    ]
    found = [
        note("n1", 0, 6.9, category="polish", frames=[{"first": 12, "last": 12, "source": "said"}]),
        note("n2", 7, 17.9, category="timing"),
        note("n3", 18, 24.9, category="secondary", doubts=("Which <cloak>?",)),
        note("n4", 25, 28.9, category="overlap"),
        note("n5", 33, 34.9, category="appeal"),
    ]
    return reading(gold, found, ["n3", "n2"], ["n1", "n3", "n4", "n2"])


def test_each_note_is_marked_with_what_became_of_it(mini: Reading) -> None:
    diagnosis = Diagnosis.of(mini)
    marks = {name: diagnosis.marks(name) for name in (*diagnosis.gold, *diagnosis.found)}
    assert marks == {
        "G1": ["found"],
        "G2": ["found", "merged"],
        "G3": ["merged"],
        "G4": ["found", "split"],
        "G5": ["missed"],
        "P1": ["mislabelled"],
        "P2": ["mislabelled", "merged"],
        "P3": ["right", "split"],
        "P4": ["split"],
        "P5": ["invented"],
    }


def test_errors_name_their_cause_and_what_was_taken_for_what(mini: Reading) -> None:
    errors = [(error.cause, error.tag, error.detail) for error in Diagnosis.of(mini).errors]
    assert errors == [
        ("merged", "G3", ""),
        ("missed", "G5", ""),
        ("body", "P1", "knee → none"),
        ("category, loosely right", "P1", "limbs → polish"),
        ("category", "P2", "hands → timing"),
        ("split", "P4", ""),
        ("invented", "P5", ""),
        ("top, not found", "G3", ""),
        ("top, ranked lower", "G2", ""),
    ]


def test_a_page_escapes_what_was_said_and_written(mini: Reading, tmp_path: Path) -> None:
    pages.write([mini], [("mini", mini.scores)], COLUMNS, tmp_path)
    page = (tmp_path / "mini-as-written.html").read_text()
    for text in ("<script>", "<b>the", "<i>Orrin", "<cloak>"):
        assert text not in page
    assert "&lt;script&gt;cloak&lt;/script&gt;" in page
    assert "&lt;b&gt;the eyes&lt;/b&gt;" in page


def test_each_note_stands_beside_the_words_that_begin_it(mini: Reading) -> None:
    rows = pages.rows(mini, Diagnosis.of(mini))
    beside = [([card.tag for card in row.gold], [card.tag for card in row.found]) for row in rows]
    assert beside == [(["G1"], ["P1"]), (["G2", "G3"], ["P2"]), (["G4"], ["P3", "P4"]), (["G5"], ["P5"])]
    assert " ".join(run.text for row in rows for run in row.runs) == " ".join(SPEECH)


def test_every_count_of_the_index_leads_to_a_note_on_a_page(mini: Reading, tmp_path: Path) -> None:
    causes = pages.write([mini], [("mini", mini.scores)], COLUMNS, tmp_path)
    index = (tmp_path / "index.html").read_text()
    page = (tmp_path / "mini-as-written.html").read_text()
    for places in causes.by_cause.values():
        for _, error in places["as written"]:
            assert f'href="mini-as-written.html#{error.tag}"' in index
            assert page.count(f'id="{error.tag}"') == 1


def test_the_printed_table_counts_each_cause_and_confusion(mini: Reading) -> None:
    printed = pages.cause_table(pages.Causes.of([(mini, Diagnosis.of(mini))]))
    counts = {line[:-28].strip(): line[-28:].split() for line in printed.splitlines() if line}
    assert counts[CAUSES["merged"]] == ["1", "0"]
    assert counts[CAUSES["kind"]] == ["0", "0"]
    assert counts["hands → timing"] == ["1", "0"]


def test_pages_are_written_over_those_of_before(mini: Reading, tmp_path: Path) -> None:
    for _ in range(2):
        pages.write([mini], [("mini", mini.scores)], COLUMNS, tmp_path / "build" / "eval")
    assert [path.name for path in sorted((tmp_path / "build" / "eval").iterdir())] == [
        "index.html",
        "mini-as-written.html",
    ]


@pytest.mark.parametrize("seed", range(30))
def test_counts_agree_with_the_scorer(seed: int) -> None:
    chance = random.Random(seed)

    def notes(count: int) -> list[dict[str, Any]]:
        starts = [chance.uniform(0, 34) for _ in range(count)]
        choices = {"kind": ("fix", "keep"), "category": ("limbs", "weight"), "scope": ("moment", "shot"),
                   "strength": ("must", None), "followup": ("resolved", None)}  # fmt: skip
        return [
            note(f"n{i}", at, at + chance.uniform(0.5, 9), also=["weight"], frames=[[1, chance.choice((1, 2))]])
            | {label: chance.choice(values) for label, values in choices.items()}
            for i, at in enumerate(starts)
        ]

    case = reading(notes(chance.randrange(9)), notes(chance.randrange(9)), ["n0", "n2"], ["n3", "n0", "n1", "n2"])
    if len(case.critique.gold["notes"]) < 3 or len(case.sheet["notes"]) < 4:
        case.critique.gold["top"].clear()
        case.sheet["top"].clear()
        case = Reading(case.critique, case.sheet, score.score(case.critique.gold, case.sheet))
    diagnosis, scores = Diagnosis.of(case), case.scores
    count = {cause: sum(error.cause == cause for error in diagnosis.errors) for cause in CAUSES}
    pairs = len(diagnosis.partner) // 2
    assert pairs == scores["gold"] - count["missed"] - count["merged"]
    assert pairs == scores["found"] - count["invented"] - count["split"]
    assert pairs == pytest.approx(scores["recall"] * max(1, scores["gold"]))
    for label in ("kind", "scope", "strength", "followup"):
        assert pairs - count[label] == pytest.approx(scores[label] * max(1, pairs))
    assert pairs - count["category"] == pytest.approx(scores["loose"] * max(1, pairs))
    strict = count["category"] + count["category, loosely right"]
    assert pairs - strict == pytest.approx(scores["category"] * max(1, pairs))
    top = len(case.critique.gold["top"])
    assert top - count["top, not found"] - count["top, ranked lower"] == pytest.approx(scores["top"] * top)
