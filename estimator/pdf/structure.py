"""Finishes a drawn PDF with pikepdf: structure tree, parent tree, metadata. What PDF/UA-1 and PDF/A-2a ask for."""

import base64
import io
import re
from array import array
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date
from itertools import compress, count
from xml.sax.saxutils import escape

import pikepdf
from pikepdf import Array, Dictionary, Name, Object, String

_MAPPED = re.compile(rb"<([0-9A-F]{4})> <([0-9A-F]+)>\n")
_Pages = tuple[tuple[Object, dict[int, Object]], ...]
"""Each page with the element that owns each number of marked content on it."""
_NOT_XML = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


@dataclass(frozen=True, slots=True, kw_only=True)
class About:
    """What a file says about itself, and all that it says."""

    title: str
    author: str
    language: str
    created: date


@dataclass(slots=True, kw_only=True)
class Element:
    """A structure element. Its kids are elements, or marked content as (page from 1, number on that page).

    `box` is left, bottom, right, top in points.
    """

    role: str
    alt: str = ""
    language: str = ""
    spoken: str = ""
    attributes: dict[str, str | int] = field(default_factory=dict)
    box: tuple[float, float, float, float] | None = None
    kids: "list[Element | tuple[int, int]]" = field(default_factory=list)


def add_structure(data: bytes, root: Element, about: About) -> bytes:
    """The drawn file with its structure tree and metadata; equal input gives equal bytes."""
    with pikepdf.open(io.BytesIO(data)) as pdf:
        _write_tree(pdf, root)
        _write_metadata(pdf, about)
        for font in _find_fonts(pdf):
            _mend_unicode_map(font)
        # fpdf2's identifier depends on the time of day; without it, one is made from what the file holds.
        del pdf.trailer.ID
        # How large a page opens is for the reader to choose.
        del pdf.Root.OpenAction
        out = io.BytesIO()
        pdf.save(out, deterministic_id=True, fix_metadata_version=False)
    return part_streams(out.getvalue())


def part_streams(data: bytes) -> bytes:
    """The same file with no stream whose last byte is a carriage return.

    PDF/A counts a stream up to the end-of-line before `endstream`; a carriage return right before that line feed can be
    read as part of either (about one stream in 256). Such a stream is written once more in ASCII, which ends in ~>.
    """
    if b"\r\nendstream" not in data:
        return data
    with pikepdf.open(io.BytesIO(data)) as pdf:
        for stream in pdf.objects:
            if isinstance(stream, pikepdf.Stream) and stream.read_raw_bytes().endswith(b"\r"):
                coded = base64.a85encode(stream.read_raw_bytes()) + b"~>"
                filters = stream.get("/Filter", Array([]))
                inner = list(filters) if isinstance(filters, Array) else [filters]
                stream.write(coded, filter=Array([Name.ASCII85Decode, *inner]))
        out = io.BytesIO()
        plain = pikepdf.StreamDecodeLevel.none
        pdf.save(
            out, deterministic_id=True, fix_metadata_version=False, compress_streams=False, stream_decode_level=plain
        )
        return out.getvalue()


def _write_tree(pdf: pikepdf.Pdf, root: Element) -> None:
    # Asked for once: the library walks the tree of pages each time.
    pages = [page.obj for page in pdf.pages]
    owners: list[dict[int, Object]] = [{} for _ in pages]
    tree = pdf.make_indirect(Dictionary(Type=Name.StructTreeRoot))
    tree.K = _build(pdf, root, tree, tuple(zip(pages, owners, strict=True)))
    numbers = Array()
    for index, (page, owned) in enumerate(zip(pages, owners, strict=True)):
        page.Tabs = Name.S
        if owned:
            page.StructParents = index
            numbers.append(index)
            numbers.append(pdf.make_indirect(Array([owned[n] for n in range(len(owned))])))
    tree.ParentTree = pdf.make_indirect(Dictionary(Nums=numbers))
    tree.ParentTreeNextKey = len(pages)
    pdf.Root.StructTreeRoot = tree
    pdf.Root.MarkInfo = Dictionary(Marked=True)


def _build(pdf: pikepdf.Pdf, element: Element, parent: Object, pages: _Pages) -> Object:
    made = pdf.make_indirect(Dictionary(Type=Name.StructElem, S=Name(f"/{element.role}"), P=parent))
    if element.alt:
        made.Alt = String(element.alt)
    if element.language:
        made.Lang = String(element.language)
    if element.spoken:
        made.ActualText = String(element.spoken)
    if attributes := _make_attributes(element):
        made.A = attributes
    kids = Array()
    for kid in element.kids:
        if isinstance(kid, Element):
            kids.append(_build(pdf, kid, made, pages))
        else:
            number = kid[1]
            page, owned = pages[kid[0] - 1]
            kids.append(Dictionary(Type=Name.MCR, Pg=page, MCID=number))
            owned[number] = made
    made.K = kids
    return made


