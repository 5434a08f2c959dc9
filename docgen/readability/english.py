"""
An English word > how many syllables it is spoken in; by its spelling, so it holds for words no list has.

Vowels that stand together are one syllable, unless their spelling parts them; a silent e is none. Where spelling
leaves it open, the higher number is taken: a text is never called easier than it is.
"""

from __future__ import annotations

import re

_VOWELS = re.compile(r"[aeiouy]+")

_OWN = {
    "area": 3, "areas": 3, "business": 2, "choir": 2, "diabetes": 4, "diet": 2, "dissolve": 2, "dissolves": 2,
    "evening": 2, "every": 3, "everybody": 5, "everyone": 3, "everything": 3, "eye": 1, "eyes": 1, "fire": 2,
    "fluid": 2, "fluids": 2, "forehead": 2, "heart": 1, "hour": 2, "hours": 2, "household": 2, "idea": 3, "ideas": 3,
    "iodine": 3, "homework": 2, "bedside": 2, "lifelong": 2, "likelihood": 3, "ninety": 2, "our": 2, "ours": 2,
    "people": 2, "quiet": 2, "ratio": 3, "ratios": 3, "real": 2, "really": 3, "require": 3, "required": 3, "safety": 2,
    "science": 2, "sideways": 2, "sincerely": 3, "someone": 2, "somebody": 3, "something": 2, "sometimes": 2,
    "somewhere": 2, "straightforward": 3, "therefore": 2, "tired": 2, "wednesday": 2,
}  # fmt: skip
"""Words whose spelling misleads; of two spoken forms the longer."""

_PARTED = (
    re.compile(r"[^cstgx]i[aou]"),  # me-di-a, ra-di-o; not -cial, -tion, -gion, -xious
    re.compile(r"[^aeiou]iety|[^aeiouct]ien(?:ce|t)"),  # va-ri-e-ty, ex-pe-ri-ence; not pa-tient
    re.compile(r"[aeouy]ing"),  # be-ing, stay-ing, car-ry-ing
    re.compile(r"(?:^|[^qg])ua"),  # u-su-al
    re.compile(r"[^g]ue[lnt]"),  # flu-ent
    re.compile(r"(?<!g)eo(?!u)"),  # vi-de-o
    re.compile(r"crea|^rea(?:ct|pp|rr|ss)"),  # cre-ate, re-act
    re.compile(r"[^aeiou]y[ao]"),  # hy-a-lin
    re.compile(r"sms?$"),  # or-gan-is-m
    re.compile(r"[^aeiou]ia?er(?:s|$)"),  # bar-ri-er
)
"""Letters that stand together and are two syllables."""


def english_syllables(word: str) -> int:
    """Count the syllables of one word of small letters, without apostrophes or hyphens."""
    if word in _OWN:
        return _OWN[word]
    parted = sum(len(pattern.findall(word)) for pattern in _PARTED)
    return max(1, len(_VOWELS.findall(word)) - _silent(word) + parted)


def _silent(word: str) -> int:
    """Count the vowels at the end, or before a common ending, that are written and not spoken."""
    if re.search(r"[^aeiouyl]les?$", word):
        return 0
    if re.search(r"[^aeiouy]e$|ngues?$|[^aeiouytd]ed$", word):
        return 1
    if re.search(r"[^aeiouysxzcg]es$", word) and not re.search(r"[cs]hes$", word):
        return 1
    return 1 if re.search(r"[^aeiouyl]e(?:ly|ful|less|ment|ness)(?:s|ly)?$|lely$", word) else 0
