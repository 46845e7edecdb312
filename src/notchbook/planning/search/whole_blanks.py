"""Blanks with all their strips and pieces, chosen together: for boards with next to no waste.

A strip cannot be chosen there in fractions apart from its blank, so that the program, where few
blanks waste little enough, comes to whole ones almost by itself.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from notchbook.planning.model.budget import Budget
from notchbook.planning.search.blank_list import Listed
from notchbook.planning.search.integer import Effort, IntegerProgram
from notchbook.planning.search.recombine import Seat
from notchbook.planning.search.wood import BlankCut, BoardCut, Wood


class WholeBlanks:
    """One program over the blanks listed for each wood, and the seats they are laid on."""

    def __init__(
        self,
        woods: Sequence[Wood],
        lists: Sequence[Sequence[Listed]],
        need: Sequence[int],
        seats: Sequence[Seat],
        most_cost: int,
    ) -> None:
        self.woods, self.seats = woods, seats
        self._program = IntegerProgram()
        self._blanks = [self._blank_columns(listed, need) for listed in lists]
        self._demand_rows(need)
        self._laid = self._seat_rows(most_cost)
        self._room_rows()

    def choose(self, effort: Effort, budget: Budget) -> list[tuple[Seat, BoardCut]] | None:
        """Choose blanks for the demand and boards for them; None where none were found."""
        found = self._program.solve(effort, budget)
        return None if found is None else self._boards(found)

    def _blank_columns(self, listed: Sequence[Listed], need: Sequence[int]) -> dict[int, Listed]:
        return {
            self._program.column(0.0, max(-(-need[i] // n) for i, n in each.pieces.items())): each
            for each in listed
        }

    def _demand_rows(self, need: Sequence[int]) -> None:
        making: dict[int, dict[int, int]] = {i: {} for i, n in enumerate(need) if n}
        for columns in self._blanks:
            for column, listed in columns.items():
                for i, n in listed.pieces.items():
                    making[i][column] = n
        for i, terms in making.items():
            self._program.row(need[i], need[i], terms)

    def _seat_rows(self, most_cost: int) -> list[Mapping[int, int]]:
        """For each seat the column of every room of a blank; boards alike are used in turn."""
        laid: list[Mapping[int, int]] = []
        used: list[int] = []
        bought: dict[int, int] = {}
        for number, seat in enumerate(self.seats):
            board = self.woods[seat.wood].room[seat.board]
            rooms = [room for room in self._rooms(seat.wood) if room <= board]
            used.append(self._program.column(seat.cost, 1))
            laid.append({room: self._program.column(0.0, board // room) for room in rooms})
            terms = {column: room for room, column in laid[-1].items()}
            self._program.row(None, 0, {used[-1]: -board, **terms})
            if number and self.seats[number - 1] == seat:
                self._program.row(0, None, {used[-2]: 1, used[-1]: -1})
            if not seat.from_hand:
                bought[used[-1]] = self.woods[0].grid.boards[seat.board].price
        self._program.row(None, most_cost, bought)
        return laid

    def _rooms(self, wood: int) -> list[int]:
        return sorted({listed.blank.room for listed in self._blanks[wood].values()})

    def _room_rows(self) -> None:
        """Every blank chosen has a place of its room."""
        for wood, columns in enumerate(self._blanks):
            rows: dict[int, dict[int, int]] = {room: {} for room in self._rooms(wood)}
            for seat, places in zip(self.seats, self._laid, strict=True):
                for room, column in places.items() if seat.wood == wood else ():
                    rows[room][column] = 1
            for column, listed in columns.items():
                rows[listed.blank.room][column] = -1
            for terms in rows.values():
                self._program.row(0, None, terms)

    def _boards(self, found: Sequence[int]) -> list[tuple[Seat, BoardCut]]:
        waiting: list[dict[int, list[BlankCut]]] = []
        for columns in self._blanks:
            of_room: dict[int, list[BlankCut]] = {}
            for column, listed in columns.items():
                of_room.setdefault(listed.blank.room, []).extend([listed.blank] * found[column])
            waiting.append(of_room)
        made = []
        for seat, places in zip(self.seats, self._laid, strict=True):
            blanks: list[BlankCut] = []
            for room, column in places.items():
                there = waiting[seat.wood][room]
                blanks += [there.pop() for _ in range(min(found[column], len(there)))]
            if blanks:
                made.append((seat, self.woods[seat.wood].board_cut(blanks)))
        return made
