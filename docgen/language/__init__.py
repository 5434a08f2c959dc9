"""A folder of `locales/` > a Language: its sentences, and how it writes dates, times, numbers, names and lists."""

from docgen.language.catalog import Catalog, Forms, Key, catalog_of, forms_of, key_of, kinds_of, read_catalog
from docgen.language.description import Description, Yardstick, read_description
from docgen.language.language import SOURCE_LANGUAGE, Language, language_names, name_of, read_language
from docgen.language.numbers import numbers_in

__all__ = [
    "SOURCE_LANGUAGE",
    "Catalog",
    "Description",
    "Forms",
    "Key",
    "Language",
    "Yardstick",
    "catalog_of",
    "forms_of",
    "key_of",
    "kinds_of",
    "language_names",
    "name_of",
    "numbers_in",
    "read_catalog",
    "read_description",
    "read_language",
]
