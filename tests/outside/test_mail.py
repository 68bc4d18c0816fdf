"""The text for a mail, sent and received by Python's own mail library (RFC 5322 and RFC 2045 to 2049)."""

import unicodedata
from email import message_from_bytes
from email.message import EmailMessage
from email.policy import SMTP

from hostile_sheet import HOSTILE, hostile_sheet

from critsheet.render.mail import COLUMNS, to_mail
from critsheet.render.words import cautions, plain


def joined(text: str) -> str:
    return "".join(text.split())


def test_the_text_arrives_as_it_was_sent() -> None:
    text = to_mail(hostile_sheet())
    message = EmailMessage(policy=SMTP)
    message["Subject"] = "Notes"
    message.set_content(text)
    received = message_from_bytes(message.as_bytes(), policy=SMTP)
    assert received.get_content_type() == "text/plain"
    assert received.get_content().replace("\r\n", "\n") == text
    assert not received.defects


def test_lines_leave_room_to_be_quoted_in_a_reply() -> None:
    """RFC 5322, section 2.1.1: lines should be no longer than 78 characters, and must be no longer than 998."""
    lines = to_mail(hostile_sheet()).splitlines()
    assert max(map(columns, lines)) <= COLUMNS <= 78 - len("> ") * 3
    assert max(len(line.encode()) for line in lines) <= 998


def columns(line: str) -> int:
    """Letters that take room; marks above others and joiners do not."""
    return sum(unicodedata.category(letter) not in ("Mn", "Me", "Cf") for letter in line)


def test_no_line_is_taken_for_the_start_of_a_signature() -> None:
    """RFC 3676, section 4.3: two dashes and a space; no line ends in a space."""
    lines = to_mail(hostile_sheet()).splitlines()
    assert lines == [line.rstrip() for line in lines]


def test_every_action_is_in_it_letter_by_letter() -> None:
    text = joined(to_mail(hostile_sheet()))
    assert all(joined(plain(action)) in text for action in HOSTILE)
    assert all(joined(caution) in text for caution in cautions())
