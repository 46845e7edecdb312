"""Plans of earlier runs of the tests, so that only tests of the planner plan what takes long.

They stand in `plans_at_hand.txt`, each under the fingerprint of its job and of the planner's
`METHOD`, as in a workbook. One that is not there is planned as ever, so nothing fails where they
are old; `test_plans_at_hand.py` says so. `pytest -n 0 --renew-plans` writes the file anew.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from notchbook.planning.model.problem import Job
from notchbook.planning.whole_shop import WholeShop
from notchbook.shop.kept_plans import KeptPlans, ProjectPlans

FILE = Path(__file__).with_name("plans_at_hand.txt")


def read_plans() -> KeptPlans:
    """The plans of the file."""
    return KeptPlans(FILE.read_text(encoding="ascii").strip())


class PlansAtHand(KeptPlans):
    """Plans that a workbook kept, and those at hand where it kept none."""

    at_hand = read_plans()

    def find_project(self, job: Job, units: int, highest: int, name: str) -> ProjectPlans | None:
        """The plans of a project."""
        found = super().find_project(job, units, highest, name)
        if found is None:
            found = self.at_hand.find_project(job, units, highest, name)
            if found is not None:
                super().keep_project(job, units, highest, name, found)
        return found

    def keep_project(
        self, job: Job, units: int, highest: int, name: str, its: ProjectPlans
    ) -> None:
        """Keeps the plans of a project, for the file too."""
        super().keep_project(job, units, highest, name, its)
        self.at_hand.keep_project(job, units, highest, name, its)

    def find_together(
        self, jobs: Mapping[str, Job], batches: Mapping[str, int]
    ) -> WholeShop | None:
        """The plan of all projects in one."""
        found = super().find_together(jobs, batches)
        if found is None:
            found = self.at_hand.find_together(jobs, batches)
            if found is not None:
                super().keep_together(jobs, batches, found)
        return found

    def keep_together(
        self, jobs: Mapping[str, Job], batches: Mapping[str, int], found: WholeShop
    ) -> None:
        """Keeps the plan of all projects, for the file too."""
        super().keep_together(jobs, batches, found)
        self.at_hand.keep_together(jobs, batches, found)


def write_plans_used() -> None:
    """Put into the file the plans that were used or made since the start of the tests."""
    FILE.write_text(PlansAtHand.at_hand.text() + "\n", encoding="ascii")
