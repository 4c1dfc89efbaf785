"""The PDF file itself: layers, page labels, nested outline, the attached job, and what can be painted only when all pages are known.

reportlab has no layers and no attachments of its own; both are a few dictionaries, written here as ISO 32000-1 has them (8.11, 7.11.4).
Numbers like 'page 3 of 12' are forms that the page calls and that are drawn at the end, so that each page is built only once.
"""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

from msgspec import Struct
from reportlab.pdfbase.pdfdoc import PDFArray, PDFDictionary, PDFName, PDFStream, PDFString, PDFZCompress
from reportlab.pdfgen.canvas import Canvas

from drainsketch.sheets.fonts import PLAIN

ALWAYS_PRINTED = ("services", "warnings")  # layers that a print shows, whatever was switched off on the screen


class Attached(Struct, frozen=True):
    """A file that travels inside the PDF."""

    name: str
    data: bytes
    mime: str
    about: str


class SetLabel(Struct, frozen=True):
    """What a set is called in the outline ('' for none), and the letter of its sheet numbers."""

    title: str
    letter: str


class SheetCanvas(Canvas):  # type: ignore[misc]
    """A canvas whose pages have sheet numbers and layers.

    Parameters
    ----------
    layers : key and name of each layer, in the order a viewer lists them; those that nothing was painted on are left out
    attached : what travels inside, or None
    """

    def __init__(self, *args: Any, layers: dict[str, str], attached: Attached | None = None, **kwargs: Any) -> None:
        # a first font of ours, so that none is named that is not embedded
        super().__init__(*args, **{**kwargs, "initialFontName": PLAIN, "pdfVersion": (1, 7)})
        self._names, self._attached = layers, attached
        self._groups: dict[str, Any] = {}  # layers in use
        self._on_page: set[str] = set()
        self._set: SetLabel | None = None
        self._set_begins = 1
        self._outline_level = -1
        self._later: list[tuple[str, tuple[float, float], Callable[[int], None]]] = []
        self.setViewerPreference("PrintScaling", "None")
        self.setViewerPreference("DisplayDocTitle", "true")
        self.showOutline()

    def sheet_number(self, pages_on: int = 0) -> str:
        """Return the number within its set of this page, or of one so many pages on, as ``C-3``."""
        letter = self._set.letter if self._set else ""
        return f"{letter}-{self.getPageNumber() + pages_on - self._set_begins + 1}"

    def in_set(self, label: SetLabel) -> None:
        """Say to which set this page belongs."""
        if label != self._set:
            self._set, self._set_begins = label, self.getPageNumber()
            self.addPageLabel(self.getPageNumber() - 1, "ARABIC", 1, f"{label.letter}-")
            if label.title:
                self._outline_level = -1
                self._outline(label.title, 0)

    def outline(self, title: str, level: int = 0) -> None:
        """Add a line to the outline that leads to this page, under the set where there are several."""
        base = 1 if self._set and self._set.title else 0
        self._outline(title, min(base + level, self._outline_level + 1))

    def _outline(self, title: str, level: int) -> None:
        key = f"page {self.getPageNumber()} {title}"
        self.bookmarkPage(key)
        self.addOutlineEntry(title, key, level)
        self._outline_level = level

    @contextmanager
    def layer(self, key: str) -> Iterator[None]:
        """Paint on a layer; layers do not stand within each other."""
        if key not in self._groups:
            self._groups[key] = self._group(key)
        self._on_page.add(key)
        self.addLiteral(f"/OC /{_tag(key)} BDC")
        yield
        self.addLiteral("EMC")

    def paint_at_end(self, paint: Callable[[int], None]) -> None:
        """Keep a place on this page for what is painted once the number of all pages is known: ``paint(pages)``."""
        name = f"end{self.getPageNumber()}x{len(self._later)}"
        self.doForm(name)
        self._later.append((name, self._pagesize, paint))

    def showPage(self) -> None:  # noqa: N802 (name set by the PDF writer)
        """End the page; its layers are named in its resources."""
        super().showPage()
        page = self._doc.Pages.pages[-1]
        page.check_format(self._doc)  # which gives it its resources
        page.Resources.Properties = {_tag(key): self._groups[key] for key in self._names if key in self._on_page}
        self._on_page.clear()

    def save(self) -> None:
        """Write the file."""
        if len(self._code):
            self.showPage()
        pages = self.getPageNumber() - 1
        for name, size, paint in self._later:
            self.beginForm(name, 0, 0, *size)
            paint(pages)
            self.endForm()
        self._write_layers()
        self._write_attached()
        super().save()

    def _group(self, key: str) -> Any:
        group = PDFDictionary({"Type": PDFName("OCG"), "Name": PDFString(self._names[key])})
        if key in ALWAYS_PRINTED:
            group["Usage"] = PDFDictionary({"Print": PDFDictionary({"PrintState": PDFName("ON")})})
        return self._doc.Reference(group, f"layer.{key}")

    def _write_layers(self) -> None:
        if not self._groups:
            return
        groups = [self._groups[key] for key in self._names if key in self._groups]
        printed = [self._groups[key] for key in ALWAYS_PRINTED if key in self._groups]
        shown = {"Order": PDFArray(groups), "ON": PDFArray(groups), "BaseState": PDFName("ON")}
        if printed:
            event = {"Event": PDFName("Print"), "Category": PDFArray([PDFName("Print")]), "OCGs": PDFArray(printed)}
            shown["AS"] = PDFArray([PDFDictionary(event)])
        self._to_catalog("OCProperties", PDFDictionary({"OCGs": PDFArray(groups), "D": PDFDictionary(shown)}))

    def _write_attached(self) -> None:
        one = self._attached
        if one is None:
            return
        kind = {
            "Type": PDFName("EmbeddedFile"),
            "Subtype": PDFName(one.mime.replace("/", "#2F")),
            "Params": PDFDictionary({"Size": len(one.data)}),
        }
        stream = PDFStream(PDFDictionary(kind), one.data, filters=[PDFZCompress])
        data = self._doc.Reference(stream, "attached.data")
        spec = PDFDictionary(
            {
                "Type": PDFName("Filespec"),
                "F": PDFString(one.name),
                "UF": PDFString(one.name),
                "Desc": PDFString(one.about),
                "AFRelationship": PDFName("Source"),
                "EF": PDFDictionary({"F": data, "UF": data}),
            }
        )
        file = self._doc.Reference(spec, "attached.file")
        names = PDFDictionary({"Names": PDFArray([PDFString(one.name), file])})
        self._to_catalog("Names", PDFDictionary({"EmbeddedFiles": names}))
        self._to_catalog("AF", PDFArray([file]))

    def _to_catalog(self, key: str, value: Any) -> None:
        catalog = self._doc.Catalog
        catalog.__NoDefault__ = [*catalog.__NoDefault__, key]
        setattr(catalog, key, value)


def _tag(key: str) -> str:
    return f"layer-{key}"
