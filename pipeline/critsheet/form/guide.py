"""What may be written in the form, in the words that its head and the command's help both show."""

TITLES = {
    "first": "Do first",
    "then": "Then",
    "time": "If there is time",
    "keep": "Keep",
    "plan": "Plan",
}
"""The headings, by the groups that a sheet is shown in."""
LEFT_OUT = "Left out"

GUIDE = (
    ("Reword", "write over the words after “n1:”; they are marked as the mentor's."),
    (
        "Reorder",
        "move a note, with the lines under it, up or down or under another heading. The first three under “Do first” "
        "lead the sheet.",
    ),
    (
        "Relabel",
        "change, add or delete the lines under a note: category (the main one first), who, body, frames, place, scope, "
        "asked before, not sure.",
    ),
    ("Set frames", "frames: 42, 130-138, about 150"),
    (
        "Add",
        "write “- [ ] ” and the words under a heading, without a number; indented below, “- category: arcs” says what "
        "it is about and “- said 2:05” ties it to what was said then.",
    ),
    ("Merge", "delete the second note and name it in the first one: “- [ ] n1 + n4: Plant both feet.”"),
    (
        "Split",
        "write a second note “- [ ] from n1: Let the toes lag.” and move the lines “said” that belong to it there; "
        "with none moved, both keep all.",
    ),
    ("Leave out", "move a note under “Left out”. Moving it out of there brings it back."),
    ("Tick", "[x] is done, [ ] is not."),
)
"""What a mentor may do, and how it is written."""
