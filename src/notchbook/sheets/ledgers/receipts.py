"""The lines of a receipt: which comes first, which stands twice, what a return belongs to.

Each is an exact look-up in the ledger itself, so that no row is compared with every other.
"""

from __future__ import annotations

from notchbook.language import expressions as x
from notchbook.language.expressions import this, when

BACK = this.kind.equals("return")


def _of_receipt(column: str, otherwise: x.Operand, receipt: x.Expression) -> x.Expression:
    """From the first row of a receipt."""
    return x.look_up("Sales ledger", column, receipt=receipt, otherwise=otherwise)


def _pieces(receipt_column: str, *kinds_out: str) -> x.Expression:
    """Pieces of this row's project on a receipt, without the rows of some kinds."""
    return x.total(
        "Sales ledger",
        "quantity",
        x.where(receipt_column, "=", this.return_of),
        x.where("project", "=", this.project),
        *(x.where("kind", "<>", kind) for kind in kinds_out),
    )


LINE_KEY = x.join(this.receipt, "/", this.project, "/", this.tier, "/", this.kind.or_else("sale"))
FIRST_OF_RECEIPT = when(_of_receipt("number", 0, this.receipt).equals(this.number), 1, 0)
TWICE = x.look_up("Sales ledger", "number", line_key=this.line_key).differs(this.number)
DEPOSIT_BACK = when(
    BACK & _of_receipt("kind", "", this.return_of).equals("deposit"), this.quantity, 0
)
_SOLD_ON_IT = _pieces("receipt", "return", "deposit", "own use")
_GIVEN_BACK = _pieces("return_of", "sale", "deposit", "own use")
NO_RECEIPT = BACK & x.blank(this.return_of)
NO_SUCH_RECEIPT = (
    BACK & ~x.blank(this.return_of) & _of_receipt("receipt", "", this.return_of).equals("")
)
BEFORE_SALE = BACK & (_of_receipt("date", 0, this.return_of) > this.date)
NOT_SO_SOLD = (
    BACK
    & _of_receipt("receipt", "", this.return_of).differs("")
    & this.deposit_back.equals(0)
    & (_SOLD_ON_IT + _GIVEN_BACK < 0)
)
