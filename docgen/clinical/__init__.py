"""
Plain values in > clinical figures out: teeth, difficulty, likelihoods, doses, aftercare times.

Pure functions over sourced tables. Nothing here knows a case, a document or a language: codes go in and codes
come out, and every figure names the row, the source and the edition it was read from.
"""
