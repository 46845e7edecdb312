"""A project's file: one project, or one for each of its variants."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from notchbook.base.problems import SourceFile, nearest, quoted
from notchbook.definitions.reading.entries import Entries, Entry, Scalar
from notchbook.definitions.reading.known import Known
from notchbook.definitions.reading.lists import read_lists, rows_of
from notchbook.definitions.reading.places import Found, attempt, read_place, single
from notchbook.definitions.reading.scalars import Scope
from notchbook.definitions.reading.uses import read_tool_uses, read_uses
from notchbook.definitions.syntax.keys import Key
from notchbook.measure import resolve_sizes
from notchbook.sheets.kit.written import PROJECT, Reads
from notchbook.sheets.making.pricing_tiers import PriceRow
from notchbook.sheets.making.projects import ProjectRow

_ASKED = Key("asked", Reads.MONEY, "the price asked at a tier", "32.00")
MOST_SIZES = 500


@dataclass(frozen=True)
class _Instance:
    """The project itself or a variant: its name, where that stands, its sizes as written."""

    name: str
    line: int
    sizes: Mapping[str, Entry]


def read_project(source: SourceFile, entries: Entries, known: Known) -> None:
    """Make rows of a project or its variants."""
    for instance in _instances(source, entries, known):
        scope = _scope(source, instance.sizes, known)
        found = read_place(source, entries, "project", scope)
        if found is None:
            continue
        if instance.name:
            _read_instance(found, instance, known)
        else:
            known.gathered.open.add("Projects")


def _instances(source: SourceFile, entries: Entries, known: Known) -> Iterator[_Instance]:
    named = entries.values.get("project")
    name = named.value.text.strip() if named and isinstance(named.value, Scalar) else ""
    line = named.line if named else entries.line
    sizes = _inside(entries, "sizes")
    variants = entries.values.get("variants")
    if variants is None:
        yield _Instance(name, line, sizes)
        return
    if not isinstance(variants.value, Entries) or not variants.value.values:
        source.report(variants.line, "variants: names are wanted; write as in {small: {long: 16}}")
        known.gathered.open.add("Projects")
        return
    for variant, entry in variants.value.values.items():
        own = _own_sizes(source, variant, entry, sizes)
        full = f"{name} {variant.strip()}" if name else ""
        yield _Instance(full, entry.line, {**sizes, **own})


def _inside(entries: Entries, key: str) -> Mapping[str, Entry]:
    entry = entries.values.get(key)
    return entry.value.values if entry is not None and isinstance(entry.value, Entries) else {}


def _own_sizes(
    source: SourceFile, variant: str, entry: Entry, sizes: Mapping[str, Entry]
) -> Mapping[str, Entry]:
    """A variant's sizes; only those that the project names can be replaced."""
    if not variant.strip():
        source.report(entry.line, "variants: a name is empty; write a word such as small")
    if not isinstance(entry.value, Entries):
        source.report(
            entry.line,
            f"variants: {quoted(variant)} holds no sizes; write them as in {{small: {{long: 16}}}}",
        )
        return {}
    for name, own in entry.value.values.items():
        if name not in sizes:
            source.report(
                own.line,
                f"variants: {quoted(name)} is not in sizes{nearest(name, sizes)}; "
                "write one that is, or add it there",
            )
    return entry.value.values


def _scope(source: SourceFile, sizes: Mapping[str, Entry], known: Known) -> Scope:
    """The sizes worked out; those that cannot be are reported and remembered as broken."""
    if len(sizes) > MOST_SIZES:
        line = next(iter(sizes.values())).line
        source.report(line, f"sizes: there are {len(sizes)} names; write at most {MOST_SIZES}")
        return Scope(known.units, {}, frozenset(sizes), has_sizes=True)
    written = {name: _written(entry) for name, entry in sizes.items()}
    found, errors = resolve_sizes(written, known.units)
    for name, message in errors.items():
        source.report(sizes[name].line, f"sizes: {name}: {message}")
    return Scope(known.units, found, frozenset(errors), has_sizes=True)


def _written(entry: Entry) -> str:
    """The text of a size; a list or nothing at all is as good as an empty text."""
    value = entry.value
    return value.text if isinstance(value, Scalar) and not value.empty else ""


def _read_instance(found: Found, instance: _Instance, known: Known) -> None:
    name = instance.name
    given = name.casefold() in map(str.casefold, known.names("Projects", "project"))
    ((values, written_as),) = rows_of(ProjectRow, found)
    found.lines["project"] = instance.line
    values["project"] = name
    known.row("Projects", ProjectRow, found, values, written_as, instance.line)
    if given:  # it is told once, and not for each of its parts
        return
    read_lists(found, PROJECT, known, ("uses", "tools"), project=name)
    read_uses(found, name, known)
    read_tool_uses(found, name, known)
    _read_prices(found, name, known)


def _read_prices(found: Found, name: str, known: Known) -> None:
    """Make a row for each tier, with the price asked where there is one."""
    entries = found.free("asked")
    stated = entries.values if entries is not None else {}
    tiers = {each.casefold(): each for each in reversed(known.names("Tiers", "tier"))}
    for tier in dict.fromkeys((*reversed(tiers.values()), *stated)):
        values: dict[str, object] = {"project": name, "tier": tier}
        line = stated[tier].line if tier in stated else found.at("asked")
        if tier in stated:
            values["asked"] = attempt(found, _ASKED, stated[tier].value, single)
        known.row("Pricing tiers", PriceRow, _at(found, line), values, line=line)


def _at(found: Found, line: int) -> Found:
    """Return a place at another line."""
    return replace(found, line=line, lines={})
