"""Trains the weights of the language and notes stages on the labelled corpus: `make train`.

The same corpus gives the same weights. Held-out critiques (tests/eval/cases) are never trained on.
"""

import gzip
import json
import math
import os
import sys
import tempfile
from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import pycrfsuite
from critiques import CORPUS, Critique, as_recognised, corpus_hash, critique, is_raw
from scipy.optimize import minimize
from scipy.sparse import csr_matrix

from critsheet import vocabulary
from critsheet.language import clauses, components, learned
from critsheet.language.remarks import Remark
from critsheet.language.spoken import LONG_PAUSE_S, spoken_tokens
from critsheet.notes import about, drafts, evidence, joins, labels, parts, priority
from critsheet.vocabulary.model import STRENGTHS

Row = Mapping[str, float]
PRECISION = 3
"""Decimals of a stored weight: finer ones change no decision."""

BRIEF_EVERY, SHORT, IN_A_ROW = 3, 3, 4
"""One note in so many is also learned by itself; notes of at most so many clauses also so many in a row."""

EAGERNESS = {drafts.STARTS: 0.8, drafts.GOES_ON: -0.5}
"""Added to the weight of a note's start and going on: evens out merged and split notes on critiques left out of
training."""

MANY_HANDS, COUNTED = frozenset("abcdefghij"), 3
"""Critiques whose names start with these letters come from more writers, and each counts so many times.
On critiques left out of training: usable notes .665 → .713 as written, .644 → .680 raw; 6 does the same."""

LABEL_PENALTY = 0.07
"""L2 penalty of the label models; half or double changes little."""

WORDS = ("word ", "pair ")
"""Features that are words of the speech; a note's models weigh them by rarity."""


@dataclass(frozen=True)
class Read:
    """A critique read with the current clause model, and its drafts' gold note ids by remark."""

    critique: Critique
    remarks: list[Remark]
    owners: list[str | None]


# --- fitting ---------------------------------------------------------------------------------------


def fit_chain(
    sequences: Sequence[Sequence[Row]], labels: Sequence[Sequence[str]], c1: float, c2: float
) -> dict[str, Any]:
    """A linear-chain CRF in its stored form; c1 and c2 weigh the L1 and L2 penalties."""
    trainer = pycrfsuite.Trainer(verbose=False)
    for rows, names in zip(sequences, labels, strict=True):
        trainer.append(pycrfsuite.ItemSequence([dict(row) for row in rows]), list(names))
    trainer.set_params(
        {"c1": c1, "c2": c2, "max_iterations": 120, "feature.minfreq": 2, "feature.possible_transitions": True}
    )
    with tempfile.TemporaryDirectory() as folder:
        path = str(Path(folder) / "model")
        trainer.train(path)
        tagger = pycrfsuite.Tagger()
        tagger.open(path)
        info = tagger.info()
        names = sorted(tagger.labels())
        tagger.close()
    weights: dict[str, list[float]] = {}
    for (feature, label), weight in info.state_features.items():
        weights.setdefault(feature, [0.0] * len(names))[names.index(label)] = round(weight, PRECISION)
    transitions = [[round(info.transitions.get((one, two), 0.0), PRECISION) for two in names] for one in names]
    return {"labels": names, "weights": dict(sorted(weights.items())), "transitions": transitions}


