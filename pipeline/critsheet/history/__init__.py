"""From one submission to the next: what became of the notes that were open, and the history of a shot."""

from critsheet.history.earlier_sheets import check_one_shot, read_previous, read_sheets
from critsheet.history.shot_history import NoteHistory, ShotHistory, Step, shot_history
from critsheet.history.taking_up import in_turn, take_up

__all__ = [
    "NoteHistory",
    "ShotHistory",
    "Step",
    "check_one_shot",
    "in_turn",
    "read_previous",
    "read_sheets",
    "shot_history",
    "take_up",
]
