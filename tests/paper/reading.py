"""Reading papers back: their words, their tags and their fonts."""

from __future__ import annotations

import io
from typing import Any

from pypdf import PdfReader
from pypdf.generic import DictionaryObject


def opened(pdf: bytes) -> PdfReader:
    """The paper as a library reads it."""
    return PdfReader(io.BytesIO(pdf))


def words(pdf: bytes) -> str:
    """All its words, with single spaces."""
    return " ".join(" ".join(page.extract_text() for page in opened(pdf).pages).replace("\u200b", "").split())


def fonts(pdf: bytes) -> set[str]:
    """The fonts of its pages; one that is not inside the file fails here."""
    found = set()
    for page in opened(pdf).pages:
        for font in page["/Resources"].get("/Font", {}).values():  # type: ignore[attr-defined]  # a dictionary
            told = font.get_object()["/DescendantFonts"][0].get_object()
            described = told["/FontDescriptor"].get_object()
            assert {"/FontFile2", "/FontFile3"} & described.keys(), told["/BaseFont"]
            found.add(str(told["/BaseFont"]))
    return found


def pictures(pdf: bytes) -> int:
    """How many of its drawings are made of dots."""
    objects = [
        one.get_object()
        for page in opened(pdf).pages
        for one in page["/Resources"].get("/XObject", {}).values()  # type: ignore[attr-defined]  # as above
    ]
    return sum(one["/Subtype"] == "/Image" for one in objects)


def tags(pdf: bytes) -> list[str]:
    """What its parts are tagged as, in the order in which they are read aloud."""
    root = opened(pdf).trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]  # type: ignore[index]  # a dictionary
    found: list[str] = []

    def walk(node: Any) -> None:
        node = node.get_object() if hasattr(node, "get_object") else node
        if isinstance(node, list):
            for one in node:
                walk(one)
        elif isinstance(node, DictionaryObject):
            if "/S" in node:
                found.append(str(node["/S"]))
            if "/K" in node:
                walk(node["/K"])

    walk(root["/StructTreeRoot"])  # type: ignore[index]  # as above
    return found


def looks_like_ours(pdf: bytes, title: str) -> None:
    """What holds for every paper: tagged and titled by PDF/UA-1, fonts inside, page numbers, drawn in lines.

    Source:
        ISO 14289-1 (PDF/UA-1), 7.1: a title that is shown, a language, tagged content, identified as part 1.
    """
    root: Any = opened(pdf).trailer["/Root"]
    about = opened(pdf).xmp_metadata
    assert about is not None
    assert "<pdfuaid:part>1</pdfuaid:part>" in about.rdf_root.toxml()
    assert about.dc_title == {"x-default": title}
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]
    assert root["/Lang"] == "en"
    assert "/Document" in tags(pdf)
    assert fonts(pdf)
    assert pictures(pdf) == 0
    pages = opened(pdf).pages
    for number, page in enumerate(pages, start=1):
        said = " ".join(page.extract_text().split())
        assert f"{number} of {len(pages)}" in said
        assert "rinted " in said
