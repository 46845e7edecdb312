"""Plans kept from one compile to the next, each under a fingerprint of what it was made for."""

from __future__ import annotations

import base64
import binascii
import hashlib
import json
import zlib
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TypeVar

from pydantic import TypeAdapter, ValidationError

from notchbook.planning import METHOD
from notchbook.planning.from_boards import Number
from notchbook.planning.model.leeway import NearMiss
from notchbook.planning.model.plan import Plan
from notchbook.planning.model.problem import Job
from notchbook.planning.whole_shop import WholeShop, join_jobs
from notchbook.planning.yields import YieldRow

_MOST = 200_000_000  # letters that kept plans may unpack to; a thousand projects need a tenth
T = TypeVar("T", "ProjectPlans", WholeShop, Plan)


@dataclass(frozen=True, slots=True)
class ProjectPlans:
    """A project's batch cut, what 1, 2, 3 ... units take, and how many come out of one board.

    `from_one` tells them by stock, `near` what a little less wood in a part would save. Plans kept
    before these were looked for have none.
    """

    batch: Plan
    rows: tuple[YieldRow, ...]
    from_one: Mapping[str, Number] | None = None
    near: tuple[NearMiss, ...] | None = None


_PROJECT = TypeAdapter(ProjectPlans)
_TOGETHER = TypeAdapter(WholeShop)
_CUT = TypeAdapter(Plan)


class KeptPlans:
    """Plans that were kept, and those that are to be kept from now on.

    A plan is only found again for the very same parts, boards, prices and saw, planned by the same
    method. What cannot be read, or does not make what is asked, is taken for not there.
    """

    def __init__(self, text: str = "") -> None:
        self._old = _unpacked(text)
        self._now: dict[str, str] = {}

    def text(self) -> str:
        """Return what was used or added, as the next compile takes it."""
        if not self._now:
            return ""
        packed = zlib.compress(json.dumps(self._now, sort_keys=True).encode("ascii"), 9)
        return base64.b64encode(packed).decode("ascii")

    def find_project(self, job: Job, units: int, highest: int, name: str) -> ProjectPlans | None:
        """Find the plans of a project, its rows up to `highest` units."""
        key = _key("project", job, units, highest, name)
        found = self._found(key, _PROJECT)
        if found is None or len(found.rows) != (highest if job.parts else 0):
            return None
        return self._used(key, found, _PROJECT, _makes(found.batch, job, units))

    def keep_project(
        self, job: Job, units: int, highest: int, name: str, its: ProjectPlans
    ) -> None:
        """Keep the plans of a project."""
        self._now[_key("project", job, units, highest, name)] = _written(its, _PROJECT)

    def find_together(
        self, jobs: Mapping[str, Job], batches: Mapping[str, int]
    ) -> WholeShop | None:
        """Find the plan of all projects in one."""
        key = _key("together", dict(jobs), [batches[name] for name in jobs])
        found = self._found(key, _TOGETHER)
        if found is None:
            return None
        return self._used(key, found, _TOGETHER, _makes(found.plan, join_jobs(jobs, batches), 1))

    def keep_together(
        self, jobs: Mapping[str, Job], batches: Mapping[str, int], found: WholeShop
    ) -> None:
        """Keep the plan of all projects."""
        key = _key("together", dict(jobs), [batches[name] for name in jobs])
        self._now[key] = _written(found, _TOGETHER)

    def find_cut(self, job: Job, units: int, name: str) -> Plan | None:
        """Find the plan of so many units alone."""
        key = _key("cut", job, units, name)
        found = self._found(key, _CUT)
        return None if found is None else self._used(key, found, _CUT, _makes(found, job, units))

    def keep_cut(self, job: Job, units: int, name: str, found: Plan) -> None:
        """Keep the plan of so many units; what the clock cut off is not kept."""
        if not found.out_of_time:
            self._now[_key("cut", job, units, name)] = _written(found, _CUT)

    def _found(self, key: str, kind: TypeAdapter[T]) -> T | None:
        text = self._old.get(key)
        if text is None:
            return None
        try:
            return kind.validate_json(text)
        except (ValidationError, ZeroDivisionError):
            return None

    def _used(self, key: str, found: T, kind: TypeAdapter[T], right: bool) -> T | None:
        if not right:
            return None
        self._now[key] = _written(found, kind)
        return found


def _written(found: T, kind: TypeAdapter[T]) -> str:
    return kind.dump_json(found).decode("utf-8")


def _key(*inputs: object) -> str:
    """Numbers in it are whole or exact fractions, so equal inputs are written alike."""
    return hashlib.sha256(repr((METHOD, *inputs)).encode()).hexdigest()[:32]


def _makes(plan: Plan, job: Job, units: int) -> bool:
    """Tell whether a plan makes what is asked, save what it tells as short."""
    made = plan.count_made()
    for short in plan.short:
        made[short.project, short.part] += short.count
    wanted: Counter[tuple[str, str]] = Counter()
    for part in job.parts:
        wanted[part.project, part.part] += units * part.make
    return +made == +wanted


def _unpacked(text: str) -> dict[str, str]:
    try:
        unpacker = zlib.decompressobj()
        plain = unpacker.decompress(base64.b64decode(text, validate=True), _MOST)
        found = json.loads(plain) if unpacker.eof else {}
    except (ValueError, binascii.Error, zlib.error):
        return {}
    if not isinstance(found, dict):
        return {}
    return {key: each for key, each in found.items() if isinstance(each, str)}