def fit_choice(rows: Sequence[Row], labels: Sequence[str], penalty: float, least: int = 3) -> dict[str, Any]:
    """A multinomial logistic model (L2 penalty) in its stored form, of features seen at least `least` times."""
    names = sorted(set(labels))
    counts = Counter(feature for row in rows for feature in row)
    features = sorted(feature for feature, count in counts.items() if count >= least)
    rarity = {
        feature: round(math.log((1 + len(rows)) / (1 + counts[feature])) + 1, PRECISION)
        for feature in features
        if feature.startswith(WORDS)
    }
    index = {feature: place for place, feature in enumerate(features)}
    cells = [
        (place, index[feature], value)
        for place, row in enumerate(rows)
        for feature, value in learned.weighed(row, rarity).items()
        if feature in index
    ]
    places, columns, values = zip(*cells, strict=True)
    matrix = csr_matrix((values, (places, columns)), shape=(len(rows), len(features)))
    target = np.eye(len(names))[[names.index(label) for label in labels]]

    def loss(flat: np.ndarray) -> tuple[float, np.ndarray]:
        weights = flat.reshape(len(features), len(names))
        scores = matrix @ weights
        scores -= scores.max(axis=1, keepdims=True)
        log_odds = scores - np.log(np.exp(scores).sum(axis=1, keepdims=True))
        gradient = matrix.T @ (np.exp(log_odds) - target) + penalty * weights
        return float(-(target * log_odds).sum() + 0.5 * penalty * (weights**2).sum()), gradient.ravel()

    start = np.zeros(len(features) * len(names))
    found = minimize(loss, start, jac=True, method="L-BFGS-B", options={"maxiter": 200})
    fitted = found.x.reshape(len(features), len(names))
    return {
        "labels": names,
        "weights": {
            feature: [round(float(weight), PRECISION) for weight in row]
            for feature, row in zip(features, fitted, strict=True)
        },
        "rarity": rarity,
    }


# --- what to learn ---------------------------------------------------------------------------------


def clause_examples(critiques: Iterable[Critique]) -> tuple[list[list[Row]], list[list[str]]]:
    """For each punctuated critique its bare words, labelled by whether a sentence starts with them."""
    sequences, labels = [], []
    for item in critiques:
        if item.raw:
            continue
        tokens = spoken_tokens(item.transcript)
        words, names, closed = [], [], True
        for token in tokens:
            if token.is_word:
                closed = closed or token.pause_s >= LONG_PAUSE_S
                words.append(token)
                names.append(clauses.STARTS if closed else clauses.GOES_ON)
                closed = False
            elif token.ends_sentence:
                closed = True
        sequences.append(clauses.start_features(words))
        labels.append(names)
    return sequences, labels


def read_critique(item: Critique, pack: vocabulary.Vocabulary) -> Read:
    """The remarks of a critique, each with the gold note that most of its words belong to."""
    remarks = components.read(item.transcript, pack, item.shot, item.names)
    tokens = spoken_tokens(item.transcript)
    owners: list[str | None] = []
    for remark in remarks:
        votes = Counter(
            _owner(item, token.start_s, token.end_s) for token in tokens[remark.first : remark.end] if token.is_word
        )
        owners.append(max(votes, key=lambda note: votes[note]) if votes else None)
    return Read(item, remarks, owners)


def _owner(item: Critique, start_s: float, end_s: float) -> str | None:
    middle = (start_s + end_s) / 2
    return next((note for note, first, last in item.spans if first <= middle <= last), None)


def note_labels(read: Read) -> list[str]:
    """Per remark the label that a chain should give it."""
    kinds = {note["id"]: note["kind"] for note in read.critique.gold["notes"]}
    labels, before = [], None
    for remark, owner in zip(read.remarks, read.owners, strict=True):
        if owner is None:
            labels.append(drafts.NONE)
        else:
            fresh = owner != before or _starts_inside(read.critique, owner, remark)
            labels.append(f"{drafts.STARTS if fresh else drafts.GOES_ON} {kinds[owner]}")
        before = owner
    return labels


def _starts_inside(item: Critique, owner: str, remark: Remark) -> bool:
    return any(note == owner and remark.start_s <= first < remark.end_s for note, first, _ in item.spans)


def train_language(critiques: Sequence[Critique]) -> dict[str, Any]:
    """The clause model; it must be in place before critiques are read."""
    sequences, labels = clause_examples(critiques)
    return {"clauses": fit_chain(sequences, labels, c1=0.5, c2=0.2)}


