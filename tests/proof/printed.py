"""A printed sheet as a PDF with the record attached to it, set for the tests."""

from pathlib import Path
from tempfile import TemporaryDirectory

import typst

__all__ = ["a_pdf"]


def a_pdf(record: bytes, *more: bytes, title: str = "A Paper Lantern 14") -> bytes:
    """PDF/A-3 with these files attached. Source: Typst's reference, `pdf.attach`; ISO 19005-3."""
    with TemporaryDirectory() as folder:
        lines = [f'#set document(title: "{title}", date: datetime(year: 2026, month: 3, day: 20))']
        for number, data in enumerate((record, *more)):
            name = f"record{number or ''}.json"
            (Path(folder) / name).write_bytes(data)
            lines.append(
                f'#pdf.attach("{name}", relationship: "source", mime-type: "application/json", description: "Record")'
            )
        source = Path(folder) / "sheet.typ"
        source.write_text("\n".join([*lines, f"= {title}", "What was done, in words."]), "utf-8")
        made = typst.compile(str(source), format="pdf", pdf_standards=["a-3b"])
    assert isinstance(made, bytes)
    return made
