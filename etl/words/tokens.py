"""A written phrase → folded words and the marks between its clauses."""

import re
from functools import lru_cache

BREAK = ","  # a mark that ends a clause
ENGLISH = re.compile(r"['’`´](?=(?:t|s|re|ve|ll|d|m)\b)")  # won't → wont
ELISION = re.compile(r"\b(l|d|n|s|j|m|c|t|qu|lorsqu|jusqu)['’`´]")  # l'eau → l eau
SHORT_PAIR = re.compile(r"\b(\w)/(\w)")  # f/f, d/washer: one word, no end of a clause
WITH = re.compile(r"\bw/(?=\s|\w{2})")  # w/ water, w/water: with; w/d are two things
INITIALS = re.compile(r"\b(\w)\.(\w)\.")  # a.c. → a c
MARK = re.compile(r"(?<!\d)[.,](?!\d)|[,.](?=\s|$)|[;:/&+!|()\n]|\s[-–—]\s|->")
WORD = re.compile(r"[^\W_]+|" + BREAK)
LETTERS = str.maketrans("áàâäãåéèêëíìîïóòôöõúùûüñç", "aaaaaaeeeeiiiiooooouuuunc") | {
    ord("ß"): "ss",
    ord("œ"): "oe",
    ord("æ"): "ae",
}


@lru_cache(maxsize=65_536)
def tokens(text: str) -> tuple[str, ...]:
    """Return the folded words of a text, with BREAK where a clause ends.

    Letters lose case and accents; an apostrophe inside an English word is dropped, after a French
    article it parts two words.
    """
    plain = ENGLISH.sub("", text.lower()).translate(LETTERS)
    plain = WITH.sub("with ", plain.replace("w/o ", "without "))
    plain = ELISION.sub(r"\1 ", plain)
    plain = INITIALS.sub(r"\1 \2 ", SHORT_PAIR.sub(r"\1 \2", plain))
    return tuple(WORD.findall(MARK.sub(f" {BREAK} ", plain)))
