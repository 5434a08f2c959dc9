"""Templates and catalogs > what is left to translate, what differs from the English, and the sheet a reviewer signs."""
