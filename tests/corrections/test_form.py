"""The sheet as a plain-text list: what is typed in it is what the sheet says afterwards, and nothing else changes."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from invented_critique import critique, lines_of, plain_words, sheets
from markdown_it import MarkdownIt

from critsheet import corrections
from critsheet.form.taking import corrected
from critsheet.form.writing import first_line, to_text
from critsheet.sheet import Done, Note, Sheet

NOW = "2026-02-03T10:00:00Z"


def typed(*changes: tuple[str, str], sheet: Sheet | None = None) -> Sheet:
    """The critique with its form changed in these places."""
    text = to_text(sheet or critique())
    for old, new in changes:
        assert text.count(old) == 1, (old, text)
        text = text.replace(old, new)
    return corrected(text, sheet or critique(), NOW)


def get(sheet: Sheet, note_id: str) -> Note:
    return corrections.note_of(sheet, note_id)


def body(sheet: Sheet) -> str:
    return to_text(sheet).partition("-->\n\n## ")[2]


@settings(deadline=None)
@given(sheets())
def test_a_form_that_nobody_changed_changes_nothing(sheet: Sheet) -> None:
    assert corrected(to_text(sheet), sheet, NOW) is sheet


@settings(deadline=None)
@given(sheets(), st.data())
def test_a_form_reads_the_same_after_it_was_taken_in(sheet: Sheet, data: st.DataObject) -> None:
    wanted = sheet
    for one in corrections.every_note(sheet):
        match data.draw(st.sampled_from(["reword", "relabel", "frames", "tick", "out", "in", "leave"])):
            case "reword":
                wanted = corrections.reword(wanted, one.id, data.draw(plain_words))
            case "relabel":
                wanted = corrections.relabel(wanted, one.id, category="arcs", subject=data.draw(plain_words), doubts=())
            case "frames":
                wanted = corrections.set_frames(wanted, one.id, [(120, 130, data.draw(st.booleans()))])
            case "tick":
                wanted = corrections.tick(wanted, one.id, Done(at=NOW))
            case "out":
                wanted = corrections.leave_out(wanted, one.id)
            case "in":
                wanted = corrections.bring_back(wanted, one.id)
    ids = data.draw(st.permutations([one.id for one in wanted.notes]))
    wanted = corrections.arrange(wanted, {"then": ids[:3], "keep": ids[3:]})
    taken = corrected(f"{first_line(sheet)}\n\n## {body(wanted)}", sheet, NOW)
    assert body(taken) == body(wanted)
    assert corrected(to_text(taken), taken, NOW) is taken


def test_the_form_is_ordinary_markdown() -> None:
    tokens = MarkdownIt("commonmark").parse(to_text(critique()))
    kinds = [token.type for token in tokens if token.level == 0 and not token.type.endswith("close")]
    assert set(kinds) == {"html_block", "heading_open", "bullet_list_open"}
    assert sum(token.type == "list_item_open" and token.level == 1 for token in tokens) == len(critique().notes)


def test_the_head_says_how_corrections_are_written() -> None:
    head = to_text(critique()).partition("-->\n\n## ")[0]
    for word in ("Wren lands", "Reword", "Merge", "Split", "Left out", "about 150"):
        assert word in head
    assert max(map(len, head.splitlines())) <= 100


def test_the_head_may_go_but_for_its_first_line() -> None:
    assert corrected(f"{first_line(critique())}\n## {body(critique())}", critique(), NOW) == critique()


def test_a_reworded_note_is_marked_and_dated() -> None:
    sheet = typed(("n2: Delay the head two frames.", "n2: Let the head come last."))
    assert (get(sheet, "n2").action, get(sheet, "n2").edited) == ("Let the head come last.", True)
    assert sheet.corrected == NOW
    assert [note.id for note in sheet.notes if note.edited] == ["n2"]


def test_a_long_line_may_be_wrapped_by_the_editor() -> None:
    sheet = typed(
        ("n2: Delay the head two frames.", "n2: Let the head come\nlast, and\n    settle."),
        ("  - body: head, chest", "  - body: head,\n    neck"),
    )
    assert get(sheet, "n2").action == "Let the head come last, and settle."
    assert get(sheet, "n2").body == ("head", "neck")


@pytest.mark.parametrize("ends", ["\r\n", "\r"])
def test_other_line_ends_other_bullets_and_a_mark_at_the_start_are_fine(ends: str) -> None:
    text = to_text(critique()).replace("\n- ", "\n* ").replace("  - ", "\t+  ").replace("\n", ends)
    assert corrected(f"\ufeff{text}", critique(), NOW) == critique()


def test_capitals_and_spaces_do_not_matter() -> None:
    sheet = typed(
        ("- [ ] n2: ", "-  [ ]  N2 :  "), ("  - body: head, chest", "  -  BODY :head,Chest"), ("Then", "then")
    )
    assert sheet == critique()


def test_labels_are_changed_added_and_deleted() -> None:
    sheet = typed(
        ("  - category: overlap\n", "  - category: spacing, overlap\n  - who: the lamp, Wren\n  - place: end\n"),
        ("  - body: head, chest\n", "  - asked before: repeated\n"),
        ("  - not sure: unsure of “head”\n", ""),
        ("  - scope: shot\n", ""),
    )
    note = get(sheet, "n2")
    assert (note.category, note.also, note.subject, note.body) == ("spacing", ("overlap",), "the lamp, Wren", ())
    assert (note.place, note.followup, note.doubts) == ("end", "repeated", ())
    assert get(sheet, "n6").scope == "moment"
    assert not note.edited


def test_frames_are_set_as_they_are_said() -> None:
    sheet = typed(("  - frames: 131, about 160", "  - frames: 131, 155-160, about 170"))
    assert [(one.first, one.last, one.source, one.confidence) for one in get(sheet, "n1").frames] == [
        (131, 131, "said", 1.0),
        (155, 160, "by hand", 1.0),
        (170, 170, "by hand", 0.6),
    ]


def test_a_rough_frame_is_made_sure_by_deleting_a_word() -> None:
    sheet = typed(("about 160", "160"))
    assert (get(sheet, "n1").frames[1].source, get(sheet, "n1").frames[1].confidence) == ("by hand", 1.0)


def test_moving_lines_changes_order_and_weight() -> None:
    block = "\n- [ ] n3: Keep the lamp out of the hand.\n  - category: polish\n  - frames: 150\n"
    block += "  - said 1:15: The lamp goes through her hand at 150.\n"
    sheet = typed((block, ""), ("## Do first\n", f"## Do first\n{block}"))
    assert [line[:8] for line in lines_of(sheet)][:3] == ["first n3", "first n1", "first n2"]
    assert sheet.top == ("n3", "n1", "n2")
    assert not get(sheet, "n3").edited


def test_a_note_under_left_out_goes_and_comes_back() -> None:
    line = "- [ ] n4: Keep the pause before the jump.\n"
    text = to_text(critique())
    block = text[text.index(line) : text.index("\n## Plan")]
    gone = typed((block, ""), ("## Left out\n", f"## Left out\n{block}"))
    assert [one.id for one in gone.left_out] == ["n4"]
    assert "n4" not in str(lines_of(gone))
    back = typed((block, ""), ("## Keep\n", f"## Keep\n{block}"), sheet=gone)
    assert lines_of(back) == lines_of(critique())


def test_a_note_is_added_and_tied_to_what_was_said() -> None:
    sheet = typed(
        (
            "## If there is time\n",
            "- [ ] Open the left eye.\n  - category: eyes\n  - said 0:42\n\n## If there is time\n",
        )
    )
    note = get(sheet, "n7")
    assert (note.kind, note.strength, note.category, note.edited) == ("fix", "should", "eyes", True)
    assert (note.moments[0].start, note.moments[0].quote) == (40.0, "Delay the head two frames behind the chest.")


def test_a_plan_needs_no_label() -> None:
    sheet = typed(("## Left out\n", "- Bring the thumbnails.\n\n## Left out\n"))
    assert (get(sheet, "n7").kind, get(sheet, "n7").category) == ("plan", "workflow")


def without(note_id: str) -> tuple[str, str]:
    """The change that deletes a note and the lines under it."""
    text = to_text(critique())
    start = text.index(f"\n- [ ] {note_id}:")
    end = min(place for mark in ("\n- [", "\n## ") if (place := text.find(mark, start + 1)) > 0)
    return text[start:end], ""


def test_two_notes_become_one() -> None:
    sheet = typed(without("n2"), ("- [ ] n1: Plant the feet at 131 and 160.", "- [ ] n1 + n2: Plant it, head last."))
    note = get(sheet, "n1")
    assert (note.action, [each.start for each in note.moments]) == ("Plant it, head last.", [12.0, 40.0, 200.0])
    assert note.body == ("foot", "head", "chest")
    assert "n2" not in str(lines_of(sheet))


def test_lines_typed_under_a_merged_note_are_final() -> None:
    sheet = typed(without("n2"), ("n1: Plant", "n1 + n2: Plant"), ("  - body: foot", "  - body: toes"))
    assert get(sheet, "n1").body == ("toes",)


def test_a_note_is_split_and_the_lines_moved_to_the_second_go_with_it() -> None:
    later = "  - said 3:20: Same slide on the second landing, 160.\n"
    second = f"\n- [ ] from n1: Plant the second landing.\n  - frames: about 160\n{later}"
    sheet = typed(
        (later, ""), ("  - frames: 131, about 160\n", "  - frames: 131\n"), ("\n## Then\n", f"{second}\n## Then\n")
    )
    assert [one.first for one in get(sheet, "n1").frames] == [131]
    assert [one.first for one in get(sheet, "n7").frames] == [160]
    assert [each.start for each in get(sheet, "n1").moments] == [12.0]
    assert [each.start for each in get(sheet, "n7").moments] == [200.0]
    assert (get(sheet, "n7").subject, get(sheet, "n7").body) == ("Wren", ("foot",))


def test_a_split_with_no_lines_moved_leaves_the_words_with_both() -> None:
    sheet = typed(("\n## Then\n", "- [ ] from n1: Let the toes lag.\n\n## Then\n"))
    assert get(sheet, "n7").moments == get(sheet, "n1").moments


def test_words_said_that_are_deleted_are_left_out_not_lost() -> None:
    sheet = typed(("  - said 3:20: Same slide on the second landing, 160.\n", ""))
    assert [each.start for each in get(sheet, "n1").moments] == [12.0]
    assert [each.start for one in sheet.left_out for each in one.moments] == [200.0]


def test_a_misheard_word_is_put_right_in_what_was_said() -> None:
    sheet = typed(("said 1:15: The lamp goes through her hand at 150.", "said 1:15: The lump goes through her hand."))
    assert get(sheet, "n3").moments[0].quote == "The lump goes through her hand."
    assert get(sheet, "n3").moments[0].end == 80.0


def test_words_said_are_moved_to_another_note() -> None:
    line = "  - said 1:15: The lamp goes through her hand at 150.\n"
    sheet = typed((line, ""), ("  - said 0:40", f"{line}  - said 0:40"))
    assert [each.start for each in get(sheet, "n2").moments] == [40.0, 75.0]
    assert get(sheet, "n3").moments == ()
    assert not sheet.left_out


def test_ticks_are_kept_set_and_taken_away() -> None:
    done = Done(at="2026-02-01T09:00:00Z", comment="Moved to 128.")
    ticked = corrections.tick(critique(), "n1", done)
    reworded = typed(("- [x] n1: Plant the feet at 131 and 160.", "- [x] n1: Plant it."), sheet=ticked)
    assert get(reworded, "n1").done == done
    assert get(typed(("- [x] n1", "- [ ] n1"), sheet=ticked), "n1").done is None
    assert get(typed(("- [ ] n2", "- [X] n2")), "n2").done == Done(at=NOW)


def test_the_same_form_always_gives_the_same_sheet() -> None:
    text = to_text(critique()).replace("Plant the feet", "Plant both feet")
    assert corrected(text, critique(), NOW) == corrected(text, critique(), NOW)


@st.composite
def retyped(draw: st.DrawFn) -> tuple[Sheet, str, list[str]]:
    """A sheet, its form with notes moved, merged, split off, added and words taken off, and the order as typed."""
    sheet = draw(sheets().filter(lambda one: all(each.action.strip() for each in one.notes)))
    blocks = {one.id: block for one, block in zip(corrections.every_note(sheet), _blocks(sheet), strict=True)}
    ids = draw(st.permutations(list(blocks)))
    into = ids[0] if len(ids) > 2 and draw(st.booleans()) else None
    pieces = []
    for note_id in ids:
        block = [line for line in blocks[note_id] if "- said" not in line or draw(st.booleans())]
        if note_id == into:
            block[0] = block[0].replace(f"{into}:", f"{into} + {ids[1]}:", 1)
        if into is None or note_id != ids[1]:
            pieces.append("\n".join(block))
    if ids and draw(st.booleans()):
        pieces.append(f"- [ ] from {ids[-1]}: Let the toes lag.")
    if draw(st.booleans()):
        pieces.append("- [ ] Open the left eye.\n  - category: eyes")
    headings = ("Then", "If there is time", "Keep", "Plan", "Left out")
    where = [draw(st.sampled_from(headings[: 5 if ":" in piece.split("\n")[0] else 4])) for piece in pieces]
    where = ["Then" if "from" in piece[:12] else place for piece, place in zip(pieces, where, strict=True)]
    order = [(place, piece) for head in headings for place, piece in zip(where, pieces, strict=True) if place == head]
    text = "\n".join(f"\n## {head}\n" + "\n".join(p for place, p in order if place == head) for head in headings)
    return (
        sheet,
        f"{first_line(sheet)}\n{text}\n",
        [piece.split("\n")[0] for place, piece in order if place != "Left out"],
    )


def _blocks(sheet: Sheet) -> list[list[str]]:
    """The lines of each note, in the order of `every_note`."""
    found = {}
    for block in f"\n{body(sheet)}".split("\n\n- [")[1:]:
        lines = f"- [{block}".split("\n\n##")[0].rstrip("\n").split("\n")
        found[lines[0].split("] ", 1)[1].split(":")[0]] = lines
    return [found[one.id] for one in corrections.every_note(sheet)]


@settings(deadline=None)
@given(retyped())
def test_however_a_form_is_rearranged_the_sheet_stands_as_typed_and_nothing_said_is_lost(
    case: tuple[Sheet, str, list[str]],
) -> None:
    sheet, text, wanted = case
    taken = corrected(text, sheet, NOW)
    assert corrected(to_text(taken), taken, NOW) is taken
    held, before = (
        {(each.start, each.end) for one in corrections.every_note(some) for each in one.moments}
        for some in (taken, sheet)
    )
    assert held == before
    notes = [get(taken, note_id) for ids in corrections.order(taken).values() for note_id in ids]
    assert len(notes) == len(wanted)
    for one, line in zip(notes, wanted, strict=True):
        assert line.endswith(one.action.strip()) or " ".join(one.action.split()) in line or not one.edited
    assert Sheet.model_validate(taken.model_dump(by_alias=True)) == taken
