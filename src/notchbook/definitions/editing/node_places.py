"""Where the nodes of a YAML text stand in it."""

from __future__ import annotations

from dataclasses import dataclass

from ruamel.yaml.nodes import CollectionNode, MappingNode, Node


@dataclass(frozen=True)
class NodePart:
    """A key with its value or an entry of a list, with its dash where it has one."""

    start: int
    behind: int  # the key and its colon, or the dash
    end: int
    value: Node


class NodePlaces:
    """Where parts and lines begin and end."""

    def __init__(self, text: str) -> None:
        self.text = text

    def parts(self, node: CollectionNode) -> list[NodePart]:
        """The parts of a list or mapping, in their order."""
        if isinstance(node, MappingNode):
            return [self._key(name, value) for name, value in node.value]
        if node.flow_style:
            return [self._part(at := each.start_mark.index, at, each) for each in node.value]
        found: list[NodePart] = []
        dash = node.start_mark.index
        for each in node.value:
            if found:
                dash = self._dash(found[-1].end, node.start_mark.column)
            found.append(self._part(dash, dash + 1, each))
        return found

    def end(self, node: Node) -> int:
        """Behind the last sign of a node; what YAML counts to it up to the next one is not."""
        start, end = int(node.start_mark.index), int(node.end_mark.index)
        if isinstance(node, CollectionNode):
            return end if node.flow_style else self.parts(node)[-1].end
        whole = self.text[start:end]
        if whole[:1] not in ("|", ">"):
            return end
        keeps = "+" in whole.partition("\n")[0].partition("#")[0]  # its blank lines
        return start + len(whole.removesuffix("\n") if keeps else whole.rstrip())

    def line_start(self, at: int) -> int:
        """The beginning of the line."""
        return self.text.rfind("\n", 0, at) + 1

    def line_end(self, at: int) -> int:
        """The end of the line, before the signs that end it."""
        end = self.text.find("\n", at)
        if end < 0:
            return len(self.text)
        return end - 1 if self.text[end - 1] == "\r" and end > at else end

    def next_line(self, at: int) -> int:
        """The beginning of the next line."""
        end = self.text.find("\n", at)
        return len(self.text) if end < 0 else end + 1

    def under(self, at: int, column: int) -> int:
        """The end of the line and of the comments below that are indented by more than `column`.

        They belong to what they stand under.
        """
        end = self.line_end(at)
        while (begin := self.next_line(end)) < len(self.text):
            line = self.text[begin : self.line_end(begin)]
            if not line.lstrip(" ").startswith("#") or line.index("#") <= column:
                break
            end = self.line_end(begin)
        return end

    def _key(self, name: Node, value: Node) -> NodePart:
        behind = int(name.end_mark.index)
        colon = self.text.find(":", behind, value.start_mark.index)
        return self._part(name.start_mark.index, behind if colon < 0 else colon + 1, value)

    def _part(self, start: int, behind: int, value: Node) -> NodePart:
        """A part; where it has no value, YAML places that at whatever comes next."""
        blank = value.start_mark.index == value.end_mark.index
        return NodePart(start, behind, behind if blank else self.end(value), value)

    def _dash(self, at: int, column: int) -> int:
        """The next dash of a list, looked for by its column, as comments may hold others."""
        while (begin := self.next_line(at)) < len(self.text):
            line = self.text[begin : self.line_end(begin)]
            if line.lstrip(" ").startswith("-") and line.index("-") == column:
                return begin + column
            at = begin
        raise ValueError("a list of the file has no dash where YAML finds an entry")
