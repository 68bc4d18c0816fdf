"""Frames of the shot: how they are counted, which was on screen when, which a note is about, and pictures of them."""

from critsheet.frames.combining import combine, looked_again
from critsheet.frames.screen_runs import on_screen
from critsheet.frames.shot_files import ShotFile, as_said, misnumbered, numbered, read_shot
from critsheet.frames.stills import Sources, cut_stills
from critsheet.frames.watching import Evidence, watch

__all__ = [
    "Evidence",
    "ShotFile",
    "Sources",
    "as_said",
    "combine",
    "cut_stills",
    "looked_again",
    "misnumbered",
    "numbered",
    "on_screen",
    "read_shot",
    "watch",
]
