"""From plain values to a PDF: the templates beside this file, set without network, clock or system fonts."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any, Final

TEMPLATES: Final = Path(__file__).with_name("templates")


class PaperFailed(RuntimeError):
    """A template could not be set; a fault of ours, not of the park's data."""


def typeset(template: str, **values: Any) -> bytes:
    """Set a template with values into a PDF.

    Args:
        template: name of a file in `templates`, without its ending.
        values: what the template reads, each as JSON.

    Returns:
        The PDF, tagged so that it can be read aloud, its fonts inside. The same values give the same bytes.

    Raises:
        PaperFailed: the template does not compile, warns (a missing glyph is silent otherwise), or breaks a
            rule of PDF/UA that the typesetter can see.

    Source:
        PDF/UA-1 (ISO 14289-1), as far as the typesetter holds it.
    """
    import typst

    inputs = {name: json.dumps(value, ensure_ascii=False) for name, value in values.items()}
    try:
        pdf, warnings = typst.compile_with_warnings(
            TEMPLATES / f"{template}.typ",
            root=TEMPLATES,
            ignore_system_fonts=True,
            sys_inputs=inputs,
            pdf_standards=["ua-1"],
        )
    except typst.TypstError as reason:
        raise PaperFailed(f"{template}: {reason.message}") from reason
    if warnings:
        raise PaperFailed(f"{template}: {warnings[0].message}")
    assert isinstance(pdf, bytes)
    return pdf
