"""A project's file: one project, or one for each of its variants."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from notchbook.base.problems import SourceFile, nearest, quoted
from notchbook.base.sentences import listed
from notchbook.definitions.reading.entries import Entries, Entry, Scalar
from notchbook.definitions.reading.known import Known
from notchbook.definitions.reading.lists import read_lists, rows_of
from notchbook.definitions.reading.places import Found, attempt, read_place, single
from notchbook.definitions.reading.scalars import Scope
from notchbook.definitions.reading.uses import read_tool_uses, read_uses
from notchbook.definitions.syntax.keys import Key
from notchbook.definitions.syntax.projects import OF_A_VARIANT
from notchbook.measure import resolve_sizes
from notchbook.sheets.kit.written import PROJECT, Reads
from notchbook.sheets.making.pricing_tiers import PriceRow
from notchbook.sheets.making.projects import ProjectRow

_ASKED = Key("asked", Reads.MONEY, "the price asked at a tier", "32.00")
MOST_SIZES = 500


@dataclass(frozen=True)
class _Instance:
    """The project itself or a variant: its name, where that stands, its sizes and its keys."""

    name: str
    line: int
    sizes: Mapping[str, Entry]
    entries: Entries


def read_project(source: SourceFile, entries: Entries, known: Known) -> None:
    """Make rows of a project or its variants."""
    for instance in _instances(source, entries, known):
        scope = _scope(source, instance.sizes, known)
        found = read_place(source, instance.entries, "project", scope)
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
    _refuse_reserved(source, sizes)
    variants = entries.values.get("variants")
    if variants is None:
        yield _Instance(name, line, sizes, entries)
        return
    if not isinstance(variants.value, Entries) or not variants.value.values:
        source.report(variants.line, "variants: names are wanted; write as in {small: {long: 16}}")
        known.gathered.open.add("Projects")
        return
    inside = variants.value.values
    for variant, entry in inside.items():
        keys = _own_keys(source, variant, entry)
        own = {key: its for key, its in keys.items() if key in OF_A_VARIANT}
        its_sizes = {key: its for key, its in keys.items() if key not in OF_A_VARIANT}
        _refuse_unknown_sizes(source, its_sizes, sizes)
        full = f"{name} {variant.strip()}" if name else ""
        whole = Entries(entries.line, {**entries.values, **own})
        yield _Instance(full, entry.line, {**sizes, **its_sizes}, whole)
    if all(isinstance(each.value, Entries) and each.value.values for each in inside.values()):
        known.gathered.notices.append(
            f"{source.file}:{variants.line}: {name} itself is not made, only its variants; to make"
            " it too, write one that changes nothing, such as standard: {}"
        )


def _inside(entries: Entries, key: str) -> Mapping[str, Entry]:
    entry = entries.values.get(key)
    return entry.value.values if entry is not None and isinstance(entry.value, Entries) else {}


def _refuse_reserved(source: SourceFile, sizes: Mapping[str, Entry]) -> None:
    """Tell of sizes that are named as what a variant may have of its own."""
    for name in sizes.keys() & OF_A_VARIANT:
        source.report(
            sizes[name].line,
            f"sizes: {name} is a key of variants, so no size may have this name; write another,"
            f" such as {name}_size",
        )


def _own_keys(source: SourceFile, variant: str, entry: Entry) -> Mapping[str, Entry]:
    """What a variant says: sizes, and keys of its own."""
    if not variant.strip():
        source.report(entry.line, "variants: a name is empty; write a word such as small")
    if not isinstance(entry.value, Entries):
        source.report(
            entry.line,
            f"variants: {quoted(variant)} holds no sizes; write them as in {{small: {{long: 16}}}},"
            " or {} for the sizes of the project itself",
        )
        return {}
    return entry.value.values


def _refuse_unknown_sizes(
    source: SourceFile, own: Mapping[str, Entry], sizes: Mapping[str, Entry]
) -> None:
    """Tell of a variant's sizes that the project does not name; only those can be replaced."""
    for name, its in own.items():
        if name not in sizes:
            source.report(
                its.line,
                f"variants: {quoted(name)} is not in sizes{nearest(name, (*sizes, *OF_A_VARIANT))};"
                " write one that is, or add it there; beside sizes a variant may have "
                + listed(OF_A_VARIANT),
            )


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
