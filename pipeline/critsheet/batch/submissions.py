"""Ties the submissions of a shot together: each is made after the one before it, and told what was asked for then."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace

from critsheet.batch.job import Job


def rounds(jobs: Sequence[Job]) -> list[list[Job]]:
    """The jobs in rounds, one after the other: in each, the next submission of every shot, with those before it.

    Submissions belong together where the names file gives one student, one shot and different numbers.
    """
    shots: dict[tuple[str, str], list[Job]] = defaultdict(list)
    alone: list[Job] = []
    for job in jobs:
        named = job.named
        if named and named.student and named.title and named.submission:
            shots[named.student.casefold(), named.title.casefold()].append(job)
        else:
            alone.append(job)
    found: list[list[Job]] = [alone]
    for shot in shots.values():
        ordered = sorted(shot, key=_submission)
        for place, job in enumerate(ordered):
            if place == len(found):
                found.append([])
            before = [each for each in ordered[:place] if _submission(each) < _submission(job)]
            found[place].append(replace(job, previous=before[-1].folder if before else None))
    return [part for part in found if part]


def _submission(job: Job) -> int:
    return (job.named and job.named.submission) or 0
