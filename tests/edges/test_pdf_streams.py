"""Streams that end in a carriage return are written so that their length cannot be read in two ways."""

import io
import zlib

import pikepdf
import pytest

from estimator.pdf.structure import part_streams


def make_file(content: bytes) -> bytes:
    """A page whose compressed content stream is just these bytes."""
    with pikepdf.new() as pdf:
        pdf.add_blank_page()
        pdf.pages[0].Contents = pdf.make_stream(b"")
        pdf.pages[0].Contents.write(content, filter=pikepdf.Name.FlateDecode)
        out = io.BytesIO()
        pdf.save(out, stream_decode_level=pikepdf.StreamDecodeLevel.none)
        return out.getvalue()


def find_content(last: int) -> bytes:
    """Some compressed comment whose last byte is `last`."""
    return next(c for n in range(10_000) if (c := zlib.compress(b"%% %d" % n))[-1] == last)


def test_a_stream_that_ends_in_a_carriage_return_ends_otherwise_and_says_the_same() -> None:
    content = find_content(0x0D)
    parted = part_streams(make_file(content))
    assert b"\r\nendstream" not in parted
    with pikepdf.open(io.BytesIO(parted)) as pdf:
        assert pdf.pages[0].Contents.read_bytes() == zlib.decompress(content)
        assert list(pdf.pages[0].Contents.Filter) == [pikepdf.Name.ASCII85Decode, pikepdf.Name.FlateDecode]


@pytest.mark.parametrize("last", [0x0A, 0x20])
def test_other_files_stay_as_they_are(last: int) -> None:
    data = make_file(find_content(last))
    assert part_streams(data) is data
