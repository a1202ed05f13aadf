"""Wording becomes text spans: stars in a template mark bold; what is filled in is never markup."""

from estimator.sheets.base.blocks import Paragraph, Text, TextSpan


def mark_up(template: str, **values: object) -> Text:
    """A template with **bold** parts and {places} as spans. Values print as they are, stars and braces included."""
    parts = template.split("**")
    spans = (TextSpan(text=part.format(**values), bold=index % 2 == 1) for index, part in enumerate(parts) if part)
    return tuple(span for span in spans if span.text)


def join_texts(*texts: Text) -> Text:
    """Texts with a space between each two, as one."""
    joined: list[TextSpan] = []
    for text in texts:
        if joined and text:
            joined.append(TextSpan(text=" "))
        joined += text
    return tuple(joined)


def make_paragraph(*texts: Text, small: bool = False) -> Paragraph:
    """Sentences as one paragraph."""
    return Paragraph(text=join_texts(*texts), small=small)


def say_text(text: Text) -> str:
    """A text without its bold."""
    return "".join(span.text for span in text)


def list_words(words: tuple[str, ...]) -> str:
    """Words with commas between them."""
    return ", ".join(words)
