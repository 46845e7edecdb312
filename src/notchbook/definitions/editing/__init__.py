"""Edits of definition files in their own text, comments and line ends kept.

Changes are collected by list and mapping and made together: `block_edits` for parts with lines of
their own, `bracket_edits` for those between commas, `node_places` for where they stand.

Decision: YAML is edited in its text and not dumped anew, because the library joins broken lines. A
comment behind an entry, or under it and further in, goes with it; one on a line of its own stays.
"""
