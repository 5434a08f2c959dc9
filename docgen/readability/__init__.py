"""The finished text of a document > how hard it is to read and how long that takes; no case, no kind."""

from docgen.readability.index import AT_MOST, Counts, Index, Measured, count, find_index, index_names, measure
from docgen.readability.passages import Sentence, all_words, for_patient, passages, sentences
from docgen.readability.syllables import WORD, syllables

__all__ = [
    "AT_MOST",
    "WORD",
    "Counts",
    "Index",
    "Measured",
    "Sentence",
    "all_words",
    "count",
    "find_index",
    "for_patient",
    "index_names",
    "measure",
    "passages",
    "sentences",
    "syllables",
]
