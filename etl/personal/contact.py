"""Telephone numbers and e-mail addresses in free text: found in any Unicode spelling, taken out.

Numbers with a country code or an extension are found by phonenumbers (Google's libphonenumber);
every other run of seven digits or more counts as one, whatever stands between the digits: a part
number lost is less than a telephone number kept. Linear time: every pattern has bounded gaps.
"""

import re
import unicodedata
from collections.abc import Iterator

from phonenumbers import Leniency, PhoneNumberMatcher

GONE = "…"
MOST_CHARACTERS = 1000  # looked at; the rest of a longer text is left out
LEAST_DIGITS = 7
REGIONS = ("US", "GB", "DE")  # plans whose numbers without a country code are tried
MATCHES_TRIED = 50  # of one text and region
FEW_SIGNS = r"(?:[^\w@]|_){0,3}"
DIGITS = re.compile(rf"[+(]{{0,2}}\d(?:{FEW_SIGNS}\d){{{LEAST_DIGITS - 1},}}")
EXTENSION = re.compile(r"\s{0,2}(?:ext|extension|x|#|ext\.)\s{0,2}\d{1,6}\b", re.IGNORECASE)
IN_WORDS = re.compile(
    r"\w[\w.+-]{0,63}\s{0,2}[(\[{<]\s{0,2}at\s{0,2}[)\]}>]\s{0,2}"
    r"\w[\w-]{0,62}(?:\s{0,2}(?:\.|[(\[{<]\s{0,2}dot\s{0,2}[)\]}>])\s{0,2}\w[\w-]{0,62}){1,4}",
    re.IGNORECASE,
)
SPOKEN = re.compile(r"\w[\w.+-]{0,63} at \w[\w-]{0,62}(?: dot \w[\w-]{0,62}){1,4}", re.IGNORECASE)
DOMAIN = re.compile(r"\s?(?:\[[^\]\s]{1,64}\]|[\w-]{1,63}(?:\s?[.。]\s?[\w-]{1,63}){1,8})")
LOCAL_PART = re.compile(r"(?:\"[^\"@]{0,64}\"|[^\s@<>(),;:\"\[\]]{1,64})\s?\Z")
BLANKS = re.compile(r"\s+")


def without_contact(text: str) -> str:
    """Return a text with every telephone number and e-mail address as "…"; others unchanged."""
    if len(text) > MOST_CHARACTERS:
        text = text[:MOST_CHARACTERS].rpartition(" ")[0]
    plain = unfolded(text)
    spans = sorted(contacts(plain))
    if not spans:
        return text
    kept, at = [], 0
    for start, end in spans:
        if start >= at:
            kept.append(plain[at:start] + GONE)
        at = max(at, end)
    return "".join(kept) + plain[at:]


def unfolded(text: str) -> str:
    """Return a text in compatibility form, without invisible signs: one spelling of each sign."""
    plain = unicodedata.normalize("NFKC", text)
    seen = "".join(c for c in plain if unicodedata.category(c) != "Cf")
    return BLANKS.sub(" ", seen)


def contacts(plain: str) -> Iterator[tuple[int, int]]:
    """Yield start and end of every contact in an unfolded text."""
    if "@" in plain or "at" in plain.casefold():
        yield from _addresses(plain)
    if sum(map(str.isdecimal, plain)) >= LEAST_DIGITS:
        yield from _numbers(plain)


def _addresses(plain: str) -> Iterator[tuple[int, int]]:
    for sign in re.finditer("@", plain):
        before = plain[max(0, sign.start() - 70) : sign.start()]
        local, domain = LOCAL_PART.search(before), DOMAIN.match(plain, sign.end())
        if local and domain and any(map(str.isalpha, domain[0])):
            whole = plain.rfind(" ", 0, sign.start() - len(local[0]) + 1) + 1
            start = sign.start() - len(before) + local.start()
            yield min(start, whole) if not local[0].startswith('"') else start, domain.end()
    for pattern in (IN_WORDS, SPOKEN):
        yield from (match.span() for match in pattern.finditer(plain))


def _numbers(plain: str) -> Iterator[tuple[int, int]]:
    for match in DIGITS.finditer(plain):
        extension = EXTENSION.match(plain, match.end())
        yield match.start(), (extension or match).end()
    for region in REGIONS:
        found = PhoneNumberMatcher(plain, region, Leniency.VALID, MATCHES_TRIED)
        yield from ((each.start, each.end) for each in found)
