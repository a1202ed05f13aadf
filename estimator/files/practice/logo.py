"""The practice's logo: a PNG file becomes opaque pixels in sRGB, no more of them than its place on paper shows."""

import io
import struct
from pathlib import Path

from PIL import Image, ImageCms

from estimator.base.problems import InputError, Problem
from estimator.inputs.practice.logo import LOGO_HEIGHT_PX, LOGO_WIDTH_PX, Logo

_LARGEST_BYTES = 1_000_000
_LEAST_PX, _MOST_PX = 32, 3000
_FLATTEST = 12
"""Longer side over shorter side; a strip beyond it would print as a hairline."""
_SIGNATURE = b"\x89PNG\r\n\x1a\n"
_MODES = frozenset({"1", "L", "LA", "P", "PA", "RGB", "RGBA"})
_SIZE_AT = slice(16, 24)


def load_logo(path: Path) -> Logo:
    """A logo from disk. Raises InputError where it cannot be read or is too small, too large or too flat."""
    try:
        size = path.stat().st_size
        data = path.read_bytes() if size <= _LARGEST_BYTES else b""
    except OSError as error:
        raise _refuse(path.name, "file.unreadable", (error.strerror or type(error).__name__).lower()) from None
    if size > _LARGEST_BYTES:
        raise _refuse(path.name, "file.large", size, most=_LARGEST_BYTES // 1_000_000)
    return read_logo(data, path.name)


def read_logo(data: bytes, file: str) -> Logo:
    """A logo from the bytes of a PNG file. Raises InputError."""
    if not data.startswith(_SIGNATURE) or len(data) < _SIZE_AT.stop:
        raise _refuse(file, "logo.kind")
    # The size is looked at before anything is unpacked: a small file can claim to be an enormous picture.
    width, height = struct.unpack(">II", data[_SIZE_AT])
    _check_size(width, height, file)
    try:
        with Image.open(io.BytesIO(data), formats=("PNG",)) as image:
            if image.mode not in _MODES:
                raise _refuse(file, "logo.depth")
            flat = _flatten(image)
    except (OSError, SyntaxError, ValueError, ImageCms.PyCMSError):
        raise _refuse(file, "logo.broken") from None
    flat.thumbnail((LOGO_WIDTH_PX, LOGO_HEIGHT_PX), Image.Resampling.LANCZOS)
    return Logo(width_px=flat.width, height_px=flat.height, pixels=flat.tobytes())


def _check_size(width: int, height: int, file: str) -> None:
    short, long = sorted((width, height))
    if short < _LEAST_PX or long > _MOST_PX:
        raise _refuse(file, "logo.size", (width, height), least=_LEAST_PX, most=_MOST_PX)
    if long > short * _FLATTEST:
        raise _refuse(file, "logo.flat", (width, height), most=_FLATTEST)


def _flatten(image: Image.Image) -> Image.Image:
    """On white: paper is, and an archive takes no transparency."""
    profile = image.info.get("icc_profile")
    opaque = image.convert("RGBA")
    white = Image.new("RGBA", opaque.size, "white")
    flat = Image.alpha_composite(white, opaque).convert("RGB")
    if not profile or image.mode not in {"RGB", "RGBA", "P"}:
        return flat
    own = ImageCms.ImageCmsProfile(io.BytesIO(profile))
    changed = ImageCms.profileToProfile(flat, own, ImageCms.createProfile("sRGB"))
    return changed or flat


def _refuse(file: str, code: str, found: object = None, **expected: object) -> InputError:
    return InputError([Problem(file=file, code=code, found=found, expected=expected)])