def train_notes(reads: Sequence[Read], pack: vocabulary.Vocabulary) -> dict[str, Any]:
    """Every model of the notes stage."""
    chain = fit_chain(*note_examples(reads), c1=0.4, c2=0.4)
    for column, label in enumerate(chain["labels"]):
        chain["weights"]["always"][column] += EAGERNESS.get(label.rpartition(" ")[0], 0.0)
    notes = [pair for read in reads for pair in gold_notes(read)]
    golds = [gold for _, gold in notes]
    manners = [note.manner for note, _ in notes]
    asked = [place for place, gold in enumerate(golds) if gold["kind"] != "keep"]
    return {
        "notes": chain,
        "joins": fit_choice(*join_examples(reads), penalty=1.0),
        "category": fit_labels([note.evidence for note, _ in notes], [gold["category"] for gold in golds]),
        "scope": fit_labels(manners, [gold["scope"] for gold in golds]),
        "strength": fit_labels([manners[place] for place in asked], [golds[place]["strength"] for place in asked]),
        "followup": fit_labels(manners, [gold["followup"] or labels.NO_LABEL for gold in golds]),
        "parts": fit_choice(*part_examples(notes), penalty=3.0),
        "top": fit_choice(*top_examples(reads, pack), penalty=1.0),
    }


def note_examples(reads: Sequence[Read]) -> tuple[list[list[Row]], list[list[str]]]:
    """Each critique whole; notes alone, as somebody brief would say them; and short ones right after each other."""
    sequences, names = [], []
    for read in reads:
        labelled = note_labels(read)
        stretches = [run for gold in read.critique.gold["notes"] for run in gold_stretches(read, gold["id"])]
        stretches.sort(key=lambda run: run[0].index)
        short = [run for run in stretches if len(run) <= SHORT]
        lists = [short[place : place + IN_A_ROW] for place in range(0, len(short), IN_A_ROW)]
        for runs in [[tuple(read.remarks)], *([run] for run in stretches[::BRIEF_EVERY]), *lists]:
            remarks = [remark for run in runs for remark in run]
            sequences.append(evidence.clause_evidence(remarks))
            names.append([labelled[remark.index] for remark in remarks])
    return sequences, names


def fit_labels(rows: Sequence[Row], names: Sequence[str]) -> dict[str, Any]:
    """A model of one label of a note."""
    return fit_choice(rows, names, penalty=LABEL_PENALTY)


def gold_notes(read: Read) -> list[tuple[about.About, dict[str, Any]]]:
    """Each gold note that reading kept, as the notes stage would hold it, with its gold labels."""
    golds = read.critique.gold["notes"]
    runs = [gold_stretches(read, gold["id"]) for gold in golds]
    return [
        (about.About(drafts.Draft(gold["kind"], run, 1.0)), gold) for gold, run in zip(golds, runs, strict=True) if run
    ]


def gold_stretches(read: Read, note: str) -> tuple[tuple[Remark, ...], ...]:
    """The runs of neighbouring remarks that belong to a gold note."""
    runs: list[list[Remark]] = []
    for remark, owner in zip(read.remarks, read.owners, strict=True):
        if owner != note:
            continue
        if runs and runs[-1][-1].index == remark.index - 1:
            runs[-1].append(remark)
        else:
            runs.append([remark])
    return tuple(tuple(run) for run in runs)


def join_examples(reads: Sequence[Read]) -> tuple[list[Row], list[str]]:
    """Every later stretch of speech against each earlier note, and whether they are one issue."""
    rows, names = [], []
    for read in reads:
        pieces = sorted(
            (run[0].index, gold["id"], drafts.Draft(gold["kind"], (run,), 1.0))
            for gold in read.critique.gold["notes"]
            for run in gold_stretches(read, gold["id"])
        )
        heard: dict[str, drafts.Draft] = {}
        for _, owner, piece in pieces:
            later = about.About(piece)
            for place, (other, draft) in enumerate(heard.items()):
                earlier = about.About(draft)
                rows.append(joins.pair_evidence(earlier, later, len(heard) - place))
                names.append(joins.SAME if other == owner else joins.OTHER)
            if owner in heard:
                heard[owner] = drafts.Draft(piece.kind, heard[owner].stretches + piece.stretches, 1.0)
            else:
                heard[owner] = piece
    return rows, names


