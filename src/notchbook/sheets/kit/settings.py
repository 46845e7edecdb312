"""How rules name the single values of the shop, and what is worked out from them alone."""

from __future__ import annotations

from notchbook.language import expressions as x


class _Setting:
    """The Settings sheet: `setting.kerf` is its line, `setting(name)` the one a variable names."""

    def __getattr__(self, name: str) -> x.Line:
        if name.startswith("__"):  # what Python asks of every object
            raise AttributeError(name)
        return x.Line("Settings", name)

    def __call__(self, name: str) -> x.Line:
        return x.Line("Settings", name)


setting = _Setting()
"""The single values of the Settings sheet."""


YEAR_START, YEAR_END = setting.year_start, setting.year_end


def in_year(column: str = "date") -> tuple[x.Where, x.Where]:
    """The conditions that a date falls in the shop's year."""
    return x.where(column, ">=", YEAR_START), x.where(column, "<=", YEAR_END)


def to_money(value: x.Expression) -> x.Expression:
    """Rounded to the smallest amount of the currency, half away from zero."""
    return x.rounded(value / setting.smallest, 0) * setting.smallest


def money_words(value: x.Expression) -> x.Expression:
    """An amount as a sentence writes it, in the currency's decimals: whole part, point, digits."""
    amount = x.rounded(x.call("ABS", value) / setting.smallest, 0)
    a_whole = x.rounded(x.as_node(1) / setting.smallest, 0)
    with_one_before = x.join(x.rounded(a_whole + x.call("MOD", amount, a_whole), 0))
    digits = x.call("RIGHT", with_one_before, x.call("LEN", with_one_before) - 1)
    return x.join(
        x.when((value < 0) & (amount > 0), "-", ""),
        x.rounded(x.call("INT", amount / a_whole), 0),
        x.when(a_whole > 1, x.join(".", digits), ""),
    )


def labor_for(minutes: x.Expression) -> x.Expression:
    """What so many minutes of work cost."""
    return minutes / x.Unit("hour") * setting.labor_rate


def overhead_for(minutes: x.Expression) -> x.Expression:
    """What so many minutes at the bench cost besides labor."""
    return minutes / x.Unit("hour") * setting.overhead_rate
