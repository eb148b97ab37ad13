"""One form of each sign: Ω, μ, −, °, quotes, full-width digits and odd blanks."""

import unicodedata

# Before NFKC, which would turn º into the letter o and ″ into two strokes.
SIGNS = str.maketrans(
    dict.fromkeys("−–—‐‑‒", "-")
    | dict.fromkeys("“”„″‟", '"')
    | dict.fromkeys("‘’′‚", "'")
    | {"º": "°", "˚": "°", "∘": "°", "×": "x", "≤": "<", "≥": ">", "≈": "~", "℃": "°C", "℉": "°F"}
)


def plain(text: str) -> str:
    """Return a text with one form of each sign and single blanks; an empty text stays empty."""
    if not text.isascii():
        text = unicodedata.normalize("NFKC", text.translate(SIGNS))
    return " ".join(text.split())
