"""Parts of a list or mapping that has a line for each: they come and go with their lines."""

from __future__ import annotations

from collections.abc import Iterator

from ruamel.yaml.nodes import CollectionNode, SequenceNode

from notchbook.definitions.editing.changes import Edit, TextChanges
from notchbook.definitions.editing.node_places import NodePart, NodePlaces


class BlockEdits:
    """The edits of one list or mapping."""

    def __init__(self, places: NodePlaces, newline: str, node: CollectionNode) -> None:
        self.places, self.column = places, int(node.start_mark.column)
        self.parts = places.parts(node)
        self.dash = "- " if isinstance(node, SequenceNode) else ""
        self.between = newline + " " * self.column

    def edits(self, changes: TextChanges) -> Iterator[Edit]:
        """Parts that go and new ones; those that stay keep every letter."""
        kept = [n for n in range(len(self.parts)) if n not in changes.gone]
        if not kept:
            yield from self._anew([each for each in self._order(changes) if isinstance(each, str)])
            return
        at = None
        for each in self._order(changes):
            if isinstance(each, str):
                yield self._new(each, at, self.parts[kept[0]])
            elif each in changes.gone:
                yield self._without(each, kept[0])
            else:
                at = self.parts[each].end

    def _order(self, changes: TextChanges) -> Iterator[int | str]:
        indent = "\n" + " " * self.column
        for each in changes.in_order(len(self.parts)):
            yield each if isinstance(each, int) else self.dash + each.replace("\n", indent)

    def _new(self, text: str, at: int | None, first: NodePart) -> Edit:
        """A part behind the last one that stays, or before the first that does."""
        if at is None:
            return first.start, first.start, text + self.between
        at = self.places.under(at, self.column)
        return at, at, self.between + text

    def _without(self, number: int, first_kept: int) -> Edit:
        part = self.parts[number]
        if number < first_kept and self._shares_a_line():
            # the dash before the first part stays, and what comes next moves up to it
            end = self.places.under(part.end, self.column)
            rest = self.places.text[end:]
            return part.start, end + len(rest) - len(rest.lstrip()), ""
        return self._lines(part)

    def _anew(self, texts: list[str]) -> Iterator[Edit]:
        """New parts, if there are any, in the place of all old ones."""
        for number, part in enumerate(self.parts):
            if number == 0 and texts:
                end = self.places.under(part.end, self.column)
                yield part.start, end, self.between.join(texts)
            else:
                yield self._lines(part)

    def _lines(self, part: NodePart) -> Edit:
        end = self.places.next_line(self.places.under(part.end, self.column))
        return self.places.line_start(part.start), end, ""

    def _shares_a_line(self) -> bool:
        """The first part stands behind something, such as the dash of an entry."""
        start = self.parts[0].start
        return bool(self.places.text[self.places.line_start(start) : start].strip())
