"""Whether a file still stands as it was written: what its properties say of its last change."""

from __future__ import annotations

import io
import re
import zipfile
from xml.sax.saxutils import escape

_MODIFIED = re.compile(r"<dcterms:modified[^>]*>([^<]*)</")
_CREATED = re.compile(r"<dcterms:created[^>]*>([^<]*)</")
HANDED_OVER = "notchbook hand-over"
"""What a partner's copy says of itself in its properties."""
PRINTED = "notchbook print"
"""What pages for paper say of themselves."""
COPIES = (HANDED_OVER, PRINTED)
"""Files of ours that are no shop's workbook."""


def as_stamped(package: bytes, category: str) -> bool:
    """Whether a file of this category stands as it was stamped, and nobody has saved it since."""
    try:
        with zipfile.ZipFile(io.BytesIO(package)) as source:
            said = source.read("docProps/core.xml").decode("utf-8")
    except (zipfile.BadZipFile, KeyError, UnicodeDecodeError):
        return False
    created, changed = _CREATED.search(said), _MODIFIED.search(said)
    if created is None or changed is None or f">{escape(category)}</" not in said:
        return False
    return created.group(1) == changed.group(1)
