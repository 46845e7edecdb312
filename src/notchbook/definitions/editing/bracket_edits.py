"""Parts of a list or mapping within brackets: they come and go with their commas."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from notchbook.definitions.editing.changes import TextChanges
from notchbook.definitions.editing.node_places import NodePart

_COMMA = re.compile(r"((?:[ \t\r\n]|#[^\n]*\n)*),([ \t]*#[^\r\n]*)?")
_COMMENT = re.compile(r"[ \t]*#[^\r\n]*")


@dataclass(frozen=True)
class _Piece:
    """A part with what stands before it, before its comma, and the comment behind it."""

    lead: str
    body: str
    before: str = ""
    comment: str = ""


class BracketEdits:
    """What stands between the brackets of one list or mapping, from `start` to `stop`."""

    def __init__(
        self, text: str, newline: str, start: int, stop: int, parts: Sequence[NodePart]
    ) -> None:
        self.text, self.newline = text, newline
        self.count = len(parts)
        self.comma = False  # behind the last part
        self.pieces: list[_Piece] = []
        at = start
        for number, part in enumerate(parts):
            following = parts[number + 1].start if number + 1 < len(parts) else stop
            at = self._read(at, part, text[part.end : following])
        self.close = text[at:stop]
        if not parts:  # a comment in empty brackets
            self.lead, self.close = (self.close, "") if "#" in self.close else ("", "")
            return
        self.lead = self.pieces[0].lead

    def inside(self, changes: TextChanges, bodies: Mapping[int, str]) -> str:
        """The new text between the brackets; `bodies` are the parts that stay."""
        between = self._between()
        found: list[_Piece] = []
        waiting: str | None = self.lead  # what stood before parts that went
        shared = False  # the line of the part that went holds one that stays
        for each in changes.in_order(self.count):
            if isinstance(each, str):
                found.append(_Piece(between if waiting is None else waiting, each))
                waiting, shared = None, False
                continue
            piece = self.pieces[each]
            lead = between if each == 0 else piece.lead
            if each in changes.gone:
                shared = shared and "\n" not in (lead if each else "") + piece.body
                if shared and piece.comment:
                    found[-1] = replace(found[-1], comment=found[-1].comment + piece.comment)
                waiting = _joined(waiting, lead, bool(found))
                continue
            lead = _joined(waiting, lead, bool(found))
            found.append(replace(piece, lead=lead, body=bodies[each]))
            waiting, shared = None, True
        return self._written(found, waiting or "")

    def _read(self, at: int, part: NodePart, gap: str) -> int:
        """Takes a part in, and gives where what belongs to it ends."""
        lead, body = self.text[at : part.start], self.text[part.start : part.end]
        comma = _COMMA.match(gap)
        self.comma = comma is not None
        if comma is not None:
            self.pieces.append(_Piece(lead, body, comma[1], comma[2] or ""))
            return part.end + comma.end()
        comment = _COMMENT.match(gap)
        self.pieces.append(_Piece(lead, body, "", comment[0] if comment else ""))
        return part.end + (comment.end() if comment else 0)

    def _between(self) -> str:
        """What stands before a new part: a new line where each part has one."""
        leads = [each.lead for each in self.pieces]
        if not leads or any("\n" not in lead for lead in leads):
            return " "
        return self._line(leads[-1])

    def _line(self, lead: str) -> str:
        """The end of a line and the indent that a lead has."""
        return self.newline + " " * len(lead[lead.rfind("\n") + 1 :])

    def _written(self, pieces: list[_Piece], waiting: str) -> str:
        text, open_comment = "", False
        for number, each in enumerate(pieces):
            lead = each.lead
            if open_comment and "\n" not in lead:
                lead = self.newline + " " + lead.lstrip()
            comma = number < len(pieces) - 1 or self.comma
            before = each.before if comma or "#" in each.before else ""
            text += lead + each.body + before + ("," if comma else "") + each.comment
            open_comment = bool(each.comment)
        if "#" in waiting:  # comments on lines of their own stay
            text += waiting.rstrip()
            open_comment = True
        return text + ("" if "\n" in self.close or not open_comment else self.newline) + self.close


def _joined(first: str | None, second: str, behind_another: bool) -> str:
    """What stands before a part after what `first` stood before went; no comment is lost."""
    if first is None:
        return second
    if "#" not in second:
        own_line = behind_another and "\n" in second and "\n" not in first
        return second if own_line else first
    return first.rstrip() + second if "#" in first else second