def part_examples(notes: Sequence[tuple[about.About, dict[str, Any]]]) -> tuple[list[Row], list[str]]:
    """Each body part named in a note, and whether the note is about it."""
    rows, names = [], []
    for note, gold in notes:
        for part, row in parts.part_evidence(note).items():
            rows.append(row)
            names.append(parts.MEANT if part in gold["body"] else parts.BY_THE_WAY)
    return rows, names


def top_examples(reads: Sequence[Read], pack: vocabulary.Vocabulary) -> tuple[list[Row], list[str]]:
    """Each fix with its gold labels, and whether the mentor would want it done first."""
    rows, names = [], []
    for read in reads:
        pairs = gold_notes(read)
        for place, (note, gold) in enumerate(pairs):
            if gold["kind"] != "fix":
                continue
            label = labels.Labels(
                gold["category"], 1.0, (), gold["scope"], gold["strength"], gold["followup"], None, (), None
            )
            rows.append(priority.weight_evidence(note, label, pack.categories, place / len(pairs)))
            names.append(priority.FIRST if gold["id"] in read.critique.gold["top"] else priority.LATER)
    return rows, names


def stem_rarity(reads: Sequence[Read]) -> dict[str, float]:
    """The inverse document frequency of each stem over the critiques."""
    counts = Counter(
        form for read in reads for form in {stem for remark in read.remarks for stem in evidence.plain_stems(remark)}
    )
    return {
        form: round(math.log((1 + len(reads)) / (1 + count)) + 1, PRECISION) for form, count in sorted(counts.items())
    }


def both_forms(paths: Iterable[Path]) -> list[Critique]:
    """Each critique as written, and the punctuated ones also as raw captions."""
    return [critique(path, raw) for path in paths for raw in (False, True) if not (raw and is_raw(path))]


def _times(name: str) -> int:
    return COUNTED if name[0] in MANY_HANDS else 1


def use(weights: dict[str, Any]) -> None:
    """Makes the stages of this process work with these weights instead of the shipped ones."""
    for cached in (learned.chain, learned.choice, learned.stored, learned.word_rarity, learned.trained_phrases):
        cached.cache_clear()
    learned.WEIGHTS = Path(tempfile.gettempdir()) / f"critsheet-weights-{os.getpid()}.json.gz"
    learned.WEIGHTS.write_bytes(packed(weights))
    learned.stored()
    learned.WEIGHTS.unlink()


def packed(weights: dict[str, Any]) -> bytes:
    """The weights as the file that is shipped, the same bytes for the same weights."""
    return gzip.compress(json.dumps(weights, sort_keys=True, separators=(",", ":")).encode(), mtime=0)


def train(paths: Sequence[Path], progress: Callable[[str], None] = lambda _: None) -> dict[str, Any]:
    """All weights from these critiques, as stored."""
    critiques = both_forms([path for path in paths for _ in range(_times(path.stem))])
    weights = train_language(critiques)
    use(weights)
    progress("clauses trained")
    pack = vocabulary.load()
    forms = both_forms(paths)
    forms += [as_recognised(item) for item in map(critique, paths)]
    reads = [read_critique(item, pack) for item in forms]
    reads = [read for read in reads for _ in range(_times(read.critique.name))]
    progress("critiques read")
    use(weights | {"rarity": stem_rarity(reads)})
    weights |= {"rarity": stem_rarity(reads)} | train_notes(reads, pack)
    weights["phrases"] = sorted(phrase.id for phrase in pack.phrases if phrase.function in STRENGTHS)
    use(weights)
    return weights | {"trained_on": corpus_hash(list(paths)), "vocabulary": pack.sha256}


def main() -> None:
    """Train on the corpus and write the weights file."""
    target, paths = learned.WEIGHTS, sorted(CORPUS.glob("*.md"))
    data = packed(train(paths, lambda text: print(text, file=sys.stderr)))
    target.write_bytes(data)
    print(f"{target}: {len(data) / 1e6:.1f} MB from {len(paths)} critiques")


if __name__ == "__main__":
    main()