def _make_attributes(element: Element) -> Dictionary | None:
    if element.box:
        box = Array([round(v, 2) for v in element.box])
        return Dictionary(O=Name.Layout, BBox=box, Placement=Name.Block)
    if not element.attributes:
        return None
    owner = Name.List if element.role == "L" else Name.Table
    values = {f"/{k}": Name(f"/{v}") if isinstance(v, str) else v for k, v in element.attributes.items()}
    return Dictionary({"/O": owner} | values)


def _write_metadata(pdf: pikepdf.Pdf, about: About) -> None:
    day = about.created
    stamp = String(f"D:{day:%Y%m%d}000000Z")
    info = Dictionary(Title=String(about.title), Author=String(about.author), CreationDate=stamp, ModDate=stamp)
    pdf.trailer.Info = pdf.make_indirect(info)
    pdf.Root.Metadata = pdf.make_stream(_write_xmp(about).encode("utf-8"), Type=Name.Metadata, Subtype=Name.XML)
    pdf.Root.Lang = String(about.language)
    pdf.Root.ViewerPreferences = Dictionary(DisplayDocTitle=True)


def _find_fonts(pdf: pikepdf.Pdf) -> Iterator[Object]:
    seen: set[tuple[int, int]] = set()
    for page in pdf.pages:
        for font in page.obj.Resources.get("/Font", Dictionary()).values():
            if font.objgen not in seen:
                seen.add(font.objgen)
                yield font


def _mend_unicode_map(font: Object) -> None:
    """Give every glyph a character, and none U+0000.

    fpdf2 maps the glyph for missing characters to U+0000, and leaves out glyphs that shaping adds to a letter; neither
    standard allows that. The added ones become U+2060, which prints nothing: the first glyph holds the whole letter.
    """
    before = font.ToUnicode.read_bytes()
    mapped = dict(_MAPPED.findall(before))
    # Two bytes a code; whether a glyph is zero does not depend on their order.
    glyphs = array("H", font.DescendantFonts[0].CIDToGIDMap.read_bytes())
    for code in compress(count(), glyphs):
        mapped.setdefault(b"%04X" % code, b"2060")
    mapped.pop(b"0000", None)
    entries = [b"<%b> <%b>\n" % entry for entry in sorted(mapped.items())]
    # A block holds 100 entries at most.
    blocks = [entries[i : i + 100] for i in range(0, len(entries), 100)]
    after = b"".join(b"%d beginbfchar\n%bendbfchar\n" % (len(block), b"".join(block)) for block in blocks)
    start, end = before.index(b"endcodespacerange\n") + len(b"endcodespacerange\n"), before.index(b"endcmap")
    font.ToUnicode.write(before[:start] + after + before[end:])


def _write_xmp(about: About) -> str:
    title, author, language = (escape(_NOT_XML.sub("", t)) for t in (about.title, about.author, about.language))
    stamp = f"{about.created:%Y-%m-%d}T00:00:00Z"
    return _XMP.format(title=title, author=author, language=language, stamp=stamp)


# PDF/A asks for a description of every schema it does not know itself: here, the one that says "PDF/UA, part 1".
_XMP = """<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?>
<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
<rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/" xmlns:xmp="http://ns.adobe.com/xap/1.0/"
 xmlns:pdfaid="http://www.aiim.org/pdfa/ns/id/" xmlns:pdfuaid="http://www.aiim.org/pdfua/ns/id/">
<dc:title><rdf:Alt><rdf:li xml:lang="x-default">{title}</rdf:li></rdf:Alt></dc:title>
<dc:creator><rdf:Seq><rdf:li>{author}</rdf:li></rdf:Seq></dc:creator>
<dc:language><rdf:Bag><rdf:li>{language}</rdf:li></rdf:Bag></dc:language>
<xmp:CreateDate>{stamp}</xmp:CreateDate><xmp:ModifyDate>{stamp}</xmp:ModifyDate>
<pdfaid:part>2</pdfaid:part><pdfaid:conformance>A</pdfaid:conformance><pdfuaid:part>1</pdfuaid:part>
</rdf:Description>
<rdf:Description rdf:about="" xmlns:pdfaExtension="http://www.aiim.org/pdfa/ns/extension/"
 xmlns:pdfaSchema="http://www.aiim.org/pdfa/ns/schema#" xmlns:pdfaProperty="http://www.aiim.org/pdfa/ns/property#">
<pdfaExtension:schemas><rdf:Bag><rdf:li rdf:parseType="Resource">
<pdfaSchema:schema>PDF/UA identification schema</pdfaSchema:schema>
<pdfaSchema:namespaceURI>http://www.aiim.org/pdfua/ns/id/</pdfaSchema:namespaceURI>
<pdfaSchema:prefix>pdfuaid</pdfaSchema:prefix>
<pdfaSchema:property><rdf:Seq><rdf:li rdf:parseType="Resource">
<pdfaProperty:name>part</pdfaProperty:name><pdfaProperty:valueType>Integer</pdfaProperty:valueType>
<pdfaProperty:category>internal</pdfaProperty:category><pdfaProperty:description>PDF/UA part</pdfaProperty:description>
</rdf:li></rdf:Seq></pdfaSchema:property></rdf:li></rdf:Bag></pdfaExtension:schemas>
</rdf:Description></rdf:RDF></x:xmpmeta>
<?xpacket end="r"?>"""
